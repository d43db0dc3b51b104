// Package bom explodes configured order lines into a bill: what to buy, cut,
// bend, finish, sew and box. Explode is pure: the same catalog revision, lines
// and Arithmetic give the same bill on any machine.
//
// Each file opens with its formulas, their units and source, and one worked
// number.
package bom

import (
	"crypto/sha256"

	"fmt"

	"github.com/go-json-experiment/json"

	"billwright/catalog"
)

// Arithmetic is the version of this package's arithmetic, kept with every bill.
// It is raised whenever a formula changes, so that a bill always tells how it
// was reckoned; stored bills are never reckoned again.
//
//	1  the first
//	2  a mitred piece weighs what is left once its corners are off, and its cut
//	   faces are coated at their slant
const Arithmetic = 2

// Line is one order line to explode: Quantity units of Config, from 1.
type Line struct {
	Number   int
	Quantity int
	Config   *catalog.Config
	// Ways are the ways chosen, by the path of a part: how a piece is made that
	// is longer than the bars on the rack (see Ways).
	Ways map[string]string
	// Part is the position path of the part that the line is of, or empty for the
	// whole product: a unit of the line is then one piece of it.
	Part string
}

// Bill is the bill of an order.
type Bill struct {
	Arithmetic int `json:"arithmetic"`
	Revision   int `json:"revision"`
	// Units is how the bill's quantities are written; inside they are exact.
	Units Units      `json:"units"`
	Lines []LineBill `json:"lines"`
	// Pooled is cloth of one dye lot that several lines are cut from together.
	Pooled []PooledCloth `json:"pooled_cloth,omitempty"`
	// Batches are the finish batches of the order's match sets.
	Batches []BatchRow `json:"batches,omitempty"`
}

// LineBill is the bill of one line. Pieces are those of the whole line, Each
// those of one unit. Rows stand in the order of the product's parts.
type LineBill struct {
	Line    int    `json:"line"`
	Product string `json:"product"`
	Name    string `json:"name"`
	// Part is the path of the part that the line is of, where it is not the whole.
	Part       string      `json:"part,omitempty"`
	Quantity   int         `json:"quantity"`
	UnitWeight Weight      `json:"unit_weight"`
	Steel      []SteelRow  `json:"steel,omitempty"`
	Welds      []WeldRow   `json:"welds,omitempty"`
	Welded     []WeldedRow `json:"welded,omitempty"`
	Wood       []WoodRow   `json:"wood,omitempty"`
	Glass      []GlassRow  `json:"glass,omitempty"`
	Stone      []StoneRow  `json:"stone,omitempty"`
	Finish     []FinishRow `json:"finish,omitempty"`
	Routes     []RouteRow  `json:"routes,omitempty"`
	// Finished is when the longest finish of the line is done at the earliest,
	// after it was begun; only where all of them are timed.
	Finished *Hours        `json:"finished,omitempty"`
	Cushions []CushionRow  `json:"cushions,omitempty"`
	Cloth    []ClothRow    `json:"cloth,omitempty"`
	Hardware []HardwareRow `json:"hardware,omitempty"`
	Cartons  []CartonRow   `json:"cartons,omitempty"`
	Cautions []Caution     `json:"cautions,omitempty"`

	// How cartons travel and what is lifted by hand, where the catalog says so.
	Units []UnitRow `json:"handling_units,omitempty"`
	Lifts []LiftRow `json:"lifts,omitempty"`

	materials   []Material
	substituted []string // see Bill.Substituted
}

// Explode reckons the bill of an order's lines. Findings tell everything that
// keeps a line from being made; with any finding there is no bill. The working
// is empty unless wanted.
func Explode(cat *catalog.Catalog, lines []Line, wantWorking bool) (*Bill, []Working, []catalog.Finding) {
	bill, recording, findings := explode(cat, lines, wantWorking)
	if len(findings) > 0 {
		return nil, nil, findings
	}
	return bill, recording.Working(), nil
}

// Record is Explode that records how every figure came about.
func Record(cat *catalog.Catalog, lines []Line) (*Bill, *Recording, []catalog.Finding) {
	bill, recording, findings := explode(cat, lines, true)
	if len(findings) > 0 {
		return nil, nil, findings
	}
	return bill, recording, nil
}

func explode(cat *catalog.Catalog, lines []Line, trace bool) (*Bill, *Recording, []catalog.Finding) {
	bill := &Bill{Arithmetic: Arithmetic, Revision: cat.Revision, Units: unitsOf(cat), Lines: make([]LineBill, 0, len(lines))}
	recording := &Recording{units: bill.Units}
	if trace {
		const usual = 96 // figures of a line
		recording.steps = make([]step, 0, usual*len(lines))
	}
	var findings []catalog.Finding
	var matches []match
	for _, line := range lines {
		r := reckoning{cat: cat, units: bill.Units, line: line, env: line.Config.Env(), trace: trace, steps: recording.steps}
		if trace {
			r.cat = cat.Watched(r.readsStandard)
		}
		r.explode()
		recording.steps = r.steps
		findings = append(findings, r.findings...)
		matches = append(matches, r.matches...)
		bill.Lines = append(bill.Lines, r.bill)
	}
	for _, b := range batches(matches) {
		r := reckoning{cat: cat, units: bill.Units, trace: trace, steps: recording.steps}
		bill.Batches = append(bill.Batches, r.batched(&b))
		recording.steps = r.steps
		findings = append(findings, r.findings...)
		bill.warn(r.line.Number, r.bill.Cautions)
	}
	if len(findings) == 0 {
		var pooled []step
		pooled, findings = bill.pool(cat, trace)
		recording.steps = append(recording.steps, pooled...)
	}
	return bill, recording, findings
}

// warn adds cautions to a line.
func (b *Bill) warn(line int, cautions []Caution) {
	for i := range b.Lines {
		if b.Lines[i].Line == line {
			b.Lines[i].Cautions = append(b.Lines[i].Cautions, cautions...)
		}
	}
}

// unitsOf are the units that a workshop's bills are written in.
func unitsOf(cat *catalog.Catalog) Units { return Units(cat.Workshop.Units) }

// Document is the bill as stored and shown: JSON whose bytes depend on nothing
// but the bill.
func (b *Bill) Document() ([]byte, error) { return Document(b.Units, b) }

// Document writes a bill, or what is made of one, as JSON. How quantities are
// written is decided here and nowhere else.
func Document(units Units, of any) ([]byte, error) {
	options := []json.Options{json.Deterministic(true)}
	if units == Metric {
		options = append(options, metric)
	}
	document, err := json.Marshal(of, options...)
	if err != nil {
		return nil, fmt.Errorf("write the bill: %w", err)
	}
	return document, nil
}

// Hash is the SHA-256 of a bill's document.
func Hash(document []byte) [sha256.Size]byte { return sha256.Sum256(document) }
