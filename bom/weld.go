package bom

import (
	"strings"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Welds: the joints of groups and of spliced pieces. What they weigh and take is
// in deposit.go.

// WeldRow is one joint of a welded group, or of a spliced piece.
type WeldRow struct {
	Path  string   `json:"path"`
	Name  string   `json:"name"`
	Joins []string `json:"joins"`
	Kind  string   `json:"kind"`
	// SizeOf tells what Size is: leg, throat, depth or hole.
	SizeOf  string      `json:"size_of"`
	Size    unit.Length `json:"size"`
	Form    string      `json:"form,omitempty"`
	Process string      `json:"process"`
	Each    int         `json:"each"`
	Pieces  int         `json:"pieces"`
	Sides   int         `json:"sides"`
	// Length is welded at one joint on one side, TotalLength in all; a plug has
	// neither.
	Length      unit.Length `json:"weld_length,omitzero"`
	TotalLength unit.Length `json:"total_length,omitzero"`
	AllRound    bool        `json:"all_round,omitzero"`
	// Deposit, wire and arc minutes are for all joints of the row.
	Deposit    Weight         `json:"deposit"`
	Wire       string         `json:"wire"`
	WireWeight Weight         `json:"wire_weight"`
	Arc        Minutes        `json:"arc,omitzero"`
	GrindFlush bool           `json:"grind_flush"`
	Work       []OperationRow `json:"work,omitempty"`
	// SubstitutedFor is the item whose place the material of the row takes.
	SubstitutedFor string `json:"substituted_for,omitempty"`
}

// WeldedRow is a welded group, or a spliced piece, as a whole: what its joints
// come to, and what is done to it once it is welded.
type WeldedRow struct {
	Path        string         `json:"path"`
	Name        string         `json:"name"`
	Each        int            `json:"each"`
	Pieces      int            `json:"pieces"`
	TotalLength unit.Length    `json:"total_length"`
	Deposit     Weight         `json:"deposit"`
	WireWeight  Weight         `json:"wire_weight"`
	Arc         Minutes        `json:"arc,omitzero"`
	Work        []OperationRow `json:"work,omitempty"`
}

// joint is a joint to be welded, of which one unit of the product has each.
type joint struct {
	path, name string
	joins      []string
	each       int
	length     unit.Length
	allRound   bool
	weld       *catalog.Weld
}

// below reckons the parts of a group and then where they are welded together.
func (r *reckoning) below(p *catalog.Part, each int) {
	for _, part := range p.Parts.All() {
		r.part(part, each)
	}
	if p.Joints.Len() == 0 && len(p.AfterWelding) == 0 {
		return
	}
	var joints []joint
	for _, j := range p.Joints.All() {
		if made, there := r.joint(p, j, each); there {
			joints = append(joints, made)
		}
	}
	r.welded(p.Path, name(p), each, joints, p.AfterWelding, worked{})
}

// joint reckons how long a joint is, if the configuration has it.
func (r *reckoning) joint(group *catalog.Part, j *catalog.Joint, each int) (joint, bool) {
	made := joint{path: group.Path + "/weld/" + j.Code, name: j.Name, each: each, weld: &j.Weld, joins: make([]string, len(j.Joins))}
	for i, path := range j.Joins {
		made.joins[i] = path.Value
		if !r.there(path.Value) {
			return joint{}, false
		}
	}
	if !r.holds(made.path, j.When) {
		return joint{}, false
	}
	if j.Pieces != nil {
		n, ok := r.count(made.path, "pieces", j.Pieces)
		if !ok || n == 0 {
			return joint{}, false
		}
		if made.each *= n; made.each > maxPieces {
			r.refuse("part.too-many", made.path, "%d joints in one unit; no more than %d are taken", made.each, maxPieces)
			return joint{}, false
		}
	}
	ok := true
	switch {
	case j.Length != nil:
		made.length, ok = r.length(made.path, "weld length", j.Length)
	case j.AllRound != "":
		made.length, ok = r.allRound(made.path, group, j.AllRound)
		made.allRound = true
	}
	return made, ok
}

// allRound is the perimeter of the section of a piece below a group.
func (r *reckoning) allRound(path string, group *catalog.Part, piece string) (unit.Length, bool) {
	part := partAt(group, piece)
	if part == nil || part.Steel == nil {
		r.refuse("weld.no-piece", path, "%s, which is welded all round, is no piece of steel", r.partNamed(group.Path+"/"+piece))
		return 0, false
	}
	section, found := r.cat.Sections.Get(part.Steel.Section)
	if !found {
		r.refuse("section.unknown", path, "there is no section %q", part.Steel.Section)
		return 0, false
	}
	return r.perimeter(path, section)
}

func (r *reckoning) perimeter(path string, section *catalog.Section) (unit.Length, bool) {
	around, err := section.Perimeter()
	x := exact{err: err}
	if !r.settled(path, &x) {
		return 0, false
	}
	r.note(path, "weld length", "all round %s = %s", section.Name, around)
	return around, true
}

// partAt is the part of a path below a group, or nil.
func partAt(group *catalog.Part, path string) *catalog.Part {
	for _, part := range group.Parts.All() {
		if part.Path == path {
			return part
		}
		if strings.HasPrefix(path, part.Path+"/") {
			return partAt(part, path)
		}
	}
	return nil
}

// there tells that a row of the bill so far is that of a path, or below it.
func (r *reckoning) there(path string) bool {
	is := func(row string) bool { return row == path || strings.HasPrefix(row, path+"/") }
	for i := range r.bill.Steel {
		if is(r.bill.Steel[i].Path) {
			return true
		}
	}
	for i := range r.bill.Hardware {
		if is(r.bill.Hardware[i].Path) {
			return true
		}
	}
	return false
}

// welded adds the rows of joints and of the whole that they make.
func (r *reckoning) welded(path, name string, each int, joints []joint, after []catalog.Operation, by worked) {
	var x exact
	whole := WeldedRow{Path: path, Name: name, Each: each, Pieces: r.all(each)}
	for i := range joints {
		row, ok := r.weld(&joints[i], &x)
		if !ok {
			return
		}
		whole.TotalLength += row.TotalLength
		whole.Deposit += row.Deposit
		whole.WireWeight += row.WireWeight
		whole.Arc += row.Arc
		r.bill.Welds = append(r.bill.Welds, row)
	}
	whole.Work = operations(after, whole.Pieces, by, &x)
	if !r.settled(path, &x) {
		return
	}
	if r.trace {
		r.noteWork(path, after, whole.Work, whole.Pieces, by)
		r.note(path, "arc", "of %d joints together = %s", len(joints), whole.Arc)
		r.note(path, "weld", "%d joints, together %s long: deposit %s, wire %s", len(joints), whole.TotalLength, whole.Deposit, whole.WireWeight)
	}
	r.hot = true
	r.bill.Welded = append(r.bill.Welded, whole)
}

// weld makes the row of a joint.
func (r *reckoning) weld(j *joint, x *exact) (WeldRow, bool) {
	process, found := r.cat.Processes.Get(j.weld.Process)
	if !found {
		r.refuse("process.unknown", j.path, "there is no welding process %q", j.weld.Process)
		return WeldRow{}, false
	}
	wire, found := r.cat.Wires.Get(process.Wire)
	if !found {
		r.refuse("wire.unknown", j.path, "there is no filler wire %q", process.Wire)
		return WeldRow{}, false
	}
	pieces, sides := r.all(j.each), max(j.weld.Sides, 1)
	sizeOf, size := weldSize(j.weld)
	row := WeldRow{
		Path: j.path, Name: j.name, Joins: j.joins, Kind: j.weld.Kind, SizeOf: sizeOf, Size: size, Form: r.weldForm(j.weld),
		Process: process.Name, Each: j.each, Pieces: pieces, Sides: sides, Length: j.length, AllRound: j.allRound,
		TotalLength:    unit.Length(x.times(x.times(int64(j.length), sides), pieces)),
		SubstitutedFor: r.inPlace(wire.InPlaceOf),
		Wire:           wire.Name, GrindFlush: j.weld.GrindFlush, Work: weldWork(j.weld, pieces, j.length, x),
	}
	one := r.deposit(j, sides, wire.Density, x)
	row.Deposit = Weight(x.times(int64(one), pieces))
	bought, err := WireMass(unit.Mass(row.Deposit), process.Efficiency)
	x.keep(err)
	row.WireWeight = Weight(bought)
	if process.Rate != nil {
		row.Arc = arcMinutes(unit.Mass(row.Deposit), process.Rate.Ratio(), x)
	}
	if !r.settled(j.path, x) {
		return WeldRow{}, false
	}
	r.noteWeld(&row)
	r.noteWork(j.path, j.weld.Work, row.Work, pieces, worked{length: j.length})
	r.noteWire(&row, process)
	r.weigh(j.path, unit.Mass(x.times(int64(one), j.each)))
	r.need(j.path, KindWire, wire.Code, pieces, int64(bought), Mass)
	return row, true
}

func (r *reckoning) noteWire(row *WeldRow, process *catalog.Process) {
	if !r.trace {
		return
	}
	r.note(row.Path, "wire", "%s / %s = %s", row.Deposit, process.Efficiency, row.WireWeight)
	if process.Rate != nil {
		rate := process.Rate.String()
		if r.units == Metric {
			rate = process.Rate.Metric()
		}
		r.note(row.Path, "arc", "%s / %s = %s", row.Deposit, rate, row.Arc)
	}
}

// weldWork are the operations on the joints of a row, grinding last.
func weldWork(w *catalog.Weld, pieces int, length unit.Length, x *exact) []OperationRow {
	rows := operations(w.Work, pieces, worked{length: length}, x)
	if w.GrindFlush {
		rows = append(rows, OperationRow{Work: "grind flush", Minutes: minutes(w.GrindMinutes, pieces, x)})
	}
	return rows
}
