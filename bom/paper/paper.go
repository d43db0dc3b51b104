package paper

import (
	"billwright/bom"
	"billwright/bom/picture"
)

// Department is one department of the shop, as its code is written in addresses.
type Department string

// The departments, in the order in which the work passes them.
const (
	Saw        Department = "saw-and-forge"
	Weld       Department = "weld"
	Finish     Department = "finish"
	Wood       Department = "wood"
	Upholstery Department = "upholstery"
	Assembly   Department = "assembly"
	Boxing     Department = "boxing"
	Shipping   Department = "shipping"
)

// Departments are all of them.
var Departments = []Department{Saw, Weld, Wood, Finish, Upholstery, Assembly, Boxing, Shipping}

var departmentNames = map[Department]string{
	Saw: "Saw and forge", Weld: "Weld", Finish: "Finish", Wood: "Wood", Upholstery: "Upholstery", Assembly: "Assembly", Boxing: "Boxing", Shipping: "Shipping",
}

// Name is the department's name as people read it.
func (d Department) Name() string { return departmentNames[d] }

// Paper is what is printed: its pages follow one another under one head.
type Paper struct {
	// Title names the paper in a list and in the file.
	Title string
	Sheets
	// Label tells that each sheet is a label of 4 by 6 in and not a page.
	Label bool
}

// Sheets are the sheets of a paper.
type Sheets []*Sheet

// Sheet is what is printed under one head, on as many pages as it takes.
type Sheet struct {
	Department Department
	Head       Head
	Blocks     []Block
	// Metric takes a rule of 100 mm in place of one of 4 in; Shop prints it.
	Metric, Shop bool
	// Label is what a label says; a label has nothing else.
	Label *Label
	// Foot stands at the foot of each page, such as its version and revision.
	Foot string
}

// Head is the head of every page of a sheet.
type Head struct {
	// Title is large, Part below it says which part of the work it is.
	Title, Part string
	// Over stands over Number, the largest on the page, and Under below it.
	Over, Number, Under string
	Code                Code
	// Stops are why nothing may be made from it: each a word and a sentence.
	Stops []Stop
	Facts []Fact
}

// Stop keeps a sheet, or some lines of it, from being worked from.
type Stop struct {
	// Word is NOT RELEASED, HELD, SUPERSEDED or CANCELLED.
	Word, Says string
	// Lines are those that it is of; none is the whole sheet.
	Lines []int
}

// Fact is a name and what it is.
type Fact struct{ Name, Value string }

// Code is what a scannable code leads to and the words below it.
type Code struct{ Address string }

// BlockKind is what a block is.
type BlockKind int

// The kinds of block.
const (
	Heading BlockKind = iota
	Rows
	Card
	Caution
	Note
	Drawing
)

// Block is one part of a sheet.
type Block struct {
	Kind BlockKind
	// Text is that of a heading, a note or a caution; Small goes with a heading,
	// Lead is the bold beginning of a caution.
	Text, Small, Lead string
	// Columns and Lines are those of Rows.
	Columns []Column
	Lines   []Row
	// Picture and Tally are those of a card or a drawing.
	Picture *picture.Picture
	Tally   *Tally
	Items   []string // of a card
}

// Column is one column of rows.
type Column struct {
	Title string
	Width picture.Dot
	Right bool
	// After is room behind the column beside the gutter.
	After picture.Dot
}

// Row is one row of a table. Of are the rows of the bill that it is.
type Row struct {
	Of    []Address
	Cells []Cell
	Tally *Tally
	// Beside puts the boxes, at most six, into the last column; who did it is then
	// written elsewhere.
	Beside bool
}

// Address is that of a row of the bill: line 0 is the whole order.
type Address struct {
	Line int
	Part string
	Path string
}

// Cell is the lines of a cell, one below another.
type Cell []Text

// Text is one line in one size.
type Text struct {
	Text string
	Size picture.Dot
	Bold bool
}

// Tally is the boxes to tick, one a piece, and who scrapped what and why.
type Tally struct {
	Pieces int
	Done   string // what is ticked, such as cut
}

// boxesAlone is how many boxes are drawn one a piece; of more, each box is ten.
const boxesAlone = 200

// boxes are how many are drawn and how many pieces each stands for.
func (t *Tally) boxes() (count, each int) {
	if t.Pieces <= boxesAlone {
		return t.Pieces, 1
	}
	return (t.Pieces + 9) / 10, 10
}

// spoiled is the word for what is no longer good: a carton is not scrapped.
func (t *Tally) spoiled() string {
	if t.Done == loaded {
		return "damaged"
	}
	return "scrapped"
}

// loaded is what is done to a carton at the dock.
const loaded = "loaded"

// The sizes of type, in hundredths of a point.
const (
	sizeDepartment = 27 * picture.Pt
	sizeNumber     = 38 * picture.Pt
	sizeBig        = 21 * picture.Pt
	sizeMark       = 19 * picture.Pt
	sizeCount      = 17 * picture.Pt
	sizeHeading    = 14 * picture.Pt
	sizeText       = 1250
	sizeSmall      = 1050
	sizeColumn     = 950
)

func big(text string) Text    { return Text{text, sizeBig, true} }
func mark(text string) Text   { return Text{text, sizeMark, true} }
func many(text string) Text   { return Text{text, sizeCount, false} }
func strong(text string) Text { return Text{text, sizeText, true} }
func plain(text string) Text  { return Text{text, sizeText, false} }
func small(text string) Text  { return Text{text, sizeSmall, false} }

// smalls are lines in small type, without those that are empty.
func smalls(texts ...string) Cell {
	var c Cell
	for _, t := range texts {
		if t != "" {
			c = append(c, small(t))
		}
	}
	return c
}

// partDepartment says which department a part of the bill belongs to; lifts
// belong to boxing where they are of a carton, and else to assembly.
var partDepartment = map[string]Department{
	"steel": Saw, "welds": Weld, "welded": Weld, "wood": Wood, "finish": Finish, "routes": Finish, "batches": Finish,
	"cushions": Upholstery, "cloth": Upholstery, "pooled_cloth": Upholstery, "glass": Assembly, "stone": Assembly, "hardware": Assembly,
	"cartons": Boxing, "handling_units": Shipping,
}

func units(metric bool) bom.Units {
	if metric {
		return bom.Metric
	}
	return bom.Inch
}
