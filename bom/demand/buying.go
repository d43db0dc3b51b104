package demand

import (
	"fmt"
	"strings"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/unit"
)

// What is bought of what is needed: whole multiples of the catalog's unit, and no
// less than its least.
//
//	units  = max(needed, least if anything is needed) / by, rounded up
//	bought = units · by, or without a unit what is needed
//
// Units do not add: they are always reckoned anew from all that is needed now.
// Cloth of one dye lot is bought by the order, so that its units are the orders'
// units added up.
//
// Worked: 23 lb of powder by the box of 25 lb, and no less than 50 lb at once: 2
// boxes, 50 lb; of 57 lb 3 boxes, 75 lb.

// Unit is in what an item is bought. Amounts are in the grain of Measure.
type Unit struct {
	// Called is its name with its size, such as box of 25 lb.
	Called string
	// By is one unit, or 0 where any amount may be bought.
	By      int64
	Least   int64
	Measure bom.Measure
	// ByOrder: each order's amount is bought by itself.
	ByOrder bool
}

// UnitOf is in what an item of requirements is bought, and whether the catalog
// says so. Bars and sheets have none here: a plan says how many of them it takes,
// and BundleOf in what they come. Cartons are counted in pieces.
func UnitOf(cat *catalog.Catalog, kind, item string, measure bom.Measure) (Unit, bool) {
	if kind == bom.KindSteel || kind == bom.KindOwnMaterial {
		return Unit{}, false
	}
	if _, sheets := bom.SheetStockOf(cat, kind, item); sheets {
		return Unit{}, false
	}
	code, _, _ := strings.Cut(item, " ")
	if kind == bom.KindCarton {
		measure = bom.Each
	}
	if fabric, found := cat.Fabrics.Get(code); found && (kind == bom.KindLeather || kind == bom.KindCloth) {
		if fabric.Leather != nil {
			u, ok := hides(fabric)
			u.ByOrder = fabric.DyeLot
			return u, ok
		}
		u, ok := unitOf(fabric.Buy, measure)
		u.ByOrder = ok && fabric.DyeLot
		return u, ok
	}
	return unitOf(buyingOf(cat, kind, code), measure)
}

// BundleOf is in what bundles the bars or sheets of an item come; each length or
// size by itself.
func BundleOf(cat *catalog.Catalog, kind, item string) (Unit, bool) {
	if kind == bom.KindSteel {
		return unitOf(buyingOf(cat, kind, item), bom.Each)
	}
	stock, found := bom.SheetStockOf(cat, kind, item)
	if !found {
		return Unit{}, false
	}
	return unitOf(stock.Buy, bom.Each)
}

// buyingOf is what the catalog says of how an item is bought; nil where nothing.
func buyingOf(cat *catalog.Catalog, kind, code string) *catalog.Buying {
	switch kind {
	case bom.KindSteel:
		if x, found := cat.Sections.Get(code); found {
			return x.Buy
		}
	case bom.KindLumber, bom.KindBlank:
		if x, found := cat.Species.Get(code); found {
			return x.Buy
		}
	case bom.KindGlass:
		if x, found := cat.Glass.Get(code); found {
			return x.Buy
		}
	case bom.KindStone:
		if x, found := cat.Stone.Get(code); found {
			return x.Buy
		}
	case bom.KindFoam:
		if x, found := cat.Foams.Get(code); found {
			return x.Buy
		}
	case bom.KindHardware:
		if x, found := cat.Hardware.Get(code); found {
			return x.Buy
		}
	case bom.KindPowder, bom.KindLiquid:
		if x, found := cat.Coatings.Get(code); found {
			return x.Buy
		}
	case bom.KindCarton:
		if x, found := cat.Boards.Get(code); found {
			return x.Buy
		}
	case bom.KindWire:
		if x, found := cat.Wires.Get(code); found {
			return x.Buy
		}
	}
	return nil
}

func unitOf(buy *catalog.Buying, measure bom.Measure) (Unit, bool) {
	if buy == nil {
		return Unit{}, false
	}
	u := Unit{Measure: measure}
	if buy.By != nil {
		if bom.Measure(buy.By.Of) != measure {
			return Unit{}, false
		}
		u.By, u.Called = buy.By.Amount, called(buy.Called, buy.By.String())
	}
	if buy.Least != nil {
		if bom.Measure(buy.Least.Of) != measure {
			return Unit{}, false
		}
		u.Least = buy.Least.Amount
	}
	return u, true
}

func called(name, size string) string {
	if name == "" {
		return size
	}
	return name + " of " + size
}

// hides are bought whole, whatever else is said.
func hides(fabric *catalog.Fabric) (Unit, bool) {
	hide := int64(fabric.Leather.Hide)
	u := Unit{Called: "hide", By: hide, Measure: bom.Area}
	buy := fabric.Buy
	if buy == nil {
		return u, true
	}
	for _, one := range []struct {
		is   *catalog.Quantity
		into *int64
	}{{buy.By, &u.By}, {buy.Least, &u.Least}} {
		if one.is == nil {
			continue
		}
		area, err := unit.MulDivRound(hide, one.is.Amount, 1, unit.Nearest)
		if err != nil {
			return Unit{}, false
		}
		*one.into = area
	}
	if buy.By != nil {
		u.Called = called(buy.Called, fmt.Sprintf("%d hides", buy.By.Amount))
	}
	return u, true
}

// Bought is what is bought of an amount.
type Bought struct {
	// Units is 0 where any amount may be bought.
	Units  int64
	Amount int64
	// ByLeast: the least that is bought is more than what is needed.
	ByLeast bool
}

// Of is what is bought of amounts that are bought apart from each other; one
// alone, unless the unit is ByOrder. Amounts of nothing or less buy nothing.
func (u *Unit) Of(amounts ...int64) Bought {
	var all Bought
	for _, amount := range amounts {
		if amount <= 0 {
			continue
		}
		if amount < u.Least {
			amount, all.ByLeast = u.Least, true
		}
		if u.By > 0 {
			units := (amount-1)/u.By + 1
			all.Units += units
			amount = units * u.By
		}
		all.Amount += amount
	}
	return all
}
