package order

import (
	"errors"
	"fmt"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/calendar"
)

// ErrOtherArithmetic tells that a bill was made by an arithmetic that this
// program no longer has: its figures stand, but their working cannot be shown.
var ErrOtherArithmetic = errors.New("the bill was made by another version of the arithmetic: its figures stand as they are, but this program cannot show their working")

// Working reckons a stored order's bill again, with the working of every figure.
// cat is the revision that the order is pinned to. The working is given only
// when the bill comes out with the stored hash, so that it is that of the very
// bill the workshop built from; else ErrOtherArithmetic.
//
// The working is not stored: on a bill of three lines making and writing it took
// twice as long as everything else about the order together, and hardly any
// bill is ever asked for it.
func Working(cat *catalog.Catalog, d *Document, hash [32]byte) ([]bom.Working, error) {
	trace, err := Trace(cat, d, hash)
	if err != nil {
		return nil, err
	}
	return trace.Working, nil
}

// Trace is Working with all that the bill was reckoned from.
func Trace(cat *catalog.Catalog, d *Document, hash [32]byte) (*bom.Trace, error) {
	if d.Bill.Arithmetic != bom.Arithmetic {
		return nil, ErrOtherArithmetic
	}
	lines := make([]bom.Line, len(d.Lines))
	for i := range d.Lines {
		line := &d.Lines[i]
		config, findings := cat.Check(line.Product, line.picks(), d.checkedOn(cat))
		if len(findings) > 0 {
			return nil, fmt.Errorf("line %d of a stored order has findings under its own catalog revision, the first: %s", line.Line, findings[0].Message)
		}
		lines[i] = bom.Line{Number: line.Line, Quantity: line.Quantity, Config: config, Ways: line.Ways, Part: line.Part}
	}
	cat = cat.Substituted(d.Substitutions)
	bill, working, findings := bom.Explode(cat, lines, true)
	if len(findings) > 0 {
		return nil, fmt.Errorf("a stored order has findings under its own catalog revision, the first: %s", findings[0].Message)
	}
	document, err := bill.Document()
	if err != nil {
		return nil, err
	}
	if bom.Hash(document) != hash {
		return nil, ErrOtherArithmetic
	}
	return &bom.Trace{Catalog: cat, Lines: lines, Bill: bill, Working: working}, nil
}

// checkedOn is the day by which the order's options are judged.
func (d *Document) checkedOn(cat *catalog.Catalog) calendar.Date {
	if d.CheckedOn != nil {
		return *d.CheckedOn
	}
	return cat.Calendar.DayOf(d.ReceivedAt)
}

// picks are what was entered for a line; defaults are left to the catalog.
func (l *DocumentLine) picks() []catalog.Pick {
	picks := make([]catalog.Pick, 0, len(l.Configuration))
	for i := range l.Configuration {
		if s := &l.Configuration[i]; !s.Defaulted {
			picks = append(picks, catalog.Pick{Attribute: s.Attribute, Text: s.Entered})
		}
	}
	return picks
}
