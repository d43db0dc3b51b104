package api

import (
	"bytes"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// readWorkbook reads a reply's only worksheet: its rows as text, and the kind of
// each cell. No cell has a formula.
func readWorkbook(t *testing.T, body []byte) ([][]string, func(cell string) excelize.CellType) {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	if names := f.GetSheetList(); len(names) != 1 {
		t.Fatalf("worksheets %v", names)
	}
	rows, err := f.GetRows("Sheet1")
	if err != nil {
		t.Fatal(err)
	}
	for y, row := range rows {
		for x := range row {
			cell, _ := excelize.CoordinatesToCellName(x+1, y+1)
			if formula, err := f.GetCellFormula("Sheet1", cell); err != nil || formula != "" {
				t.Errorf("%s is the formula %q: %v", cell, formula, err)
			}
		}
	}
	return rows, func(cell string) excelize.CellType {
		kind, err := f.GetCellType("Sheet1", cell)
		if err != nil {
			t.Fatal(err)
		}
		return kind
	}
}

// Whatever stands in a cell comes back as it was but for the apostrophe before
// what would be a formula; plain numbers are numbers, names that look like them
// are not.
func TestAWorkbookReadsBack(t *testing.T) {
	s := sheet{heads: []string{"item", "amount", "note"}, rows: [][]string{
		{"100", "12.5", "=1+1"}, {"4/4", "007", "+1"}, {"-x", "-3", "@SUM(A1)"}, {"leg", "1e5", "<b>&\"'"}, {"ä ½ 漢", "9007199254740993", "a\nb"}, {"", "0", "＝1"},
	}}
	body, err := s.workbook()
	if err != nil {
		t.Fatal(err)
	}
	rows, kind := readWorkbook(t, body)
	want := [][]string{{"item", "amount", "note"}, {"100", "12.5", "'=1+1"}, {"4/4", "007", "'+1"}, {"'-x", "'-3", "'@SUM(A1)"}, {"leg", "1e5", "<b>&\"'"},
		{"ä ½ 漢", "9007199254740993", "a\nb"}, {"", "0", "'＝1"}}
	for i := range want {
		if strings.Join(rows[i], "|") != strings.Join(want[i], "|") {
			t.Errorf("row %d reads %q, want %q", i+1, rows[i], want[i])
		}
	}
	for cell, number := range map[string]bool{"A2": false, "B2": true, "B3": false, "B5": false, "B6": false, "B7": true, "C2": false} {
		is := kind(cell)
		if plain := is == excelize.CellTypeNumber || is == excelize.CellTypeUnset; plain != number {
			t.Errorf("%s is of kind %d, a number: %v", cell, is, number)
		}
	}
	if body, err = (&sheet{heads: []string{"a"}, rows: [][]string{{"\x00\x1b"}}}).workbook(); err != nil {
		t.Fatal(err)
	}
	readWorkbook(t, body)
}

// A week's requirements and a pull as workbooks say what they say as CSV, with
// the units in the heads or beside the amounts.
func TestRequirementsAndPullsAsWorkbooks(t *testing.T) {
	s := openShop(t, shopSettings{})
	buyer := s.key("buyer")
	number := s.accepted(s.key("dealer studio-tamsel"), "first", bench("=PO 1"))
	week := s.steelWeek(buyer, number)
	s.pulled(buyer, "p1", week, "steel", 201)
	for _, path := range []string{"/v1/requirements/" + week, "/v1/pulls/1", "/v1/pulls/1/bars", "/v1/requirements/" + week + "/bars"} {
		text := readSheet(t, s.ask(buyer, "GET", path+"?format=csv", ""))
		reply := s.ask(buyer, "GET", path+"?format=xlsx", "").want(t, 200)
		if reply.header.Get("Content-Type") != xlsxType || reply.header.Get("Vary") == "" {
			t.Errorf("%s: %v", path, reply.header)
		}
		rows, _ := readWorkbook(t, reply.body)
		if len(rows) != len(text) || len(rows) < 2 {
			t.Fatalf("%s: %d rows, %d as CSV", path, len(rows), len(text))
		}
		for i := range text {
			for len(rows[i]) < len(text[i]) { // empty cells at the end are not told
				rows[i] = append(rows[i], "")
			}
			if strings.Join(rows[i], "|") != strings.Join(text[i], "|") {
				t.Errorf("%s, row %d: %q, as CSV %q", path, i+1, rows[i], text[i])
			}
		}
		if heads := strings.Join(rows[0], "|"); !strings.Contains(heads, "unit") && !strings.Contains(heads, " in|") {
			t.Errorf("%s: no unit in %q", path, heads)
		}
	}
	if asked := s.ask(buyer, "GET", "/v1/pulls/1", "", "Accept: "+xlsxType).want(t, 200); asked.header.Get("Content-Type") != xlsxType {
		t.Errorf("Accept gives %q", asked.header.Get("Content-Type"))
	}
}
