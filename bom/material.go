package bom

import "billwright/catalog/unit"

// The kinds of material, which decide how long before shipping a thing must be
// here.
const (
	KindSteel       = "steel"
	KindLumber      = "lumber"
	KindBlank       = "blank"
	KindGlass       = "glass"
	KindStone       = "stone"
	KindCloth       = "cloth"
	KindLeather     = "leather"
	KindOwnMaterial = "own material"
	KindFoam        = "foam"
	KindHardware    = "hardware"
	KindPowder      = "powder"
	KindLiquid      = "liquid"
	KindCarton      = "carton"
	KindWire        = "wire"
)

// Kind is a kind of material with what it is, for the reference.
type Kind struct{ Name, Doc string }

// Kinds are all kinds of material that bills ask for. Own material is dated
// like the cloth or the leather that it takes the place of, and has no need-by
// day of its own.
var Kinds = []Kind{
	{KindSteel, "Bars of a section, by cut length."},
	{KindLumber, "Rough lumber of a species and thickness, by volume."},
	{KindBlank, "Blanks of a species bought in size, by the piece."},
	{KindGlass, "Panes to size, by the piece."},
	{KindStone, "Stone tops and shelves to size, by the piece."},
	{KindCloth, "Cloth of a fabric, by length."},
	{KindLeather, "Leather, by area."},
	{KindOwnMaterial, "Cloth or leather that the customer sends."},
	{KindFoam, "Foam for cushions, by volume."},
	{KindHardware, "Bought parts by the piece; zip and welt cord by length."},
	{KindPowder, "Powder for coating, by mass."},
	{KindLiquid, "Liquid for finishing, by volume."},
	{KindCarton, "Cartons of a board, grade and size, by area of board."},
	{KindWire, "Filler wire for welding, by mass."},
}

// Material is one thing that a line needs bought. Unit is the unit of the line
// it is for, or 0 where all units are alike.
type Material struct {
	Line int
	Unit int
	// Path is the position path of the bill row that asks for it.
	Path string
	Kind string
	Item string
	// Pieces is how many for the whole line, from 1; PieceLength is the cut
	// length of each where it is bought by the bar or in sheets, else 0.
	Pieces      int
	PieceLength unit.Length
	// PieceWidth is the width of each where it is cut from a sheet, else 0.
	PieceWidth unit.Length
	// Amount is the whole quantity in the grain of Measure.
	Amount  int64
	Measure Measure
	// LeadDays is how many working days it takes to come where it is ordered for
	// this line, by a Vendor if one is named; 0 where it is at hand or bought as
	// a matter of course.
	LeadDays int
	Vendor   string
}

// Materials is everything the bill needs bought, in the order of its rows.
func (b *Bill) Materials() []Material {
	n := 0
	for i := range b.Lines {
		n += len(b.Lines[i].materials)
	}
	all := make([]Material, 0, n)
	for i := range b.Lines {
		all = append(all, b.Lines[i].materials...)
	}
	return all
}

func (r *reckoning) need(path, kind, item string, pieces int, amount int64, measure Measure) {
	if amount <= 0 {
		return
	}
	r.bill.materials = append(r.bill.materials, Material{Line: r.line.Number, Path: path, Kind: kind, Item: item, Pieces: pieces, Amount: amount, Measure: measure})
}
