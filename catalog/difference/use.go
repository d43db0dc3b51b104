package difference

import (
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"time"

	"billwright/catalog"
	"billwright/catalog/calendar"
)

// Line is an order line as stored: its product, what each asked attribute was
// settled to, and the dealer who ordered it.
type Line struct {
	Dealer        string
	Product       string
	Configuration map[string]string
	// ReceivedAt is when its order was received, Promise the day on which it
	// ships; a line without a promise is touched by no closure.
	ReceivedAt time.Time
	Promise    calendar.Date
	// WaitsFor are the vendors of what is bought for the order alone, such as a
	// bar to order.
	WaitsFor []string
}

// Use tells which order lines use something that was changed or removed. It is
// made by Touched and is for one goroutine.
type Use struct {
	cat     *catalog.Catalog
	touched map[Thing]*summary
	order   []Thing
	fixed   map[string]things // by product
	names   map[string]things // by product: what its formulas name

	closings []closing
}

type summary struct {
	subject string
	act     Act
	changes int
}

// String is what is said beside an order's line, such as "fabric oat-weave
// (Oat plain weave) removed".
func (s *summary) String() string {
	if s.act == Changed && s.changes > 1 {
		return fmt.Sprintf("%s changed in %d points", s.subject, s.changes)
	}
	return s.subject + " " + string(s.act)
}

// Touched gathers what changes take away or alter. Lines are taken to be of the
// catalog from, or of one like it.
func Touched(from *catalog.Catalog, changes []Change) *Use {
	u := &Use{cat: from, touched: map[Thing]*summary{}, fixed: map[string]things{}, names: map[string]things{}}
	for _, c := range changes {
		if c.Act == Added && c.Part == "" {
			continue
		}
		s, found := u.touched[c.thing]
		if !found {
			s = &summary{subject: c.subject(), act: Changed}
			if c.thing.Table == choiceTable {
				s.subject += ": " + c.Part
			}
			u.touched[c.thing] = s
			u.order = append(u.order, c.thing)
		}
		if c.Act == Removed && (c.Part == "" || c.thing.Table == choiceTable) {
			s.act = Removed
		}
		s.changes++
	}
	return u
}

// Of lists what of the changes a line uses, in the order of the changes, and the
// closures that lie in its way (see Closing).
func (u *Use) Of(line Line) []string {
	return append(u.used(line), u.closed(line)...)
}

func (u *Use) used(line Line) []string {
	all := u.everything(line)
	if !slices.ContainsFunc(u.order, all.has) {
		return nil
	}
	// Not every part of a product is in every line of it.
	if exact, sure := u.exactly(line); sure {
		all = exact
	}
	var says []string
	for _, thing := range u.order {
		if all.has(thing) {
			says = append(says, u.touched[thing].String())
		}
	}
	return says
}

// things are what a line or a product uses.
type things map[Thing]bool

func (t things) has(thing Thing) bool { return t[thing] }

func (t things) add(table, code string) {
	if code != "" {
		t[Thing{table, code}] = true
	}
}

func (t things) join(other things) {
	for thing := range other {
		t[thing] = true
	}
}

// ordered adds what a line uses whatever it is made of: its product with its
// prices, its dealer, and the very choices made.
func (u *Use) ordered(all things, line Line, p *catalog.Product) {
	all.add("products", line.Product)
	all.add("prices", line.Product)
	all.add("dealers", line.Dealer)
	if p == nil {
		return
	}
	for attribute, a := range p.Attributes.All() {
		value, settled := line.Configuration[attribute.Value]
		if a.Choose == nil || !settled {
			continue
		}
		all[choiceThing(line.Product, attribute.Value, value)] = true
		if a.Choose.From != "" {
			u.item(all, a.Choose.From, value)
		}
	}
}

// item adds an entry of a table with what it is made of itself.
func (u *Use) item(all things, table, code string) {
	all.add(table, code)
	switch table {
	case "wood_finishes", "metal_finishes":
		finishes := u.cat.WoodFinishes
		if table == "metal_finishes" {
			finishes = u.cat.MetalFinishes
		}
		if f, found := finishes.Get(code); found {
			for i := range f.Steps {
				all.add("coatings", f.Steps[i].Coating)
			}
		}
	case "processes":
		if p, found := u.cat.Processes.Get(code); found {
			all.add("wires", p.Wire)
		}
	case "handling":
		if h, found := u.cat.Handling.Get(code); found {
			all.add("parcels", h.Parcel)
			for _, pallet := range h.Pallets {
				all.add("pallets", pallet.Value)
			}
		}
	case "species":
		if s, found := u.cat.Species.Get(code); found {
			for _, rough := range s.Rough {
				all.add("rough_thicknesses", rough)
			}
		}
	case "cushion_forms":
		if f, found := u.cat.CushionForms.Get(code); found {
			named(all, reflect.ValueOf(f))
			for _, trimming := range f.Trimmings.All() {
				all.add("hardware", trimming.Item)
			}
		}
	}
}

// everything is all that a line of a product may use, some of it perhaps only
// with other choices.
func (u *Use) everything(line Line) things {
	p, _ := u.cat.Products.Get(line.Product)
	all := things{}
	u.ordered(all, line, p)
	if p != nil {
		all.join(u.fixedOf(p))
	}
	return all
}

// fixedOf is what the parts of a product name, whether or not they exist.
func (u *Use) fixedOf(p *catalog.Product) things {
	if known, found := u.fixed[p.Code]; found {
		return known
	}
	all := things{}
	t := taking{use: u, all: all,
		exists: func(*catalog.Expr) bool { return true },
		codes:  func(e *catalog.Expr) []string { return literals(e.Value) },
	}
	t.product(p)
	u.fixed[p.Code] = all
	return all
}

// namesOf is what the formulas of a product name.
func (u *Use) namesOf(p *catalog.Product) things {
	known, found := u.names[p.Code]
	if !found {
		known = things{}
		named(known, reflect.ValueOf(p))
		u.names[p.Code] = known
	}
	return known
}

// exactly is what a line uses, found by settling it anew. It is not sure where
// the line, of another revision, does not fit the catalog any more.
func (u *Use) exactly(line Line) (all things, sure bool) {
	p, found := u.cat.Products.Get(line.Product)
	if !found {
		return nil, false
	}
	picks := make([]catalog.Pick, 0, len(line.Configuration))
	for attribute, text := range line.Configuration {
		picks = append(picks, catalog.Pick{Attribute: attribute, Text: text})
	}
	// On a day before any, so that nothing is withdrawn yet.
	config, findings := u.cat.Check(line.Product, picks, calendar.Date{})
	if len(findings) > 0 {
		return nil, false
	}
	all = things{}
	u.ordered(all, line, p)
	t := taking{use: u, all: all,
		exists: func(e *catalog.Expr) bool {
			value, err := e.Eval(config.Env())
			return err != nil || value.Bool()
		},
		codes: func(e *catalog.Expr) []string {
			value, err := e.Eval(config.Env())
			if err != nil {
				return literals(e.Value)
			}
			return []string{value.Text()}
		},
	}
	t.product(p)
	return all, true
}

// taking goes through a product's parts and takes down what they use.
type taking struct {
	use    *Use
	all    things
	exists func(when *catalog.Expr) bool
	codes  func(text *catalog.Expr) []string
}

func (t *taking) product(p *catalog.Product) {
	t.all.join(t.use.namesOf(p))
	for _, part := range p.Parts.All() {
		t.part(part)
	}
	for _, carton := range p.Cartons.All() {
		if carton.When != nil && !t.exists(carton.When) {
			continue
		}
		for _, board := range carton.Board {
			t.all.add("boards", board.Value)
		}
		t.all[Thing{Table: "freight"}] = true
		t.all.add("lifts", carton.Lift)
		t.use.item(t.all, "handling", carton.Handling)
		t.standards("carton")
	}
}

func (t *taking) part(p *catalog.Part) {
	if p.When != nil && !t.exists(p.When) {
		return
	}
	if p.MetalFinish != nil {
		t.text("metal_finishes", p.MetalFinish)
	}
	t.all.add("lifts", p.Lift)
	for _, part := range p.Parts.All() {
		t.part(part)
	}
	t.joints(p)
	switch {
	case p.Steel != nil:
		t.all.add("sections", p.Steel.Section)
		if p.Steel.Splice != nil {
			t.use.item(t.all, "processes", p.Steel.Splice.Weld.Process)
		}
		t.standards("steel")
	case p.Wood != nil:
		t.text("species", &p.Wood.Species)
		t.text("wood_finishes", &p.Wood.Finish)
		if p.Wood.Climate != nil {
			t.text("climates", p.Wood.Climate)
		}
		t.standards("wood")
	case p.Glass != nil:
		t.text("glass", &p.Glass.Glass)
		t.standards("glass")
	case p.Stone != nil:
		t.text("stone", &p.Stone.Stone)
	case p.Cushion != nil:
		t.use.item(t.all, "cushion_forms", p.Cushion.Form)
		t.text("fabrics", &p.Cushion.Cloth)
		if p.Cushion.Contrast != nil {
			t.text("fabrics", p.Cushion.Contrast)
		}
		t.all.add("foams", p.Cushion.Foam)
		t.standards("cushion")
	case p.Hardware != nil:
		t.all.add("hardware", p.Hardware.Item)
	}
}

// joints adds what a group is welded by.
func (t *taking) joints(p *catalog.Part) {
	for _, j := range p.Joints.All() {
		if j.When == nil || t.exists(j.When) {
			t.use.item(t.all, "processes", j.Weld.Process)
		}
	}
}

func (t *taking) text(table string, e *catalog.Expr) {
	for _, code := range t.codes(e) {
		t.use.item(t.all, table, code)
	}
}

func (t *taking) standards(part string) {
	for _, s := range slices.Concat(catalog.StandardNames, catalog.OptionalStandardNames) {
		if reads, known := readers[s.Name]; !known || reads == part {
			t.all.add("standards", s.Name)
		}
	}
}

// readers are the parts that a standard of catalog.StandardNames is read for;
// one that is not listed is taken to be read for all.
var readers = map[string]string{
	"steel_density": "steel", "saw_kerf": "steel", "kerf_placement": "steel", "bar_trim": "steel", "bar_trim_ends": "steel",
	"steel_finished": "steel", "steel_cut": "steel", "ring_allowance": "steel", "hot_work_caution": "steel", "hot_work_clearance": "steel", "fire_watch_minutes": "steel",
	"blank_length_allowance": "wood", "blank_width_allowance": "wood", "strip_joint_allowance": "wood", "strip_fraction": "wood",
	"wood_dust_size": "wood", "wood_dust_moisture": "wood", "moisture_low": "wood", "moisture_high": "wood", "slot_clearance": "wood", "slot_rounding": "wood",
	"glass_density": "glass", "glass_safety_height": "glass",
	"seam": "cushion", "cloth_rounding": "cushion", "foam_oversize": "cushion",
	"two_person_lift": "carton", "near_standard_size": "no part",
}

var (
	literal      = regexp.MustCompile(`'([^']*)'|"([^"]*)"`)
	standardName = regexp.MustCompile(`\bstandard\.([a-z][a-z0-9_]*)`)
	bandName     = regexp.MustCompile(`\bband\(\s*['"]([^'"]*)['"]`)
)

// literals are the texts that a formula has in quotes.
func literals(formula string) []string {
	var all []string
	for _, match := range literal.FindAllStringSubmatch(formula, -1) {
		all = append(all, match[1]+match[2])
	}
	return all
}

// named adds the standards, tables and jigs that are named anywhere in a value.
func named(all things, v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			named(all, v.Elem())
		}
		return
	case reflect.Slice:
		for i := range v.Len() {
			named(all, v.Index(i))
		}
		return
	case reflect.Struct:
	default:
		return
	}
	if e, isFormula := v.Interface().(catalog.Expr); isFormula {
		formulaNames(all, e.Value)
		return
	}
	if m, isMap := mapOf(v); isMap {
		for _, key := range m.keys() {
			named(all, m.get(key))
		}
		return
	}
	for i := range v.NumField() {
		f := v.Type().Field(i)
		switch key := yamlKey(f); {
		case key == "":
		case key == "jig" || key == "table":
			text, _ := leaf(v.Field(i))
			all.add(key+"s", text)
		default:
			named(all, v.Field(i))
		}
	}
}

func formulaNames(all things, text string) {
	for _, match := range standardName.FindAllStringSubmatch(text, -1) {
		all.add("standards", match[1])
	}
	if !strings.Contains(text, "band") {
		return
	}
	for _, match := range bandName.FindAllStringSubmatch(text, -1) {
		all.add("tables", match[1])
	}
}
