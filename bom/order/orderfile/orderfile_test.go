package orderfile

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"billwright/catalog/calendar"
)

const small = "file: csv\nencoding: utf-8\ndelimiter: \",\"\ndecimal: \".\"\nunit: in\ndates: month/day/year\n" +
	"order: {dealer: {value: d}, po: PO, key: Key, ordered: Day, ship_complete: {column: All, values: {Y: \"yes\", N: \"no\"}}}\nline: {product: P, quantity: Q}\nconfiguration: {length: {column: L, decimal: \",\"}}\n"

func TestRowsBecomeOrders(t *testing.T) {
	m, faults := ReadMapping([]byte(small))
	if faults != nil {
		t.Fatal(faults)
	}
	table, err := ReadCSV(m, []byte("\ufeffKey,PO,Day,All,P,Q,L\n1,A,12/1/2026,Y,stool,2,\"24,5\"\n\n2,B,,N,stool,1,24\n 1 ,a,,,bench,1,\"6 ft, 2 in\"\n"))
	if err != nil {
		t.Fatal(err)
	}
	asked, lost := Orders(m, table)
	if len(lost) != 0 || len(asked) != 2 {
		t.Fatalf("%d orders, lost %v", len(asked), lost)
	}
	first, second := asked[0], asked[1]
	if len(first.Rows) != 2 || first.Rows[1].Number != 5 || *first.Day != (calendar.Date{Year: 2026, Month: 12, Day: 1}) || !first.Draft.ShipComplete || len(first.Faults) != 0 || first.Draft.PO != "A" {
		t.Errorf("%+v %v", first, first.Day)
	}
	if second.Key != "2" || second.Day != nil || second.Draft.ShipComplete {
		t.Errorf("%+v", second)
	}
}

func TestMappingsThatCannotBe(t *testing.T) {
	for text, want := range map[string]string{
		"":          "EOF",
		"file: pdf": `file must be one of csv`,
		"a: [":      "did not find",
		"file: csv\nencoding: ebcdic\ndelimiter: \" \"\ndecimal: \"'\"": `encoding must be one of`,
		"order: {po: {colum: x}}":            `there is no field "colum" here`,
		"order: {po: [x]}":                   "write the name of a column",
		"decimal: {value: \".\", column: x}": "decimal needs either",
		"file: csv\ndates: sheet":            "in xlsx only",
		"unit: furlong":                      "unit must be one of",
	} {
		m, faults := ReadMapping([]byte(text))
		if m != nil || !slices.ContainsFunc(faults, func(f string) bool { return strings.Contains(f, want) }) {
			t.Errorf("%q: %q", text, faults)
		}
	}
}

func FuzzReadCSV(f *testing.F) {
	f.Add("Key,PO,Day,All,P,Q,L\n1,A,12/1/2026,Y,stool,2,24\n")
	f.Add("\xff\xfe")
	f.Add("a\x00b")
	m, _ := ReadMapping([]byte(small))
	f.Fuzz(func(t *testing.T, text string) {
		table, err := ReadCSV(m, []byte(text))
		var refused *Refused
		if err != nil {
			if !errors.As(err, &refused) || refused.Says == "" {
				t.Errorf("%q: %v", text, err)
			}
			return
		}
		asked, lost := Orders(m, table)
		rows := len(lost)
		for _, a := range asked {
			rows += len(a.Rows)
		}
		if rows < len(table.Rows) {
			t.Errorf("%q: %d rows, %d told of", text, len(table.Rows), rows)
		}
	})
}

func FuzzReadMapping(f *testing.F) {
	f.Add(small)
	f.Add("order: {po: {column: [x]}}")
	f.Fuzz(func(t *testing.T, text string) {
		if m, faults := ReadMapping([]byte(text)); (m == nil) != (len(faults) > 0) {
			t.Errorf("%q: %v %q", text, m, faults)
		}
	})
}
