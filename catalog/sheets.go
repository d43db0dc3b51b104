package catalog

import (
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Sheets says that an item is bought in sheets and cut from them in the workshop.
type Sheets struct {
	Sizes    []SheetSize  `yaml:"sizes,required" doc:"Sizes it is bought in."`
	Grain    bool         `yaml:"grain" doc:"yes when pieces are never turned: their length, of wood that along the grain, lies along the sheet's length. Of cartons it is the flutes, which run along the sheet's width."`
	Kerf     *unit.Length `yaml:"kerf" doc:"Width that one cut turns to chips; 0 in for glass that is scored and broken and for what is slit. Without it the standard saw_kerf."`
	Trim     unit.Length  `yaml:"trim" doc:"Width cut off each of the four edges of a sheet before use; 0 if absent."`
	Oversize unit.Length  `yaml:"oversize" doc:"How much longer and wider than its row's size a piece is cut, both ends together, for what is ground or planed off; 0 if absent."`
	Stages   int          `yaml:"stages" doc:"How often the direction of the cuts may change, plus one, 2 or more; without it there is no limit. The plan then may take more sheets, and its bound stays that of the plan without the limit."`
	Keep     unit.Length  `yaml:"least_offcut" doc:"Least side of a leftover worth keeping; without it none is kept."`
	Pos      source.Pos   `yaml:"-"`
}

// SheetSize is one size that an item is bought in.
type SheetSize struct {
	Length    unit.Length  `yaml:"length,required" doc:"Length of a sheet; where there is a grain, along it."`
	Width     unit.Length  `yaml:"width,required" doc:"Width of a sheet."`
	Thickness *unit.Length `yaml:"thickness" doc:"Thickness of a sheet, of species and foams, where it is required: pieces of another thickness are bought as without sheets. Nothing else has one here."`
	Price     unit.Money   `yaml:"price" doc:"Price of a sheet."`
	Limit     int64        `yaml:"limit" doc:"Most sheets that can be had for a plan; without it, as many as are needed."`
}

// Of gives the sizes of a thickness, of nil all of them.
func (s *Sheets) Of(thickness *unit.Length) []SheetSize {
	if s == nil || thickness == nil {
		return s.all()
	}
	var sizes []SheetSize
	for _, size := range s.Sizes {
		if size.Thickness != nil && *size.Thickness == *thickness {
			sizes = append(sizes, size)
		}
	}
	return sizes
}

func (s *Sheets) all() []SheetSize {
	if s == nil {
		return nil
	}
	return s.Sizes
}

// Give tells that one of the sizes gives a piece, cut as it is.
func (s *Sheets) Give(sizes []SheetSize, length, width unit.Length) bool {
	for i := range sizes {
		l, w := sizes[i].Length-2*s.Trim, sizes[i].Width-2*s.Trim
		if length <= l && width <= w || !s.Grain && width <= l && length <= w {
			return true
		}
	}
	return false
}

// KerfOf is the width of a cut.
func (s *Sheets) KerfOf(c *Catalog) unit.Length {
	if s.Kerf != nil {
		return *s.Kerf
	}
	return c.Length("saw_kerf")
}
