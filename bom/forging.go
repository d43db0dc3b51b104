package bom

import (
	"fmt"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Forged pieces: steel is neither made nor lost but as scale, so that volumes
// before and after are alike. How long a bar becomes the piece (parent) stands
// in drawn.go and upset.go.
//
//	stock    = parent / (1 - scale loss), never parent · (1 + scale loss)
//	cut      = stock + hot cut, rounded by steel_cut
//	mass     = that of the parent: of the finished piece
//
// Lengths in nanometres, areas in um2. Source: handbook F-10 for the scale loss.
//
// Worked: 7 in of parent at 4 % scale loss are 7 / 0.96 = 7.2917 in, where 7 ·
// 1.04 would be 0.0117 in short.

// ForgingRow is what the smith needs beside the cut list.
type ForgingRow struct {
	// Stock is the length of bar that becomes the piece, before scale loss and
	// hot cut, to the fraction that finished lengths are given to.
	Stock unit.Length `json:"stock_length"`
	// Heats are those of one piece.
	Heats int `json:"heats"`
	// Temperature is what it is worked at, on the bill's scale: "2192 F" or
	// "1200 C".
	Temperature string `json:"temperature,omitempty"`
	Note        string `json:"note,omitempty"`
}

// ParentLength is the length of a bar of the section parent that becomes length
// of the section area: what an upset head consumes, or what is drawn out.
// Errors: unit.ErrDivideByZero, unit.ErrOverflow.
func ParentLength(length unit.Length, area, parent unit.Area) (unit.Length, error) {
	nm, err := unit.MulDivRound(int64(length), int64(area), int64(parent), unit.Nearest)
	return unit.Length(nm), err
}

// BeforeLoss is the length of which, after a share is lost, length is left:
// length / (1 - loss). Errors: unit.ErrDivideByZero, unit.ErrOverflow.
func BeforeLoss(length unit.Length, loss unit.Ratio) (unit.Length, error) {
	left, err := unit.RatioOf(1).Sub(loss)
	if err != nil {
		return 0, err
	}
	nm, err := unit.MulDivRound(int64(length), left.Den(), left.Num(), unit.Nearest)
	return unit.Length(nm), err
}

// forged adds what is lost in the fire to a shape whose parent length is known.
func (r *reckoning) forged(p *catalog.Part, shape shaped, note string, x *exact) (shaped, bool) {
	f := p.Steel.Forging
	blank, err := BeforeLoss(shape.parent, f.ScaleLoss)
	x.keep(err)
	stock := x.round(r.cat.Rounding("steel_finished"), shape.parent)
	if !r.settled(p.Path, x) {
		return shaped{}, false
	}
	if r.trace {
		r.note(p.Path, "stock", "%s / (1 - %s scale loss) = %s", shape.parent, f.ScaleLoss, blank)
	}
	shape.blank, shape.allowance = blank, f.HotCut
	shape.forging = &ForgingRow{Stock: stock, Heats: f.Heats, Temperature: r.temperature(f.Temperature), Note: note}
	return shape, true
}

// temperature is written on the scale of the bill's units.
func (r *reckoning) temperature(t *catalog.Temperature) string {
	switch {
	case t == nil:
		return ""
	case r.units == Metric:
		return fmt.Sprintf("%d C", t.Celsius())
	}
	return fmt.Sprintf("%d F", t.Fahrenheit())
}

// says is a text for the shop, its quantities in the workshop's units.
func (r *reckoning) says(format string, args ...any) string {
	return fmt.Sprintf(format, r.written(args)...)
}
