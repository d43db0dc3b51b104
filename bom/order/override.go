package order

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Override lets a change pass by a lock.
type Override struct {
	Lock        string `json:"lock"`
	Reason      string `json:"reason"`
	Disposition string `json:"disposition"`
	// Charge is what the dealer pays for what was made, by the disposition charge
	// only.
	Charge *unit.Money `json:"charge,omitempty"`
}

// Dispositions are what may become of what was made, by an override.
var Dispositions = []string{"keep", "recut", "stock", "scrap", "charge"}

// Overriders are the roles that may override a lock.
var Overriders = []string{"owner", "engineer"}

// LockedChange tells that a change touches what is locked.
type LockedChange struct{ Locks []Locked }

func (e *LockedChange) Error() string {
	says := make([]string, len(e.Locks))
	for i := range e.Locks {
		l := &e.Locks[i]
		says[i] = fmt.Sprintf("line %d, %s since %s by %s: %s", l.Line, l.Event, l.At.UTC().Format(time.RFC3339), l.By, l.Says)
	}
	return "the change touches what is locked: " + strings.Join(says, " ")
}

// touched are the locks that stand in the way of a change. Fewer units are free
// as long as none of those given up is locked; a way chosen otherwise is another
// making of the steel and touches every lock of its line, and another catalog
// every lock of the order.
func (d *Document) touched(cat *catalog.Catalog, c *Changed, events []ShopEvent) (touched []Locked) {
	for _, l := range d.Locks(cat, events) {
		in := func(f FieldChange) bool {
			switch {
			case f.Field == "catalog_revision": // it touches all that is made
				return true
			case f.Line != l.Line, f.Field == "price":
				return false
			case l.Whole, f.Field == "ways", f.Field == "product":
				return true
			case f.Field != "quantity":
				return slices.Contains(l.Attributes, f.Field)
			}
			left, err := strconv.Atoi(f.Is)
			old, oldErr := strconv.Atoi(f.Was)
			return err == nil && oldErr == nil && left < old && (l.Unit == 0 || l.Unit > left)
		}
		if slices.ContainsFunc(c.Fields, in) {
			touched = append(touched, l)
		}
	}
	return touched
}

// passes tells whether every lock touched is overridden by somebody who may.
func passes(touched []Locked, overrides []Override, role string) error {
	left := slices.DeleteFunc(touched, func(l Locked) bool {
		return slices.ContainsFunc(overrides, func(o Override) bool { return o.Lock == l.Lock })
	})
	if len(left) > 0 {
		return &LockedChange{left}
	}
	if len(overrides) > 0 && !slices.Contains(Overriders, role) {
		return &NotTheirOverride{Overriders}
	}
	return nil
}

// NotTheirOverride tells that a role may not override a lock.
type NotTheirOverride struct{ Roles []string }

func (e *NotTheirOverride) Error() string {
	return "a lock is overridden by: " + strings.Join(e.Roles, ", ")
}

func overrideFindings(overrides []Override) (findings []catalog.Finding) {
	for i, o := range overrides {
		at := fmt.Sprintf("/overrides/%d", i)
		if strings.TrimSpace(o.Reason) == "" {
			findings = append(findings, catalog.Finding{Pointer: at + "/reason", Code: "reason.missing", Message: "Say why the lock is overridden."})
		}
		if !slices.Contains(Dispositions, o.Disposition) {
			findings = append(findings, catalog.Finding{Pointer: at + "/disposition", Code: "disposition.unknown", Allowed: Dispositions,
				Message: fmt.Sprintf("%s is no disposition: say what becomes of what was made.", clip(o.Disposition))})
		}
		switch charged := o.Disposition == "charge"; {
		case charged && (o.Charge == nil || *o.Charge <= 0):
			findings = append(findings, catalog.Finding{Pointer: at + "/charge", Code: "charge.missing", Message: "Say what is charged for what was made, such as 85.00."})
		case !charged && o.Charge != nil:
			findings = append(findings, catalog.Finding{Pointer: at + "/charge", Code: "charge.not", Message: "Something is charged by the disposition charge only; leave it out, or choose that."})
		}
	}
	return findings
}
