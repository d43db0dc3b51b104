package choices

import "slices"

// Violation is a rule that picks break.
type Violation struct {
	Rule int32 // Compiled.Rule tells of it
	// Row is the forbidden row that holds, from 0; None for a rule of another kind.
	Row int32
	// Fields are those that the breach is about, rising: the forbidden row's and
	// those of when the rule applies, or all that the rule names.
	Fields []int32
}

// Violations gives every rule that the picks break by themselves, in the order
// of the base. A rule that a field not picked could still keep is not broken:
// whether that can be done beside all other rules, Remaining and WhyNot tell.
// Picks of every field that break no rule are a complete choice.
func (c *Compiled) Violations(picks Picks) ([]Violation, error) {
	if err := c.sound(picks); err != nil {
		return nil, err
	}
	var all []Violation
	for i := range c.base.rules {
		r := &c.base.rules[i]
		says, row := r.judge(c.base, picks)
		if says != no {
			continue
		}
		all = append(all, Violation{Rule: int32(i), Row: int32(row), Fields: r.concerns(row)})
	}
	return all, nil
}

func (r *rule) concerns(row int) []int32 {
	if row < 0 {
		return slices.Clone(r.fields)
	}
	var fields []int32
	for _, t := range slices.Concat(r.where, r.rows[row]) {
		fields = append(fields, t.field)
	}
	slices.Sort(fields)
	return slices.Compact(fields)
}

// RuleText is what a rule is called and says, and the fields it names.
type RuleText struct {
	ID, Says string
	Fields   []int32
}

// Rules is how many rules there are.
func (c *Compiled) Rules() int { return len(c.base.rules) }

// Rule tells of a rule.
func (c *Compiled) Rule(i int32) RuleText {
	r := &c.base.rules[i]
	return RuleText{ID: r.id, Says: r.says, Fields: slices.Clone(r.fields)}
}

// Use is a place where a rule names a value.
type Use struct {
	Rule int32
	Row  int32 // from 0; None for when the rule applies, or a number rule
}

// WhereUsed gives the places where rules name a field with a set that has the
// value. Sets of all or of nothing name no value. With a value of None it gives
// every place that names the field.
func (c *Compiled) WhereUsed(f, value int32) []Use {
	var uses []Use
	names := func(terms []term) bool {
		at := slices.IndexFunc(terms, func(t term) bool { return t.field == f })
		return at >= 0 && (value == None || has(terms[at].set.in, value) && !empty(terms[at].set.not.in))
	}
	for i := range c.base.rules {
		r := &c.base.rules[i]
		if names(r.where) || value == None && r.compare != nil && (r.compare.a == f || r.compare.b == f) {
			uses = append(uses, Use{int32(i), None})
		}
		for row, terms := range r.rows {
			if names(terms) {
				uses = append(uses, Use{int32(i), int32(row)})
			}
		}
	}
	return uses
}
