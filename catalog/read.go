package catalog

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Read makes a catalog of files, whole or not at all: every fault that can be
// found before an order comes is returned at once, sorted by place, and the
// catalog is nil if there is any. Where a file cannot be read as such, what it
// would have said is not missed elsewhere.
func Read(files []source.File) (*Catalog, []source.Fault) {
	sorted := slices.Clone(files)
	slices.SortStableFunc(sorted, func(a, b source.File) int { return strings.Compare(a.Path, b.Path) })
	r := reading{cat: &Catalog{Files: sorted, ready: &readiness{}}, uses: map[string]string{}, used: map[string]map[string]bool{}, whole: map[string]*Attribute{}}
	r.decoded = source.Decode(sorted, &r.cat.Plan)
	if !r.lacksWhole() {
		r.all()
	}
	if faults := r.sorted(); len(faults) > 0 {
		return nil, faults
	}
	r.lint()
	source.SortFaults(r.cat.warnings)
	return r.cat, nil
}

// reading is the state of one Read.
type reading struct {
	cat     *Catalog
	decoded []source.Fault // faults of form, found by source.Decode
	faults  []source.Fault // faults of sense
	tables  map[string][]string
	own     []*ownStandard
	lacking []string                   // names of standards that formulas may well read and that are faulty
	uses    map[string]string          // kind of material -> first product that uses it
	used    map[string]map[string]bool // table -> codes that something uses
	whole   map[string]*Attribute      // table -> an attribute that chooses from all of it
	// finishOnUnknown tells that a wood finish names a species that there is not:
	// which species has no finish is not known then.
	finishOnUnknown bool
}

func (r *reading) all() {
	r.workshop()
	r.days()
	r.standards()
	r.bracketTables()
	r.jigs()
	r.welding()
	r.holdKinds()
	r.materials()
	r.finishes()
	r.cushionForms()
	r.boards()
	r.freight()
	r.handlings()
	r.products()
	r.prices()
	r.dealers()
	r.surcharges()
	r.partsOrders()
	r.shopEvents()
	r.locks()
	r.cancellation()
	r.needBy()
	r.departments()
	r.goldenNames()
}

// lacksWhole tells that a file or a top-level key could not be read, so that
// anything not found may well be written there.
func (r *reading) lacksWhole() bool {
	return slices.ContainsFunc(r.decoded, func(f source.Fault) bool { return f.Where == "" })
}

// sorted gives the faults of form, and those of sense that do not follow from
// one of them.
func (r *reading) sorted() []source.Fault {
	all := slices.Clone(r.decoded)
	for i := range all {
		if all[i].Hint == "" && !strings.Contains(all[i].Message, "gauge number") && wallOfSection.MatchString(all[i].Where) {
			all[i].Hint = "a wall is a length, never a gauge number"
		}
	}
	for _, f := range r.faults {
		if !slices.ContainsFunc(r.decoded, func(form source.Fault) bool { return follows(f.Where, form) }) {
			all = append(all, f)
		}
	}
	source.SortFaults(all)
	if len(all) > source.MaxFaults {
		more := len(all) - source.MaxFaults
		all = append(all[:source.MaxFaults], source.Fault{
			Message: fmt.Sprintf("%d more faults are not listed", more), Hint: "mend the first ones and check again"})
	}
	return all
}

const pathSeparator = " › "

var wallOfSection = regexp.MustCompile(`^sections › [^›]+ › wall$`)

// follows tells that a fault of sense stands at a place that could not be read,
// right below it, or right around it other than at a whole table. Where a key is
// missing it says nothing of the keys beside it.
func follows(sense string, form source.Fault) bool {
	if key, missing := missingKey(form); missing && rightBelow(sense, form.Where) {
		return sense == form.Where+pathSeparator+key
	}
	return sense == form.Where || rightBelow(sense, form.Where) || rightBelow(form.Where, sense) && strings.Contains(sense, pathSeparator)
}

// missingKey is the key that a fault says is missing.
func missingKey(form source.Fault) (string, bool) {
	rest, begins := strings.CutPrefix(form.Message, `the key "`)
	key, ends := strings.CutSuffix(rest, `" is missing`)
	return key, begins && ends
}

func rightBelow(place, above string) bool {
	rest, below := strings.CutPrefix(place, above+pathSeparator)
	return below && !strings.Contains(rest, pathSeparator)
}

// spot is a place in the catalog at which something may be found wrong.
type spot struct {
	r     *reading
	where string
	pos   source.Pos
}

func (r *reading) spot(keys ...string) spot {
	return spot{r: r, where: strings.Join(keys, pathSeparator)}
}

// in is the place of a key below; its position stays until at gives a better.
func (s spot) in(key string) spot {
	s.where += pathSeparator + key
	return s
}

// item is the place of the i-th item of a list, counted from 0.
func (s spot) item(i int) spot { return s.in(fmt.Sprint(i + 1)) }

func (s spot) at(pos source.Pos) spot {
	if pos != (source.Pos{}) {
		s.pos = pos
	}
	return s
}

func (s spot) fault(message, hint string) {
	s.r.faults = append(s.r.faults, source.Fault{Pos: s.pos, Where: s.where, Message: message, Hint: hint})
}

// unread tells that what stands at the place, or somewhere below it, could not
// be read, so that its zero value says nothing.
func (s spot) unread() bool {
	return slices.ContainsFunc(s.r.decoded, func(form source.Fault) bool {
		return form.Where == s.where || strings.HasPrefix(form.Where, s.where+pathSeparator)
	})
}

// entries goes through a table of the catalog with the place of each entry.
func entries[T any](s spot, table source.Map[T], visit func(spot, string, T)) {
	for key, value := range table.All() {
		visit(s.in(key.Value).at(key.Pos), key.Value, value)
	}
}

// first is the place of a table's first entry, at which something missing from
// it is faulted.
func first[T any](table source.Map[T]) source.Pos {
	for key := range table.All() {
		return key.Pos
	}
	return source.Pos{}
}

// known faults a code that is not among those known; what names its sort in
// the singular, such as "section".
func (s spot) known(what, code string, known []string) bool {
	if slices.Contains(known, code) {
		return true
	}
	if code != "" {
		s.fault(fmt.Sprintf("there is no %s %q", what, code), meant(code, known))
	}
	return false
}

// meant is the hint for an unknown word: the one that seems meant, or all.
func meant(word string, known []string) string {
	if len(known) == 0 {
		return "the catalog has none"
	}
	if near, found := source.Nearest(word, known); found {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return "there are " + listed(known)
}

// listed joins words for a sentence, at most a dozen of them.
func listed(words []string) string {
	const most = 12
	if len(words) > most {
		return fmt.Sprintf("%s and %d more", strings.Join(words[:most], ", "), len(words)-most)
	}
	return strings.Join(words, ", ")
}

// above faults a length that is not more than zero or longer than any that may
// be entered.
func (s spot) above(l unit.Length) {
	switch {
	case l <= 0:
		s.fault(fmt.Sprintf("%s is not more than zero", l), "")
	case l > unit.MaxEntry:
		s.fault(fmt.Sprintf("%s is longer than %s", l, unit.MaxEntry), "")
	}
}

// notBelow faults a length under zero or longer than any that may be entered.
func (s spot) notBelow(l unit.Length) {
	if l < 0 {
		s.fault(fmt.Sprintf("%s is less than zero", l), "")
	}
	if l > unit.MaxEntry {
		s.above(l)
	}
}

// share faults a ratio that is not a share: more than 0 and up to 1.
func (s spot) share(r unit.Ratio) {
	if r.Sign() <= 0 || r.Cmp(unit.RatioOf(1)) > 0 {
		s.fault(fmt.Sprintf("%s is not a share", r), "write more than 0 and up to 1, such as 0.70 or 70 %")
	}
}

// days faults a number of working days that no calendar reckons with.
func (s spot) days(n int) {
	if n < 0 || n > 1000 {
		s.fault(fmt.Sprintf("%d working days", n), "write 0 to 1000")
	}
}

func (s spot) twice(items []string) {
	for i, item := range items {
		if slices.Contains(items[:i], item) {
			s.fault(fmt.Sprintf("%q is listed twice", item), "leave one out")
		}
	}
}

// longestName leaves room for the dotted names made of a name.
const longestName = 60

var (
	partCode    = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)
	formulaName = regexp.MustCompile(`^[a-z][a-z0-9_]*$`)
)

func (s spot) code(what, code string) {
	if !partCode.MatchString(code) {
		s.fault(fmt.Sprintf("%q is not a code for a %s", code, what), "use lower-case letters and digits, in parts joined by -, such as front-leg")
	}
}

// name tells whether formulas can read a name, and faults it if not.
func (s spot) name(name string) bool {
	switch {
	case name == "standard":
		s.fault("standard is what formulas read the shop standards by", "choose another name")
		return false
	case formulaName.MatchString(name) && len(name) <= longestName:
		return true
	}
	s.fault(fmt.Sprintf("%q cannot be read by formulas", name),
		"a name is up to 60 lower-case letters, digits and _, and begins with a letter, such as seat_height")
	return false
}
