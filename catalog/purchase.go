package catalog

import (
	"fmt"
	"strconv"
	"strings"

	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Quantity is an amount of material with what it is counted in: pieces, or the
// grain of the unit package.
type Quantity struct {
	Amount int64
	Of     Dimension
	text   string
}

// Dimension is what a quantity is counted in; its words are those of the measures
// of bills.
type Dimension string

// The dimensions of quantities.
const (
	Pieces  Dimension = "each"
	Lengths Dimension = "length"
	Areas   Dimension = "area"
	Volumes Dimension = "volume"
	Masses  Dimension = "mass"
)

// UnmarshalText reads "100", "1/4 yd", "40 ft2", "100 bf", "5 gal" or "25 lb".
func (q *Quantity) UnmarshalText(text []byte) error {
	said := strings.TrimSpace(string(text))
	read, err := parseQuantity(said)
	if err != nil {
		return err
	}
	read.text = said
	*q = read
	return nil
}

// String is the quantity as it was written.
func (q Quantity) String() string { return q.text }

func parseQuantity(said string) (Quantity, error) {
	if n, err := strconv.ParseInt(said, 10, 64); err == nil {
		return positive(Quantity{Amount: n, Of: Pieces}, said)
	}
	if yards, found := strings.CutSuffix(said, " yd"); found {
		r, err := unit.ParseRatio(strings.TrimSpace(yards))
		if err != nil {
			return Quantity{}, err
		}
		l, err := unit.Yard.Scale(r, unit.Nearest)
		if err != nil {
			return Quantity{}, err
		}
		return positive(Quantity{Amount: int64(l), Of: Lengths}, said)
	}
	if l, err := unit.ParseLength(said); err == nil {
		return positive(Quantity{Amount: int64(l), Of: Lengths}, said)
	}
	if a, err := unit.ParseArea(said); err == nil {
		return positive(Quantity{Amount: int64(a), Of: Areas}, said)
	}
	if v, err := unit.ParseVolume(said); err == nil {
		return positive(Quantity{Amount: int64(v), Of: Volumes}, said)
	}
	if m, err := unit.ParseMass(said); err == nil {
		return positive(Quantity{Amount: int64(m), Of: Masses}, said)
	}
	return Quantity{}, fmt.Errorf("%q is no quantity: write a whole number of pieces, or a number with its unit, such as 1/4 yd, 100 bf, 5 gal or 25 lb", said)
}

func positive(q Quantity, said string) (Quantity, error) {
	if q.Amount <= 0 {
		return q, fmt.Errorf("%q is not more than nothing", said)
	}
	return q, nil
}

// Buying is how an item is bought beyond what is needed of it.
type Buying struct {
	By     *Quantity  `yaml:"by" doc:"Whole multiples of this are bought, such as 25 lb, 5 gal, 100 bf or 1/4 yd, or 100 for boxes of a hundred. Bars, sheets, hides and cartons are counted in pieces, each size by itself. Without it, what is needed."`
	Called string     `yaml:"called" doc:"What one of these is called, such as box, bundle, pail or roll."`
	Least  *Quantity  `yaml:"least" doc:"Least that is bought at once, in the unit of by."`
	Pos    source.Pos `yaml:"-"`
}
