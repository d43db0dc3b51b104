package orderfile

import (
	"bytes"
	"errors"
	"fmt"

	"github.com/xuri/excelize/v2"
)

// A workbook is packed: these bound what comes out of it, in bytes. A sheet
// beyond the second goes by a file of the system's instead of memory.
const (
	maxUnpacked      = 96 << 20
	maxUnpackedSheet = 24 << 20
)

// ReadSheet reads the rows of a workbook's sheet by its mapping. Numbers are read
// as the workbook keeps them, with a point for the decimal mark and no trace of
// how they are shown; a date is a number of days. Error: *Refused.
func ReadSheet(m *Mapping, file []byte) (*Table, error) {
	if len(file) > MaxFile {
		return nil, &Refused{"size", fmt.Sprintf("The file has %d bytes; at most %d are read.", len(file), MaxFile)}
	}
	if !bytes.HasPrefix(file, []byte("PK\x03\x04")) {
		return nil, &Refused{"form", "The file is declared to be xlsx, but it is no workbook of that form."}
	}
	book, err := excelize.OpenReader(bytes.NewReader(file), excelize.Options{UnzipSizeLimit: maxUnpacked, UnzipXMLSizeLimit: maxUnpackedSheet, RawCellValue: true})
	if err != nil {
		return nil, &Refused{"form", "The workbook cannot be read: it is damaged, locked, or unpacks to more than is read."}
	}
	defer book.Close() //nolint:errcheck // only its temporary files
	if at, err := book.GetSheetIndex(m.Sheet); err != nil || at < 0 {
		return nil, &Refused{"columns", fmt.Sprintf("The workbook has no sheet %s; it has %s.", clip(m.Sheet), list(book.GetSheetList()))}
	}
	if props, err := book.GetWorkbookProps(); err == nil && props.Date1904 != nil && *props.Date1904 && m.Dates == "sheet" {
		return nil, &Refused{"form", "The workbook counts its days from 1904. Write the dates as text and declare their form."}
	}
	rows, err := sheetRows(book, m.Sheet)
	if err != nil {
		return nil, err
	}
	return NewTable(m, rows)
}

func sheetRows(book *excelize.File, sheet string) ([]Row, error) {
	damaged := &Refused{"form", "The sheet cannot be read: it is damaged, or too large."}
	read, err := book.Rows(sheet)
	if err != nil {
		return nil, damaged
	}
	defer read.Close() //nolint:errcheck // nothing is written
	var rows []Row
	for number := 1; read.Next(); number++ {
		cells, err := read.Columns(excelize.Options{RawCellValue: true})
		if err != nil {
			return nil, damaged
		}
		if len(cells) == 0 {
			if number == 1 {
				return nil, &Refused{"columns", "The first row of the sheet is empty; the heads belong there."}
			}
			continue
		}
		if rows = append(rows, Row{number, cells}); len(rows) > MaxRows+1 {
			break
		}
	}
	if err := read.Error(); err != nil {
		return nil, errors.Join(damaged, err)
	}
	return rows, nil
}
