package bom

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Which bar a piece is cut from.
//
//	usable length of a bar = length - trimmed ends · bar_trim - kerf
//
// The kerf is taken off only where the saw cuts after every piece, the last of a
// bar too (standard kerf_placement).
//
// A piece that no bar on the rack holds has ways out, in this order: a bar to
// order, an allowed splice. Which is taken is the catalog's policy, unless the
// order's line chooses; where neither does, the piece is refused with all ways
// out and the largest size that works.
//
// Worked: a bar of 20 ft trimmed by 1/2 in at both ends gives 239 in.

// The ways in which a piece longer than the bars on the rack is made, as an
// order's line chooses them.
const (
	WayStockToOrder = "stock to order"
	WaySplice       = "splice"
)

// Ways are all ways that a line may choose.
var Ways = []string{WayStockToOrder, WaySplice}

// BarToOrder is a bar that is not on the rack.
type BarToOrder struct {
	Length   unit.Length `json:"length"`
	LeadDays int         `json:"lead_days"`
	Vendor   string      `json:"vendor,omitempty"`
}

// supply is where a piece is cut from: a bar on the rack, unless one of the
// two is given.
type supply struct {
	toOrder *catalog.StockBar
	cuts    []unit.Length // of the pieces that are spliced, without preparation
}

// bar finds where a piece of the given cut length is cut from, or refuses it.
func (r *reckoning) bar(p *catalog.Part, section *catalog.Section, cut unit.Length) (supply, bool) {
	chosen, made := r.line.Ways[p.Path]
	if made {
		r.waysTaken = append(r.waysTaken, p.Path)
		if !slices.Contains(Ways, chosen) {
			r.refuseWay(p.Path, "way.unknown", nil, "there is no way %q to make a piece: it is one of %s", chosen, strings.Join(Ways, ", "))
			r.findings[len(r.findings)-1].Allowed = Ways
			return supply{}, false
		}
	}
	from, way := r.supplyOf(p, section, cut, chosen)
	switch {
	case way == noWay:
		r.refuseLength(p, section, cut)
	case made && way == "":
		r.refuseWay(p.Path, "way.not-needed", nil, "%s is chosen for a cut length of %s, which a bar of %s on the rack gives: leave the choice out", chosen, cut, section.Name)
	default:
		r.note(p.Path, "longest cut from the rack", "%s = %s", section.Name, r.onRack(section))
		return from, true
	}
	return supply{}, false
}

// noWay stands for a piece that cannot be cut as things are.
const noWay = "none"

// supplyOf finds where a piece is cut from, and by which way; none is needed
// where the rack has the bar. A way that is chosen goes before the catalog's
// policy.
func (r *reckoning) supplyOf(p *catalog.Part, section *catalog.Section, cut unit.Length, chosen string) (from supply, way string) {
	if cut <= r.onRack(section) {
		return supply{}, ""
	}
	if chosen == "" || chosen == WayStockToOrder {
		if bar := r.barToOrder(section, cut, chosen != ""); bar != nil {
			return supply{toOrder: bar}, WayStockToOrder
		}
	}
	if chosen == WaySplice || chosen == "" && p.Steel.Splice != nil && p.Steel.Splice.ByItself() {
		if cuts := r.divide(p, section, cut); cuts != nil {
			return supply{toOrder: spliceBar(section), cuts: cuts}, WaySplice
		}
	}
	return supply{}, noWay
}

// usable is the longest piece that a bar gives after its ends are trimmed.
func (r *reckoning) usable(bar unit.Length) unit.Length {
	bar -= unit.Length(r.trimmedEnds()) * r.cat.Length("bar_trim")
	if r.cat.Choice("kerf_placement") == "after every piece" {
		bar -= r.cat.Length("saw_kerf")
	}
	return bar
}

// onRack is the longest piece that a bar on the rack gives.
func (r *reckoning) onRack(section *catalog.Section) unit.Length {
	var longest unit.Length
	for i := range section.Stock {
		if section.Stock[i].LeadDays == 0 {
			longest = max(longest, section.Stock[i].Length)
		}
	}
	return r.usable(longest)
}

// spliceBar is the bar that spliced pieces are cut from: the longest on the
// rack or, of a section that is never there, the longest that is ordered by
// itself. There may be none.
func spliceBar(section *catalog.Section) *catalog.StockBar {
	var best *catalog.StockBar
	for i := range section.Stock {
		bar := &section.Stock[i]
		if !bar.ByItself() {
			continue
		}
		if best == nil || (bar.LeadDays == 0) != (best.LeadDays == 0) && bar.LeadDays == 0 || (bar.LeadDays == 0) == (best.LeadDays == 0) && bar.Length > best.Length {
			best = bar
		}
	}
	return best
}

// row is the bar as the piece's row shows it: nothing of one on the rack.
func (s *supply) row() *BarToOrder {
	if s.toOrder == nil || s.toOrder.LeadDays == 0 {
		return nil
	}
	return &BarToOrder{Length: s.toOrder.Length, LeadDays: s.toOrder.LeadDays, Vendor: s.toOrder.Vendor}
}

// takenByItself is the longest bar that nobody need choose.
func takenByItself(section *catalog.Section) unit.Length {
	var longest unit.Length
	for i := range section.Stock {
		if section.Stock[i].ByItself() {
			longest = max(longest, section.Stock[i].Length)
		}
	}
	return longest
}

// barToOrder is the bar that is here soonest, of those the shortest, or nil.
// Some are taken only where they are chosen.
func (r *reckoning) barToOrder(section *catalog.Section, cut unit.Length, chosen bool) *catalog.StockBar {
	var best *catalog.StockBar
	for i := range section.Stock {
		bar := &section.Stock[i]
		if bar.LeadDays == 0 || cut > r.usable(bar.Length) || !chosen && !bar.ByItself() {
			continue
		}
		if best == nil || cmp.Or(cmp.Compare(bar.LeadDays, best.LeadDays), cmp.Compare(bar.Length, best.Length)) < 0 {
			best = bar
		}
	}
	return best
}

// refuseLength tells that a piece is too long, and every way out. A way that
// was chosen and is not offered is the finding then.
func (r *reckoning) refuseLength(p *catalog.Part, section *catalog.Section, cut unit.Length) {
	ways := r.waysOut(p, section, cut)
	says := make([]string, len(ways))
	for i, way := range ways {
		says[i] = way.Says
	}
	out := "; make it shorter"
	if len(ways) > 0 {
		out = "; ways out: " + strings.Join(says, ", or ")
	}
	if chosen, made := r.line.Ways[p.Path]; made {
		r.refuseWay(p.Path, "way.not-offered", ways, "%q is not offered for a cut length of %s of %s%s", chosen, cut, section.Name, out)
		return
	}
	longest := takenByItself(section)
	r.refuse("steel.too-long", p.Path, "a cut length of %s is longer than any bar of %s gives: the longest is %s, and %s after its ends are trimmed%s",
		cut, section.Name, longest, r.usable(longest), out)
	r.findings[len(r.findings)-1].Ways = ways
}

// refuseWay reports what is wrong with the way that a line chooses for a part.
func (r *reckoning) refuseWay(path, code string, ways []catalog.WayOut, format string, args ...any) {
	r.refuse(code, path, format, args...)
	f := &r.findings[len(r.findings)-1]
	f.Pointer, f.Ways = r.wayPointer(path), ways
	for _, way := range ways {
		if way.Pointer == f.Pointer {
			f.Allowed = append(f.Allowed, way.Value)
		}
	}
}

var pointerEscapes = strings.NewReplacer("~", "~0", "/", "~1")

func (r *reckoning) wayPointer(path string) string {
	return fmt.Sprintf("/lines/%d/ways/%s", r.line.Number-1, pointerEscapes.Replace(path))
}

// waysOut lists what would do for a piece that is too long.
func (r *reckoning) waysOut(p *catalog.Part, section *catalog.Section, cut unit.Length) []catalog.WayOut {
	var ways []catalog.WayOut
	if bar := r.barToOrder(section, cut, true); bar != nil {
		ways = append(ways, catalog.WayOut{Pointer: r.wayPointer(p.Path), Value: WayStockToOrder,
			Says: r.says("stock to order, a bar of %s in %d working days", bar.Length, bar.LeadDays)})
	}
	if cuts := r.divide(p, section, cut); cuts != nil {
		lengths := make([]string, len(cuts))
		for i, l := range cuts {
			lengths[i] = r.units.Length(l)
		}
		ways = append(ways, catalog.WayOut{Pointer: r.wayPointer(p.Path), Value: WaySplice,
			Says: fmt.Sprintf("splice, welded of %s", strings.Join(lengths, " and "))})
	}
	return append(ways, r.largest(p)...)
}

// idleWays refuses ways that a line chooses for what is no piece of steel of
// its configuration.
func (r *reckoning) idleWays() {
	for _, path := range sortedKeys(r.line.Ways) {
		if slices.Contains(r.waysTaken, path) || slices.ContainsFunc(r.findings, func(f catalog.Finding) bool { return f.Pointer == r.wayPointer(path) }) {
			continue
		}
		if len(r.findings) > 0 && r.isSteel(path) {
			continue // what keeps the piece from being reckoned is told
		}
		r.refuseWay(path, "way.no-piece", nil, "%s is chosen for it, and this configuration has no such piece of steel: leave the choice out", r.line.Ways[path])
	}
}

// isSteel tells that a path is of a piece of steel of the product.
func (r *reckoning) isSteel(path string) bool {
	root := catalog.Part{Parts: r.line.Config.Product.Parts}
	part := partAt(&root, path)
	return part != nil && part.Steel != nil
}
