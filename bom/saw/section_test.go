package saw

import (
	"slices"
	"testing"

	"billwright/bom"
	"billwright/bom/cutting"
	"billwright/catalog"
	"billwright/catalog/demonstration"
	"billwright/catalog/unit"
)

func readDemonstration(t *testing.T) *catalog.Catalog {
	t.Helper()
	cat, faults := catalog.Read(demonstration.Files())
	if cat == nil {
		t.Fatal(faults)
	}
	return cat
}

// The demonstration saws 1/8 in between pieces, trims 1/2 in at both ends and
// keeps from 24 in.
func TestTheShopsSawIsItsStandards(t *testing.T) {
	if got := Of(readDemonstration(t)); got != shopSaw {
		t.Errorf("%+v, want %+v", got, shopSaw)
	}
}

// The 2 in tube is on the rack in 20 ft and comes in 24 ft within 3 days: one
// piece of 250 in needs such a bar, and one is to be had for it and no more. 250
// in of 287 leave 36 7/8, which one leg of 30 in is cut from.
func TestABarToOrderIsForThePiecesThatNeedIt(t *testing.T) {
	cat := readDemonstration(t)
	section, found := cat.Sections.Get("square-tube-2")
	if !found {
		t.Fatal("the demonstration has no 2 in tube")
	}
	pieces := []Piece{piece("A", "1/arch", "250", 1), piece("A", "1/leg", "30", 8)}
	list := ListOf(cat, section, pieces, nil)
	want := []Stock{{Length: 20 * unit.Foot, Price: 7400, Limit: cutting.Unlimited}, {Length: 24 * unit.Foot, Price: 8800, Limit: 1, LeadDays: 3}}
	if !slices.Equal(list.Stock, want) {
		t.Fatalf("stock %+v, want %+v", list.Stock, want)
	}
	plan := reckoned(t, list)
	if *plan.Cost.Price != 7400+8800 || plan.Buy[1].LeadDays != 3 {
		t.Errorf("%s", plan.Text(bom.Inch))
	}
	if list = ListOf(cat, section, pieces[1:], []Offcut{{Length: 60 * unit.Inch, Count: 2}}); len(list.Stock) != 2 || !list.Stock[1].Offcut {
		t.Errorf("without a long piece, stock %+v", list.Stock)
	}
	if list = ListOf(cat, section, []Piece{piece("A", "1/arch", "300", 1)}, nil); len(list.Stock) != 1 {
		t.Errorf("of a piece that no bar holds, stock %+v", list.Stock)
	}
}

// Two rows of a bill, and what is chalked on their pieces.
func TestPiecesOfABill(t *testing.T) {
	bill := &bom.Bill{Lines: []bom.LineBill{
		{Line: 2, Steel: []bom.SteelRow{{Path: "base/leg", Section: "square-bar-1", Pieces: 4, Cut: inches("25 1/2")}, {Path: "base/rail", Section: "flat-bar-2", Pieces: 2, Cut: inches("60")}}},
		{Line: 3, Steel: []bom.SteelRow{{Path: "base/leg", Section: "square-bar-1", Pieces: 8, Cut: inches("17")}}},
	}}
	needs := OfBill("7K3M-9QXD", bill)
	if len(needs) != 2 || needs[0].Section != "square-bar-1" || needs[1].Section != "flat-bar-2" {
		t.Fatalf("%+v", needs)
	}
	want := []Piece{piece("7K3M-9QXD", "2/base/leg", "25 1/2", 4), piece("7K3M-9QXD", "3/base/leg", "17", 8)}
	if !slices.Equal(needs[0].Pieces, want) {
		t.Errorf("%+v, want %+v", needs[0].Pieces, want)
	}
	if mark := MarkOf("7K3M-9QXD", 2, 3, "base/leg", 1, 1).Mark; mark != "7K3M-9QXD 2/base/leg unit 3" {
		t.Errorf("of one unit of a line: %q", mark)
	}
}
