package order

import (
	"fmt"
	"slices"
	"strings"

	"billwright/catalog"
)

// The audiences of a note or an attachment. The workshop's own people see all of
// them, a dealer only what is meant for him.
const (
	ForInternal = "internal"
	ForDealer   = "dealer"
	ForShop     = "shop"
)

// Audiences are all audiences.
var Audiences = []string{ForInternal, ForDealer, ForShop}

// AddNote is the act of writing a note, Attach that of attaching a file. Neither
// makes another version of the order, but for a note that changes the build.
const (
	AddNote Act = "add note"
	Attach  Act = "attach file"
)

// Note is something said beside an order. It never is a specification: one that
// changes the build holds the order until engineering has settled it.
type Note struct {
	// Seq numbers an order's notes for an audience from 1.
	Seq      int
	Audience string
	// Line is 0 for the whole order.
	Line         int
	Text         string
	ChangesBuild bool
	// Hold is the number of the hold that a note which changes the build placed.
	Hold int
}

// MaxNote is the most characters of a note, MaxNotes the most notes
// of an order for one audience.
const (
	MaxNote  = 2000
	MaxNotes = 500
)

// CheckNote finds what is wrong with a note of the order.
func (d *Document) CheckNote(n Note) []catalog.Finding {
	findings := d.checkBeside(n.Audience, n.Line)
	if strings.TrimSpace(n.Text) == "" {
		findings = append(findings, catalog.Finding{Pointer: "/text", Code: "missing", Message: "Write what the note says."})
	}
	if finding := checkText("/text", "note", n.Text, MaxNote, true); finding != nil {
		findings = append(findings, *finding)
	}
	return findings
}

// checkBeside finds what is wrong with the audience and the line of a note or an
// attachment.
func (d *Document) checkBeside(audience string, line int) (findings []catalog.Finding) {
	if !slices.Contains(Audiences, audience) {
		findings = append(findings, catalog.Finding{Pointer: "/audience", Code: "audience.unknown", Allowed: Audiences,
			Message: fmt.Sprintf("There is no audience %s: it is internal, dealer or shop.", clip(audience))})
	}
	if line != 0 && d.line(line) == nil {
		findings = append(findings, catalog.Finding{Pointer: "/line", Code: "line.unknown", Message: fmt.Sprintf("There is no line %d on this order.", line)})
	}
	return findings
}

// HoldForNote places the hold of a note that changes the build. Its reason is
// seen by whoever sees the order, so it tells nothing of a note that is not meant
// for all of them. Errors: *OutOfOrder, *NoSuchHold.
func (d *Document) HoldForNote(cat *catalog.Catalog, n Note) (Hold, error) {
	if err := d.Allows(PlaceHold); err != nil {
		return Hold{}, err
	}
	kind := engineeringHold(cat)
	if kind == nil {
		return Hold{}, &NoSuchHold{"the catalog has no kind of hold that keeps an order from being accepted until engineering has settled it"}
	}
	reason := "A note asks for another build, and a note is no specification: " + kind.Says
	if n.Audience == ForDealer {
		reason = fmt.Sprintf("Note %d asks for another build, and a note is no specification: %s", n.Seq, kind.Says)
	}
	h := Hold{Seq: len(d.Holds) + len(d.Lifted) + 1, Line: n.Line, Kind: kind.Code, Blocks: blockedBy(kind), Reason: reason}
	d.Holds = append(d.Holds, h)
	return h, nil
}

// engineeringHold is the kind of hold with which engineering settles how
// something is made: that of open choices, else the one so called, else one that
// blocks acceptance. Nil where the catalog has none of them.
func engineeringHold(cat *catalog.Catalog) *catalog.HoldKind {
	if kind, found := cat.HoldPlaced(catalog.PlacedOpenChoice); found {
		return kind
	}
	if kind, found := cat.Holds.Get("engineering"); found {
		return kind
	}
	for _, kind := range cat.Holds.All() {
		if slices.Contains(blockedBy(kind), blocksAcceptance) {
			return kind
		}
	}
	return nil
}
