package catalog

import (
	"fmt"
	"slices"

	"billwright/catalog/source"
)

// holdKinds checks the kinds of hold. At most one is placed by each thing that
// places holds by itself.
func (r *reading) holdKinds() {
	placed := map[string]string{}
	entries(r.spot("holds"), r.cat.Holds, func(s spot, code string, h *HoldKind) {
		h.Code = code
		s = s.at(h.Pos)
		if len(h.Blocks) == 0 {
			s.in("blocks").fault("the hold blocks nothing", "write at least one thing that may not happen while it stands")
		}
		s.in("blocks").twice(values(h.Blocks))
		s.in("blocks").misspelled(h.Blocks)
		s.in("place").roles(h.Place)
		s.in("lift").roles(h.Lift)
		if h.Placed == "" || h.Placed == PlacedByHand {
			return
		}
		if other := placed[h.Placed]; other != "" {
			s.in("placed").fault(fmt.Sprintf("%s is placed by %s already", other, h.Placed), "let only one kind of hold be placed by it")
			return
		}
		placed[h.Placed] = code
	})
}

// blockable are the words of what holds mostly block. A shop may have its own.
var blockable = []string{"acceptance", "release", "cushion", "line", "shipping"}

// misspelled faults words that are nearly, but not quite, one of blockable:
// nothing would be blocked by them.
func (s spot) misspelled(words []source.Text) {
	for _, word := range words {
		if near, found := source.Nearest(word.Value, blockable); found && !slices.Contains(blockable, word.Value) {
			s.at(word.Pos).fault(fmt.Sprintf("%q is nearly %q and not the same", word.Value, near), fmt.Sprintf("did you mean %q?", near))
		}
	}
}

// needsHold faults that something places a hold by itself and no kind is said
// to be placed by it; what says what does, such as "dealer x is on credit hold".
func (s spot) needsHold(placed, what string) {
	if _, found := s.r.cat.HoldPlaced(placed); !found && !s.r.spot("holds").unread() {
		s.fault(what+", and no kind of hold is placed by it", fmt.Sprintf("write placed: %s at one of the holds", placed))
	}
}

// roles faults words that are no roles of HoldRoles, or are written twice.
func (s spot) roles(named source.OneOrMany[source.Text]) {
	for _, role := range named {
		s.at(role.Pos).known("role", role.Value, HoldRoles)
	}
	s.twice(values(named))
}
