package bom

import (
	"fmt"
	"strings"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Waits, recoat windows and the earliest completion of a finish.
//
//	step       = work minutes of all pieces + cure, each coat
//	between    = the longest of flash and least recoat
//	after      = the longest of flash, least recoat and wait; of the last step, of
//	             flash, wait and handling
//	ready      = sum over the steps so far of work, cure and waits
//
// One pair of hands does all pieces of the line one after another, and nothing
// else; waits run round the clock. So ready is a bound that no plan beats with
// one pair of hands, not a date.
//
// A piece waits longest for its next coat when it is the first of the slower of
// the two steps or the last: work and waits in between, and the work of the
// slower step on all pieces but one.
//
// Worked: 10 pieces of 6 min, window 2 to 3 h, the next coat of 6 min each: the
// last waits 2 h + 9 · 6 min = 2.9 h, inside the window.

// Hours is a time of whole seconds, written in hours.
type Hours int64

const (
	minute Hours = 60
	hour   Hours = 3600
)

// RecoatRow is the window in which the next coat goes on, after the coat.
type RecoatRow struct {
	From Hours  `json:"from"`
	To   *Hours `json:"to,omitempty"`
	// Longest is how long a piece waits for its next coat, at most, when all
	// pieces are worked in turn; only where the window closes.
	Longest *Hours `json:"longest,omitempty"`
}

// CureRow is a cure in an oven, at the temperature of the work itself.
type CureRow struct {
	Minutes Minutes `json:"minutes"`
	At      string  `json:"at"`
}

// RouteRow is where the work goes for its finish.
type RouteRow struct {
	// Path is that of the steps without their number.
	Path   string `json:"path"`
	Finish string `json:"finish"`
	Pieces int    `json:"pieces"`
	// Stations are in turn, and Then is where the work goes from there.
	Stations []string `json:"stations,omitempty"`
	Then     string   `json:"then,omitempty"`
	// Hand tells that a step is the hand finishing bench's; without one the work
	// passes that bench by.
	Hand bool `json:"hand"`
	// Batch is the path of the finish batch that the pieces belong to.
	Batch string `json:"batch,omitempty"`
	// Ready is when the finish is done at the earliest, after it was begun.
	Ready *Hours `json:"ready,omitempty"`
}

// chain is the steps of one finish on one part's pieces, or of a batch of them.
type chain struct {
	path   string
	finish *catalog.Finish
	pieces int
	area   unit.Area
	rows   []FinishRow
}

// AppendText writes "31.50 h".
func (h Hours) AppendText(b []byte) ([]byte, error) {
	return append(unit.AppendDecimal(b, int64(h), int64(hour), 2), " h"...), nil
}

// MarshalText writes "31.50 h".
func (h Hours) MarshalText() ([]byte, error) { return h.AppendText(nil) }

func (h Hours) String() string {
	b, _ := h.AppendText(nil) // it has no error
	return string(b)
}

// UnmarshalText reads what MarshalText wrote.
func (h *Hours) UnmarshalText(text []byte) error {
	number, found := strings.CutSuffix(string(text), " h")
	if !found {
		return fmt.Errorf("%q: expected a number and %q", text, "h")
	}
	n, err := unscale(number, int64(hour))
	if err == nil {
		*h = Hours(n)
	}
	return err
}

// seconds are whole, the nearest, of a number of hours or minutes.
func seconds(of unit.Ratio, each Hours, x *exact) Hours {
	return Hours(x.ratio(int64(each), of.Num(), of.Den()))
}

func (m Minutes) seconds() Hours { return Hours(m) * minute / 10 }

// tenths are tenths of a minute, the nearest.
func tenths(of unit.Ratio, x *exact) Minutes { return Minutes(x.ratio(10, of.Num(), of.Den())) }

// waits writes what a step waits for, as the catalog says it.
func (r *reckoning) waits(row *FinishRow, step *catalog.FinishStep, last bool, x *exact) {
	if step.Flash.Sign() > 0 {
		flash := tenths(step.Flash, x)
		row.Flash = &flash
	}
	if w := step.Recoat; w != nil {
		row.Recoat = &RecoatRow{From: seconds(w.From, hour, x)}
		if w.To != nil {
			to := seconds(*w.To, hour, x)
			row.Recoat.To = &to
		}
	}
	if c := step.Cure; c != nil {
		row.Cure = &CureRow{Minutes: tenths(c.Minutes, x), At: r.temperature(&c.At)}
	}
	if wait := waitAfter(step, last, x); wait.Sign() > 0 {
		row.Wait = wait.String()
	}
}

// waitAfter is the longest of what a step waits for, in hours.
func waitAfter(step *catalog.FinishStep, last bool, x *exact) unit.Ratio {
	wait := step.WaitHours
	longer := func(hours unit.Ratio) {
		if hours.Cmp(wait) > 0 {
			wait = hours
		}
	}
	if step.Flash.Sign() > 0 {
		hours, err := step.Flash.Div(unit.RatioOf(60))
		x.keep(err)
		longer(hours)
	}
	if last {
		longer(step.Handle)
	} else if step.Recoat != nil {
		longer(step.Recoat.From)
	}
	return wait
}

// waitBetween is what passes between two coats of one step.
func waitBetween(step *catalog.FinishStep, x *exact) Hours {
	wait := seconds(step.Flash, minute, x)
	if step.Recoat != nil {
		wait = max(wait, seconds(step.Recoat.From, hour, x))
	}
	return wait
}

// cures is the time in the oven, of each coat.
func cures(step *catalog.FinishStep, x *exact) Hours {
	if step.Cure == nil {
		return 0
	}
	return seconds(step.Cure.Minutes, minute, x)
}

// span is a step's time from its beginning until the next may begin.
func (c *chain) span(i int, x *exact) Hours {
	step := &c.finish.Steps[i]
	layers := Hours(step.Layers())
	return c.rows[i].Minutes.seconds() + layers*cures(step, x) + (layers-1)*waitBetween(step, x) + seconds(waitAfter(step, i+1 == len(c.rows), x), hour, x)
}

// routed reckons when each step of a timed finish is done, and where the work
// goes. A finish that tells neither, outside a batch, has no route.
func (r *reckoning) routed(c *chain, batch string) {
	r.chains++
	route := RouteRow{Finish: c.finish.Name, Pieces: c.pieces, Then: c.finish.Then, Batch: batch}
	for i := range c.rows {
		row := &c.rows[i]
		route.Hand = route.Hand || row.Hand
		if n := len(route.Stations); row.Station != "" && (n == 0 || route.Stations[n-1] != row.Station) {
			route.Stations = append(route.Stations, row.Station)
		}
	}
	if len(route.Stations) == 0 && route.Then == "" && !c.finish.Timed && batch == "" {
		return
	}
	route.Path = c.path + "/finish"
	if c.finish.Timed {
		route.Ready = r.ready(c, route.Path)
	}
	r.bill.Routes = append(r.bill.Routes, route)
}

// ready fills in when each step is done and gives the last.
func (r *reckoning) ready(c *chain, route string) *Hours {
	var x exact
	var sum Hours
	for i := range c.rows {
		before := sum
		sum += c.span(i, &x)
		at := sum
		c.rows[i].Ready = &at
		if r.trace {
			r.note(c.rows[i].Path, "ready", "%s + %s", before, c.spanned(i, sum))
		}
	}
	r.settled(c.path, &x)
	if r.trace {
		r.note(route, "ready", "the last of %d steps = %s", len(c.rows), sum)
	}
	return &sum
}

// spanned is the working of a step's time.
func (c *chain) spanned(i int, sum Hours) string {
	step, row := &c.finish.Steps[i], &c.rows[i]
	var b strings.Builder
	fmt.Fprintf(&b, "%s work", row.Minutes)
	if step.Cure != nil {
		fmt.Fprintf(&b, " + %s cure", row.Cure.Minutes)
	}
	var x exact
	if step.Layers() > 1 {
		fmt.Fprintf(&b, " + %d · %s between coats", step.Layers()-1, waitBetween(step, &x))
	}
	if row.Wait != "" {
		fmt.Fprintf(&b, " + %s h wait", row.Wait)
	}
	fmt.Fprintf(&b, " = %s", sum)
	return b.String()
}

// finished sets the line's earliest completion: the longest of its finishes,
// where all of them are timed.
func (r *reckoning) finished() {
	var longest *RouteRow
	timed := 0
	for i := range r.bill.Routes {
		route := &r.bill.Routes[i]
		if route.Ready == nil {
			continue
		}
		timed++
		if longest == nil || *route.Ready > *longest.Ready {
			longest = route
		}
	}
	if longest == nil || timed != r.chains {
		return
	}
	r.bill.Finished = longest.Ready
	r.note(longest.Path, "line finished", "the longest of %d finishes = %s", timed, *longest.Ready)
}

// windows holds every recoat window of a chain against the work on all pieces.
func (r *reckoning) windows(c *chain) {
	for i := range c.rows {
		if w := c.finish.Steps[i].Recoat; w != nil && w.To != nil {
			r.window(c, i)
		}
	}
}

// window tells how long the last piece waits for its next coat.
func (r *reckoning) window(c *chain, i int) {
	var x exact
	step, row := &c.finish.Steps[i], &c.rows[i]
	longest, most := Hours(0), c.pieces
	hold := func(g gap) {
		longest = max(longest, g.longest(c.pieces, &x))
		most = min(most, g.most(*row.Recoat.To, c.pieces, &x))
	}
	own := row.Minutes.seconds() / Hours(step.Layers())
	if step.Layers() > 1 {
		hold(gap{waits: cures(step, &x) + waitBetween(step, &x), slower: own})
	}
	if g, found := c.next(i, own, &x); found {
		hold(g)
	}
	if !r.settled(c.path, &x) || longest == 0 {
		return
	}
	row.Recoat.Longest = &longest
	r.note(row.Path, "recoat", "of %d pieces one waits %s for its next coat, the window is open from %s to %s", c.pieces, longest, row.Recoat.From, *row.Recoat.To)
	if longest <= *row.Recoat.To {
		return
	}
	r.overrun(c, i, longest, most)
}

// gap is what passes from one coat to the next, of all pieces: waits, work
// between the coats, and the work of the slower of the two coats.
type gap struct{ waits, between, slower Hours }

// longest is waits + between + slower·(n - 1)/n, up to the second.
func (g gap) longest(pieces int, x *exact) Hours {
	n, err := unit.MulDivRound(int64(g.slower), int64(pieces-1), int64(pieces), unit.Up)
	x.keep(err)
	return g.waits + g.between + Hours(n)
}

// most is how many pieces at a time keep a window: the largest m with
// waits + m·between/n + (m-1)·slower/n <= to, 0 if not even one.
func (g gap) most(to Hours, pieces int, x *exact) int {
	if to < g.waits {
		return 0
	}
	byPiece := int64(g.between + g.slower)
	if byPiece == 0 {
		return pieces
	}
	room := x.times(int64(to-g.waits), pieces) + int64(g.slower)
	return int(min(room/byPiece, int64(pieces)))
}

// next is the gap from the last coat of a step to the next step's first.
func (c *chain) next(i int, own Hours, x *exact) (gap, bool) {
	step := &c.finish.Steps[i]
	g := gap{waits: cures(step, x) + seconds(waitAfter(step, false, x), hour, x), slower: own}
	for k := i + 1; k < len(c.rows); k++ {
		after := &c.finish.Steps[k]
		if after.Coating != "" {
			g.slower = max(g.slower, c.rows[k].Minutes.seconds()/Hours(after.Layers()))
			return g, true
		}
		g.between += c.rows[k].Minutes.seconds()
		g.waits += cures(after, x) + seconds(waitAfter(after, k+1 == len(c.rows), x), hour, x)
	}
	return gap{}, false
}

func (r *reckoning) overrun(c *chain, i int, longest Hours, most int) {
	row, window := &c.rows[i], c.finish.Steps[i].Recoat
	out := fmt.Sprintf("at most %d pieces at a time keep it", most)
	if most == 0 {
		out = "not even one piece keeps it"
	}
	if window.Refuses() {
		r.refuse("recoat.overrun", row.Path, "%d pieces take %s from one coat to the next, and the window of %s closes after %s; %s: order fewer, or choose another finish",
			c.pieces, longest, c.finish.Name, *row.Recoat.To, out)
		return
	}
	r.caution("recoat-overrun", row.Path, fmt.Sprintf("The recoat window closes after %s, and of %d pieces worked in turn one waits %s for its next coat: %s; split the batch, or sand back before the next coat.",
		*row.Recoat.To, c.pieces, longest, out))
}
