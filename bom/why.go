package bom

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/source"
)

// Why tells how every figure of one bill row came about: by which formulas, over
// which inputs, by which standards of which catalog revision, and what source
// each of those rests on.
type Why struct {
	// Row is the row's address: line / position path.
	Row     string `json:"row"`
	Line    int    `json:"line"`
	Path    string `json:"path"`
	Product string `json:"product"`
	// Part is the part of the bill that the row stands in, such as steel.
	Part string `json:"part"`
	// Values is the row itself, as the bill has it.
	Values json.RawMessage `json:"values"`
	// Revision is the catalog revision, with its first day, that the figures were
	// reckoned by; Arithmetic the version of the program's own formulas.
	Revision   int           `json:"revision"`
	Effective  calendar.Date `json:"effective"`
	Arithmetic int           `json:"arithmetic"`
	// Figures stand in the order they were reckoned in; figures of the product
	// that they read come first, and have no path.
	Figures   []WhyFigure   `json:"figures"`
	Standards []WhyStandard `json:"standards"`
	Sources   []WhySource   `json:"sources"`
}

// WhyFigure is one figure with all it was made from.
type WhyFigure struct {
	Path      string     `json:"path"`
	Figure    string     `json:"figure"`
	Text      string     `json:"text"`
	Formula   string     `json:"formula,omitempty"`
	Inputs    []WhyInput `json:"inputs,omitempty"`
	Standards []string   `json:"standards,omitempty"`
}

// WhyInput is one name that a formula read.
type WhyInput struct {
	Name  string `json:"name"`
	Value string `json:"value"`
	// From is choice, default, figure, standard, catalog (a property of what was
	// chosen) or size (of the cushion that is cut).
	From string `json:"from" enum:"choice,default,figure,standard,catalog,size"`
	// Entered is a choice's text as it was entered.
	Entered string `json:"entered,omitempty"`
}

// WhyStandard is one standard of the workshop.
type WhyStandard struct {
	Name   string `json:"name"`
	Value  string `json:"value"`
	Source string `json:"source"`
}

// WhySource is what a material's or a scale's figures rest on.
type WhySource struct {
	Of     string `json:"of"`
	Source string `json:"source"`
}

// ErrNoRow tells that a bill has no row of an address.
var ErrNoRow = errors.New("no such row")

// RowAddress is the address of a bill row, such as 2/base/leg.
func RowAddress(line int, path string) string { return strconv.Itoa(line) + "/" + path }

// Trace is a bill with all it was reckoned from.
type Trace struct {
	Catalog *catalog.Catalog
	Lines   []Line
	Bill    *Bill
	Working []Working
}

// Why explains the row of the address; ErrNoRow names the rows that are near.
func (t *Trace) Why(address string) (*Why, error) {
	number, path, _ := strings.Cut(address, "/")
	if number == "0" && strings.HasPrefix(path, "batch/") {
		return t.whyBatch(path)
	}
	if number == "0" {
		return t.whyPooled(path)
	}
	line := slices.IndexFunc(t.Lines, func(l Line) bool { return strconv.Itoa(l.Number) == number })
	if line < 0 || path == "" {
		return nil, fmt.Errorf("%w: an address is LINE/PATH, such as %s", ErrNoRow, t.anyAddress())
	}
	rows, err := t.Bill.rowsOf(line)
	if err != nil {
		return nil, err
	}
	at := slices.IndexFunc(rows, func(r addressed) bool { return r.path == path })
	if at < 0 {
		return nil, fmt.Errorf("%w: line %s has %s", ErrNoRow, number, nearRows(rows, path))
	}
	why := &Why{
		Row: RowAddress(t.Lines[line].Number, path), Line: t.Lines[line].Number, Path: path, Product: t.Bill.Lines[line].Product,
		Part: rows[at].part, Values: rows[at].values,
		Revision: t.Bill.Revision, Effective: t.Catalog.Workshop.Effective, Arithmetic: t.Bill.Arithmetic,
		Standards: []WhyStandard{}, Sources: sourcesOf(dated(t.Catalog, t.Lines[line].Config.Day()), rows[at].values),
	}
	t.figures(why, &t.Lines[line])
	return why, nil
}

// whyBatch explains a finish batch, which is of the whole order and of no line.
func (t *Trace) whyBatch(path string) (*Why, error) {
	values, near, err := t.Bill.batch(path)
	if err != nil {
		return nil, err
	}
	if values == nil {
		return nil, fmt.Errorf("%w: the order's finish batches are: %s", ErrNoRow, near)
	}
	why := &Why{
		Row: RowAddress(0, path), Path: path, Part: "batches", Values: values, Revision: t.Bill.Revision, Effective: t.Catalog.Workshop.Effective,
		Arithmetic: t.Bill.Arithmetic, Figures: []WhyFigure{}, Standards: []WhyStandard{}, Sources: sourcesOf(t.Catalog, values),
	}
	for i := range t.Working {
		if w := &t.Working[i]; w.Line == 0 && w.Path == path {
			why.Figures = append(why.Figures, WhyFigure{Path: path, Figure: w.Figure, Text: w.Text})
		}
	}
	return why, nil
}

func (t *Trace) anyAddress() string {
	if len(t.Working) > 0 {
		for i := range t.Working {
			if t.Working[i].Path != "" {
				return RowAddress(t.Working[i].Line, t.Working[i].Path)
			}
		}
	}
	return "1/base/leg"
}

// figures fills in the figures of the row, those of the product that they read,
// and the standards of all of them.
func (t *Trace) figures(why *Why, line *Line) {
	wanted := map[int]bool{}
	part := partOf(line.Config.Product, why.Path)
	for i := range t.Working {
		if w := &t.Working[i]; w.Line == line.Number && isOf(w, why.Path, part) {
			t.want(wanted, i)
		}
	}
	for i := range t.Working {
		if !wanted[i] {
			continue
		}
		w := &t.Working[i]
		figure := WhyFigure{Path: w.Path, Figure: w.Figure, Text: w.Text, Formula: w.Formula, Standards: w.Standards}
		if w.expr != nil {
			figure.Inputs = t.inputs(w, line.Config)
		}
		why.Figures = append(why.Figures, figure)
		for _, name := range w.Standards {
			why.standard(t, name)
		}
		for _, input := range figure.Inputs {
			if input.From == "standard" {
				why.standard(t, strings.TrimPrefix(input.Name, "standard."))
			}
		}
	}
}

// isOf tells that a figure belongs to a row: it is the row's own, or that of the
// part the row was reckoned for, as a cushion is for its cloth, or it says how
// many there are of a group around the part.
func isOf(w *Working, row, part string) bool {
	switch {
	case w.Path == "":
		return false
	case w.Path == row, w.Path == part:
		return true
	}
	return w.Figure == piecesFigure && strings.HasPrefix(part, w.Path+"/")
}

// partOf is the path of the part that a row was reckoned for: the deepest one
// that the row's path leads through; empty for a row of the whole line.
func partOf(product *catalog.Product, row string) string {
	deepest := ""
	var look func(parts source.Map[*catalog.Part])
	look = func(parts source.Map[*catalog.Part]) {
		for _, p := range parts.All() {
			if row == p.Path || strings.HasPrefix(row, p.Path+"/") {
				deepest = p.Path
				look(p.Parts)
			}
		}
	}
	look(product.Parts)
	return deepest
}

// want takes in a figure and, before it, the product's figures that it reads.
func (t *Trace) want(wanted map[int]bool, i int) {
	if wanted[i] {
		return
	}
	wanted[i] = true
	w := &t.Working[i]
	if w.expr == nil {
		return
	}
	for _, input := range w.expr.Inputs(w.env, false) {
		for k := range t.Working {
			if f := &t.Working[k]; f.Line == w.Line && f.Path == "" && f.Figure == input.Name {
				t.want(wanted, k)
			}
		}
	}
}

func (t *Trace) inputs(w *Working, config *catalog.Config) []WhyInput {
	read := w.expr.Inputs(w.env, t.Bill.Units == Metric)
	inputs := make([]WhyInput, 0, len(read))
	for _, in := range read {
		if in.Value == "" {
			continue // not set, so that the formula did without it
		}
		input := WhyInput{Name: in.Name, Value: in.Value, From: "size"}
		first, _, property := strings.Cut(in.Name, ".")
		if setting := settingOf(config, first); setting != nil {
			switch {
			case property:
				input.From = "catalog"
			case setting.Defaulted:
				input.From = "default"
			default:
				input.From, input.Entered = "choice", setting.Entered
			}
		}
		if _, found := config.Product.Figures.Get(in.Name); found {
			input.From = "figure"
		}
		if property && first == "standard" {
			input.From = "standard"
		}
		inputs = append(inputs, input)
	}
	return inputs
}

func settingOf(config *catalog.Config, code string) *catalog.Setting {
	for i := range config.Settings {
		if s := &config.Settings[i]; s.Attribute.Code == code {
			return s
		}
	}
	return nil
}

// standard cites a standard once.
func (w *Why) standard(t *Trace, name string) {
	s, found := t.Catalog.Standards.Get(name)
	if !found || slices.ContainsFunc(w.Standards, func(s WhyStandard) bool { return s.Name == name }) {
		return
	}
	w.Standards = append(w.Standards, WhyStandard{Name: name, Value: t.Bill.Units.standard(s), Source: s.Source})
}

// standard is a standard's value as a bill of the units writes it.
func (u Units) standard(s *catalog.Standard) string {
	switch {
	case s.Length != nil:
		return u.Length(*s.Length)
	case s.Ratio != nil:
		return s.Ratio.String()
	case s.Density != nil:
		return s.Density.String()
	case s.Mass != nil:
		return Weight(*s.Mass).In(u)
	case s.Rounding != nil:
		return s.Rounding.Mode + " to " + u.Length(s.Rounding.To)
	}
	return s.Choice
}
