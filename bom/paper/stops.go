package paper

import (
	"fmt"
	"slices"
	"strings"

	"billwright/bom"
	"billwright/bom/order"
)

// What keeps a paper from being worked from. A line may be worked once it is
// released, or where its frame was started, for all that is not the cushion's. A
// hold keeps a department from the work that it blocks; a word of the shop's own
// blocks all of them. What is superseded or cancelled is never worked from.

var workable = []order.State{order.Released, order.InWork, order.Ready, order.ShippedInPart, order.Shipped, order.Closed}

// frameWork are the departments that work on a frame that was started.
var frameWork = []Department{Saw, Weld, Wood, Finish}

// stopsOf are the stops by line, those of the whole order under 0.
func stopsOf(job *Job, d Department) map[int][]Stop {
	doc := job.Document
	stops := map[int][]Stop{}
	switch {
	case job.Standing != 0 && job.Standing != doc.Version:
		stops[0] = []Stop{{Word: "SUPERSEDED", Says: fmt.Sprintf("version %d stands in its place. Work from that one.", job.Standing)}}
		return stops
	case doc.State == order.Cancelled:
		stops[0] = []Stop{{Word: "CANCELLED", Says: "nothing more is made of it."}}
		return stops
	}
	for i := range doc.Lines {
		l := &doc.Lines[i]
		if l.State == order.Cancelled {
			stops[l.Line] = append(stops[l.Line], Stop{Word: "CANCELLED", Says: "nothing more is made of it."})
			continue
		}
		started := l.StartFrame && slices.Contains(frameWork, d) && doc.Firm(job.Catalog, l.Line, bom.KindSteel)
		if !started && !slices.Contains(workable, l.State) {
			stops[l.Line] = append(stops[l.Line], Stop{Word: "NOT RELEASED", Says: "it is " + string(l.State) + "; nothing is to be made yet."})
		}
		for k := range doc.Holds {
			h := &doc.Holds[k]
			if (h.Line == 0 || h.Line == l.Line) && !started && holdsUp(h, d) {
				stops[l.Line] = append(stops[l.Line], Stop{Word: "HELD", Says: h.Kind + ": " + h.Reason})
			}
		}
	}
	return stops
}

// holdsUp tells whether a hold keeps a department from its work.
func holdsUp(h *order.Hold, d Department) bool {
	return slices.ContainsFunc(h.Blocks, func(word string) bool {
		switch word {
		case "shipping":
			return d == Shipping
		case "cushion":
			return d == Upholstery
		}
		return true
	})
}

// stopList are the stops of the lines that the sheet has rows of, each once.
func (b *bench) stopList() []Stop {
	if len(b.stops[0]) > 0 {
		return b.stops[0]
	}
	on := b.on
	var list []Stop
	for _, line := range sortedLines(b.stops) {
		if !slices.Contains(on, line) && !slices.Contains(on, 0) {
			continue
		}
		for _, s := range b.stops[line] {
			at := slices.IndexFunc(list, func(o Stop) bool { return o.Word == s.Word && o.Says == s.Says })
			if at < 0 {
				list = append(list, Stop{s.Word, s.Says, []int{line}})
				continue
			}
			if !slices.Contains(list[at].Lines, line) {
				list[at].Lines = append(list[at].Lines, line)
			}
		}
	}
	for i := range list {
		if len(list[i].Lines) == len(b.job.Document.Lines) {
			list[i].Lines = nil
		}
	}
	return list
}

// text is a stop in the words of its frame.
func (s *Stop) text() string {
	of := ""
	if len(s.Lines) > 0 {
		numbers := make([]string, len(s.Lines))
		for i, n := range s.Lines {
			numbers[i] = fmt.Sprint(n)
		}
		of = map[bool]string{true: "line ", false: "lines "}[len(numbers) == 1] + strings.Join(numbers, ", ") + ", "
	}
	return of + s.Says
}
