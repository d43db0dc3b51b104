package api

import (
	"bytes"
	"encoding/csv"
	"strconv"
	"strings"

	"billwright/catalog/unit"
)

// A sheet is a table for a spreadsheet program: UTF-8, CRLF, units in the
// heads, numbers plain, and no cell that a program would run as a formula.
type sheet struct {
	heads []string
	rows  [][]string
}

// bytes writes the sheet as RFC 4180 describes it.
func (s *sheet) bytes() ([]byte, error) {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.UseCRLF = true
	for _, row := range append([][]string{s.heads}, s.rows...) {
		plain := make([]string, len(row))
		for i, cell := range row {
			plain[i] = neutral(cell)
		}
		if err := w.Write(plain); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return out.Bytes(), w.Error()
}

// formulaSigns begin a formula, or end what a careless reader takes for the
// line; the last four are the full-width forms that some programs fold.
const formulaSigns = "=+-@\t\r\n＝＋－＠"

// neutral puts an apostrophe before a cell that a spreadsheet program would
// take for a formula.
func neutral(cell string) string {
	for _, first := range cell {
		if strings.ContainsRune(formulaSigns, first) {
			return "'" + cell
		}
		break
	}
	return cell
}

// inches writes a length in decimal inches to a millionth, which is exact for
// sixty-fourths. A fraction such as 1/2 would be read as a date.
func inches(l unit.Length) string { return decimal(int64(l), int64(unit.Inch), 6) }

// decimal is n/grain with at most so many decimals, rounded half away from
// zero, without zeros at the end.
func decimal(n, grain int64, decimals int) string {
	scale := int64(1)
	for range decimals {
		scale *= 10
	}
	scaled, err := unit.MulDivRound(n, scale, grain, unit.Nearest)
	if err != nil { // n/grain is beyond 9e12: drop the decimals, never the number
		return strconv.FormatInt(n/grain, 10)
	}
	sign := ""
	if scaled < 0 {
		sign, scaled = "-", -scaled
	}
	text := sign + strconv.FormatInt(scaled/scale, 10)
	if rest := scaled % scale; rest != 0 {
		digits := strconv.FormatInt(scale+rest, 10)[1:]
		text += "." + strings.TrimRight(digits, "0")
	}
	return text
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}
