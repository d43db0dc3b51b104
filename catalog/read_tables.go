package catalog

import (
	"fmt"
	"math"

	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

// bracketTables makes the tables ready that formulas read.
func (r *reading) bracketTables() {
	entries(r.spot("tables"), r.cat.Tables, func(s spot, code string, t *Table) {
		t.Code = code
		before := len(r.faults)
		s = s.at(t.Pos)
		s.rows(t)
		if len(r.faults) > before || t.By == "" {
			t.rows = nil
		}
	})
}

func (s spot) rows(t *Table) {
	s = s.in("rows")
	if len(t.Rows) == 0 {
		s.fault("the table has no rows", "write at least one")
	}
	kind := s.kindGiven(t)
	for i, row := range t.Rows {
		s := s.item(i).at(row.Pos)
		below, ok := s.limit(t, i)
		gives, err := valueText(kind, row.Gives.Value)
		if err != nil || !ok {
			continue // told already
		}
		if i > 0 && len(t.rows) == i && !rises(t.rows[i-1].Below, below) {
			s.in("below").fault(fmt.Sprintf("%s is not above the %s of the row before it", below, t.rows[i-1].Below), "write the rows from the lowest")
		}
		t.rows = append(t.rows, formula.Bracket{Below: below, Gives: gives})
	}
}

// limit is the limit of a row. A last row without one holds for all the rest.
func (s spot) limit(t *Table, i int) (formula.Value, bool) {
	below := t.Rows[i].Below
	switch last := i == len(t.Rows)-1; {
	case below == nil && !last:
		s.fault("the row has no limit, so that the rows after it are never reached", "write under \"below\" what it holds for")
		return formula.Value{}, false
	case below == nil && t.By == "length":
		return formula.LengthOf(math.MaxInt64), true
	case below == nil:
		return formula.NumberOf(unit.RatioOf(math.MaxInt64)), true
	case t.By == "":
		return formula.Value{}, false
	}
	value, err := valueText(t.keyKind(), below.Value)
	if err != nil {
		s.in("below").at(below.Pos).fault(err.Error(), fmt.Sprintf("the table is looked up by %s", t.keyKind()))
		return formula.Value{}, false
	}
	return value, true
}

func rises(low, high formula.Value) bool {
	if low.Kind() == formula.Length {
		return low.Length() < high.Length()
	}
	return low.Number().Cmp(high.Number()) < 0
}

// kindGiven is the kind of what the rows give: numbers if all of them are,
// lengths if all of them are, texts if none is either.
func (s spot) kindGiven(t *Table) formula.Kind {
	var kinds [formula.Text + 1]int
	for _, row := range t.Rows {
		kinds[kindOfText(row.Gives.Value)]++
	}
	for _, kind := range []formula.Kind{formula.Number, formula.Length, formula.Text} {
		if kinds[kind] == len(t.Rows) {
			return kind
		}
	}
	first := kindOfText(t.Rows[0].Gives.Value)
	for i, row := range t.Rows {
		if kind := kindOfText(row.Gives.Value); kind != first {
			s.item(i).in("gives").at(row.Gives.Pos).fault(fmt.Sprintf("%q is a %s, and the first row gives a %s, %q", row.Gives.Value, kind, first, t.Rows[0].Gives.Value),
				"let all rows give numbers, all lengths or all texts")
		}
	}
	return first
}

func kindOfText(text string) formula.Kind {
	if _, err := unit.ParseRatio(text); err == nil {
		return formula.Number
	}
	if _, err := unit.ParseLength(text); err == nil {
		return formula.Length
	}
	return formula.Text
}

// valueText reads a value of a kind.
func valueText(kind formula.Kind, text string) (formula.Value, error) {
	switch kind {
	case formula.Number:
		number, err := unit.ParseRatio(text)
		return formula.NumberOf(number), err
	case formula.Length:
		length, err := unit.ParseLength(text)
		return formula.LengthOf(length), err
	}
	return formula.TextOf(text), nil
}

// declareTables lets formulas read the tables that are sound. That they cannot
// read the others needs no telling.
func (r *reading) declareTables(known *names) {
	for code, t := range r.cat.Tables.All() {
		if len(t.rows) == 0 {
			known.tables = append(known.tables, code.Value)
			continue
		}
		if err := known.scope.DeclareTable(code.Value, t.keyKind(), t.rows); err != nil {
			r.spot("tables").in(code.Value).at(t.Pos).fault(err.Error(), "")
			t.rows = nil
			known.tables = append(known.tables, code.Value)
		}
	}
}
