package api

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

const xlsxType = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"

// A workbook has one worksheet: the heads, bold and kept in sight, and the rows as
// CSV has them. What is a plain number is a number there, so that it can be added
// up; everything else is text, and no cell is a formula, not even when somebody
// saves the worksheet as CSV.

// namedCells are heads of columns whose cells are names even where they look like
// numbers.
var namedCells = []string{"item", "order", "mark", "row", "path", "section", "week"}

// mostDigits is how many digits a spreadsheet program keeps.
const mostDigits = 15

func (s *sheet) workbook() ([]byte, error) {
	f := excelize.NewFile()
	defer f.Close()
	bold, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		return nil, fmt.Errorf("write a workbook: %w", err)
	}
	w, err := f.NewStreamWriter("Sheet1")
	if err != nil {
		return nil, fmt.Errorf("write a workbook: %w", err)
	}
	if err := s.stream(w, bold); err != nil {
		return nil, fmt.Errorf("write a workbook: %w", err)
	}
	var out bytes.Buffer
	if err := f.Write(&out); err != nil {
		return nil, fmt.Errorf("write a workbook: %w", err)
	}
	return out.Bytes(), nil
}

func (s *sheet) stream(w *excelize.StreamWriter, bold int) error {
	for i := range s.heads {
		if err := w.SetColWidth(i+1, i+1, s.widest(i)); err != nil {
			return err
		}
	}
	if err := w.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	heads := make([]any, len(s.heads))
	for i, head := range s.heads {
		heads[i] = excelize.Cell{StyleID: bold, Value: neutral(head)}
	}
	if err := w.SetRow("A1", heads); err != nil {
		return err
	}
	for at, row := range s.rows {
		cells := make([]any, len(row))
		for i, cell := range row {
			cells[i] = s.cell(i, cell)
		}
		place, err := excelize.CoordinatesToCellName(1, at+2)
		if err != nil {
			return err
		}
		if err := w.SetRow(place, cells); err != nil {
			return err
		}
	}
	return w.Flush()
}

// cell is a number where its text is one that comes back as it was, else text.
func (s *sheet) cell(column int, text string) any {
	if column < len(s.heads) && slices.Contains(namedCells, s.heads[column]) || len(text) > mostDigits {
		return neutral(text)
	}
	number, err := strconv.ParseFloat(text, 64)
	if err != nil || number < 0 || strconv.FormatFloat(number, 'f', -1, 64) != text {
		return neutral(text)
	}
	return number
}

// widest is how wide a column should be, by the first rows.
func (s *sheet) widest(column int) float64 {
	const looked, least, most = 200, 8, 48
	signs := utf8.RuneCountInString(s.heads[column])
	for _, row := range s.rows[:min(len(s.rows), looked)] {
		if column < len(row) {
			signs = max(signs, utf8.RuneCountInString(row[column]))
		}
	}
	return float64(min(max(signs+2, least), most))
}
