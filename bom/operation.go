package bom

import (
	"billwright/catalog"
	"billwright/catalog/unit"
)

// Operations on a piece of steel.
//
//	minutes = pieces · (each + by the foot or metre · finished length
//	          + by the bend · bends + by the heat · heats)
//
// rounded to a tenth of a minute. Worked: 4 pieces of 30 in at 2 min and 1 min
// by the foot are 4 · (2 + 30 / 12) = 18.0 min.

// OperationRow is one operation on the pieces of a row; Minutes are for all of
// them.
type OperationRow struct {
	Work    string  `json:"do"`
	Minutes Minutes `json:"minutes"`
	Note    string  `json:"note,omitempty"`
}

// worked is what the minutes of operations go by beside the piece: the finished
// length or that of a weld, and how many bends and heats there are.
type worked struct {
	length       unit.Length
	bends, heats int
}

func (s *shaped) worked(finished unit.Length) worked {
	by := worked{length: finished, bends: len(s.bends)}
	if s.forging != nil {
		by.heats = s.forging.Heats
	}
	return by
}

func operations(work []catalog.Operation, pieces int, by worked, x *exact) []OperationRow {
	if len(work) == 0 {
		return nil
	}
	rows := make([]OperationRow, len(work))
	for i := range work {
		op := &work[i]
		rows[i] = OperationRow{Work: op.Work, Minutes: minutes(x.minutesOf(op, by), pieces, x), Note: op.Note}
	}
	return rows
}

// minutesOf is what an operation takes on one piece.
func (x *exact) minutesOf(op *catalog.Operation, by worked) unit.Ratio {
	sum := op.Minutes
	for _, further := range []struct {
		minutes   unit.Ratio
		times, of int64
	}{{op.PerFoot, int64(by.length), int64(unit.Foot)}, {op.PerMetre, int64(by.length), int64(unit.Metre)},
		{op.PerBend, int64(by.bends), 1}, {op.PerHeat, int64(by.heats), 1}} {
		if further.minutes.Sign() == 0 {
			continue
		}
		times, err := unit.NewRatio(further.times, further.of)
		x.keep(err)
		product, err := further.minutes.Mul(times)
		x.keep(err)
		sum, err = sum.Add(product)
		x.keep(err)
	}
	return sum
}

// minutes is in tenths of a minute; what takes any time takes at least one.
func minutes(each unit.Ratio, pieces int, x *exact) Minutes {
	tenths := x.ratio(int64(pieces)*10, each.Num(), each.Den())
	if tenths == 0 && each.Sign() > 0 {
		return 1
	}
	return Minutes(tenths)
}
