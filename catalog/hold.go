package catalog

import (
	"fmt"
	"slices"

	"billwright/catalog/formula"
	"billwright/catalog/source"
)

// HoldKind is a kind of hold: what may not happen while one stands, and what
// places it.
type HoldKind struct {
	Code   string                        `yaml:"-"`
	Blocks source.OneOrMany[source.Text] `yaml:"blocks,required" doc:"What may not happen while it stands, one or several: acceptance, release, cushion, line, shipping, or a word of the shop's own."`
	Says   string                        `yaml:"says,required" doc:"The sentence people see."`
	Placed string                        `yaml:"placed" oneof:"by hand|own material|dealer on credit hold|open choice|unknown repeat" doc:"What places it: by hand, if absent; or by itself when a cushion is of customer's own material, when the dealer is on credit hold, when something unlisted was written for an open choice, or when the repeat of own material is not known. At most one kind for each."`
	Place  source.OneOrMany[source.Text] `yaml:"place" doc:"Roles that may place it by hand: rep, buyer, engineer, shop, owner; without it rep and owner."`
	Lift   source.OneOrMany[source.Text] `yaml:"lift" doc:"Roles that may lift it; without it rep and owner."`
	Pos    source.Pos                    `yaml:"-"`
}

// HoldRoles are the roles that may be named at a kind of hold.
var HoldRoles = []string{"rep", "buyer", "engineer", "shop", "owner"}

// Placers are the roles that may place a hold of the kind.
func (k *HoldKind) Placers() []string { return roles(k.Place) }

// Lifters are the roles that may lift a hold of the kind.
func (k *HoldKind) Lifters() []string { return roles(k.Lift) }

func roles(named source.OneOrMany[source.Text]) []string {
	if len(named) == 0 {
		return []string{"rep", "owner"}
	}
	list := make([]string, len(named))
	for i, word := range named {
		list[i] = word.Value
	}
	return list
}

// The words of HoldKind.Placed. An empty one stands for PlacedByHand.
const (
	PlacedByHand        = "by hand"
	PlacedOwnMaterial   = "own material"
	PlacedCredit        = "dealer on credit hold"
	PlacedOpenChoice    = "open choice"
	PlacedUnknownRepeat = "unknown repeat"
)

// Hold is a hold that a configuration calls for by itself. What hangs on the
// bill or the dealer - own material, credit - is not among them.
type Hold struct {
	Kind *HoldKind
	// Attribute is what was written or is not known, and Entered the text that
	// was written for it.
	Attribute *Attribute
	Entered   string
	// Says is the sentence for people.
	Says string
}

// HoldPlaced is the kind of hold that something places by itself: one of the
// words of HoldKind.Placed other than PlacedByHand.
func (c *Catalog) HoldPlaced(by string) (*HoldKind, bool) {
	for _, kind := range c.Holds.All() {
		if kind.Placed == by {
			return kind, true
		}
	}
	return nil, false
}

// ownCloth is a cushion whose cloth may be customer's own material.
type ownCloth struct {
	part  *Part
	whens []*Expr
	asks  []int // attributes that its repeat is reckoned from, by index
}

// unknown tells that the repeat of the cushion's cloth is not known though the
// cloth is customer's own: nobody asks for it, or not in this configuration.
func (c *ownCloth) unknown(cat *Catalog, o *outcome) bool {
	if !existingParts(c.whens, o.env) {
		return false
	}
	cushion := c.part.Cushion
	if !cat.isOwnCloth(&cushion.Cloth, o.env) && (cushion.Contrast == nil || !cat.isOwnCloth(cushion.Contrast, o.env)) {
		return false
	}
	return c.part.Cushion.OwnRepeat == nil || o.any(c.asks, func(s state) bool { return s == notAsked })
}

// isOwnCloth tells that a formula comes to customer's own material by the roll.
func (c *Catalog) isOwnCloth(e *Expr, env []formula.Value) bool {
	code, err := e.Eval(env)
	if err != nil {
		return false
	}
	fabric, found := c.Fabrics.Get(code.Text())
	return found && fabric.Own && fabric.Leather == nil
}

// unknownRepeats are the holds for own material of which nobody said how its
// pattern repeats; it is reckoned as plain meanwhile. There are none unless a
// kind of hold is placed by it.
func (k *checking) unknownRepeats(c *Catalog, made *Config) {
	kind, placed := c.HoldPlaced(PlacedUnknownRepeat)
	if !placed {
		return
	}
	for i := range k.scope.ownCloths {
		own := &k.scope.ownCloths[i]
		if !own.unknown(c, &k.out) {
			continue
		}
		made.plain = append(made.plain, own.part)
		made.Holds = append(made.Holds, Hold{Kind: kind, Says: fmt.Sprintf("%s is reckoned as plain: the repeat of the customer's own material is not known. %s", partName(own.part), kind.Says)})
	}
}

// RepeatUnknown tells that the cloth of a cushion is customer's own material of
// which nobody said how its pattern repeats. It is reckoned as plain, and held.
func (c *Config) RepeatUnknown(cushion *Part) bool { return slices.Contains(c.plain, cushion) }
