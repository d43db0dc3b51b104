package api

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strconv"

	"billwright/catalog"
	"billwright/catalog/calendar"
)

// choicesRequest is what was picked so far, on one or several lines.
type choicesRequest struct {
	Lines []choiceLine `json:"lines" minItems:"1" maxItems:"50" doc:"What was picked so far, line by line."`
}

type choiceLine struct {
	Product       textEntry              `json:"product" required:"false" doc:"Code of the product."`
	Configuration map[string]choiceEntry `json:"configuration" required:"false" maxProperties:"100" doc:"Value by attribute of what was picked so far, as in an order; what is left out is still open."`
	Keep          []string               `json:"keep,omitempty" required:"false" maxItems:"100" doc:"Attributes whose picks the nearest order is to keep, at the cost of others."`
}

type postChoicesInput struct{ Body choicesRequest }

// choicesReply tells what may still be chosen on each line.
type choicesReply struct {
	Revision int           `json:"revision" doc:"Revision of the catalog in force."`
	Lines    []lineChoices `json:"lines"`
}

type lineChoices struct {
	Product       string           `json:"product"`
	Name          string           `json:"name"`
	Attributes    []choicesOf      `json:"attributes" doc:"In the order in which they are asked. Beside a contradiction nothing is left of any."`
	Contradiction *reasonShown     `json:"contradiction,omitempty" doc:"Why what was picked cannot stand together: without any one of it the others could."`
	NearestOrder  []changeShown    `json:"nearest_order,omitempty" doc:"Beside a contradiction: what to change, and as little as can be, to have something that can be built."`
	NearestProven *bool            `json:"nearest_proven,omitempty" doc:"Whether nothing that can be built changes less."`
	Findings      []Finding        `json:"findings,omitempty" doc:"Picks that are wrong by themselves. They were left out of what is told here."`
	Refuses       []refusalPending `json:"may_still_refuse" doc:"What is looked at only when the whole is checked, and may refuse it then."`
	Bounded       bool             `json:"bounded,omitempty" doc:"true when the rules were too tangled to be searched to the end: values that could not be ruled out are then among those left."`
}

// choicesOf is what is left of one attribute.
type choicesOf struct {
	Attribute       string          `json:"attribute"`
	Name            string          `json:"name"`
	Picked          string          `json:"picked,omitempty" doc:"What was picked, as it was entered. What is left is then what it could be changed to, all other picks kept."`
	Asked           string          `json:"asked" enum:"yes,no,depends" doc:"Whether it is asked: depends on what else is chosen."`
	NotAskedBecause *reasonShown    `json:"not_asked_because,omitempty"`
	Forced          *string         `json:"forced,omitempty" doc:"The only value left; empty for not being asked."`
	Default         string          `json:"default,omitempty" doc:"Taken when nothing is picked."`
	DefaultFits     bool            `json:"default_fits,omitempty" doc:"Whether the default is among what is left."`
	Choices         []choiceLeft    `json:"choices,omitempty" doc:"Every value of a choice, left or not."`
	Unlisted        *choiceLeft     `json:"unlisted,omitempty" doc:"Whether something that is not listed may be written."`
	Intervals       []intervalShown `json:"intervals,omitempty" doc:"What is left of a size or a count."`
	Gaps            []gapShown      `json:"gaps,omitempty" doc:"What is kept out of a size's or a count's limits."`
}

type choiceLeft struct {
	Choice  string       `json:"choice,omitempty"`
	Name    string       `json:"name"`
	Left    bool         `json:"left" doc:"Whether it can still be chosen and completed to something that can be built."`
	Because *reasonShown `json:"because,omitempty" doc:"Why it cannot."`
}

type intervalShown struct {
	From string `json:"from"`
	To   string `json:"to" doc:"Of a size, what lies on its step from the one to the other, both included."`
}

type gapShown struct {
	intervalShown
	Because *reasonShown `json:"because,omitempty" doc:"Why what is next to the rest is kept out."`
}

// reasonShown is a reason of which nothing can be left out.
type reasonShown struct {
	Picks []string     `json:"picks" doc:"Attributes whose picks stand against it."`
	Rules []reasonRule `json:"rules"`
	Whole bool         `json:"whole" doc:"false when a bound kept it from being made as short as it can be."`
}

type reasonRule struct {
	Kind string `json:"kind" enum:"rule,species,jig,unlisted,asked,formula,withdrawn,limit" doc:"Where the rule comes from: rule is one that the catalog writes."`
	Rule string `json:"rule,omitempty"`
	Says string `json:"says"`
}

// changeShown is one attribute to change.
type changeShown struct {
	Pointer  string  `json:"pointer" doc:"JSON Pointer (RFC 6901) of the field to write or to leave out."`
	Value    *string `json:"value,omitempty" doc:"What to write there; absent for what is to be left out, and for something unlisted, which is yours to say."`
	LeaveOut bool    `json:"leave_out,omitempty"`
	Says     string  `json:"says"`
}

type refusalPending struct {
	What       string   `json:"what" doc:"The rule, or the place in the bill."`
	Says       string   `json:"says"`
	Attributes []string `json:"attributes" doc:"What it hangs on."`
}

type choicesOutput struct{ Body choicesReply }

// postChoices tells what may still be chosen beside what was picked.
func (s *Server) postChoices(ctx context.Context, in *postChoicesInput) (*choicesOutput, error) {
	st, err := s.catalogFor(ctx, principalOf(ctx).workshop)
	if err != nil {
		return nil, err
	}
	day := st.catalog.Calendar.DayOf(st.now(s.set.Clock))
	out := &choicesOutput{choicesReply{Revision: st.catalog.Revision, Lines: make([]lineChoices, 0, len(in.Body.Lines))}}
	var refused []catalog.Finding
	for i := range in.Body.Lines {
		line, findings, err := in.Body.Lines[i].choices(st.catalog, day, "/lines/"+strconv.Itoa(i))
		if err != nil {
			return nil, err
		}
		refused = append(refused, findings...)
		if line != nil {
			out.Body.Lines = append(out.Body.Lines, *line)
		}
	}
	if len(refused) > 0 {
		return nil, invalid(shown(refused)...)
	}
	return out, nil
}

// choices are those of one line. Findings refuse the request; a pick that is
// wrong by itself does not, and stands in the reply.
func (l *choiceLine) choices(cat *catalog.Catalog, day calendar.Date, at string) (*lineChoices, []catalog.Finding, error) {
	var e entries
	code := e.text(at+"/product", l.Product)
	product, _ := cat.Products.Get(code)
	var picks []catalog.Pick
	for _, attribute := range slices.Sorted(maps.Keys(l.Configuration)) {
		if text, ok := e.choice(at+"/configuration/"+escapePointer(attribute), l.Configuration[attribute], attributeOf(product, attribute)); ok {
			picks = append(picks, catalog.Pick{Attribute: attribute, Text: text})
		}
	}
	if len(e.findings) > 0 {
		return nil, e.findings, nil
	}
	offer, findings, err := cat.Offer(code, picks, day, l.Keep...)
	if err != nil {
		return nil, nil, conflict(fmt.Sprintf("What may be chosen cannot be told: %v.", err))
	}
	for i := range findings {
		findings[i].Pointer = at + findings[i].Pointer
	}
	if offer == nil {
		return nil, findings, nil
	}
	line := showOffer(offer, at)
	line.Findings = shown(findings)
	return line, nil, nil
}

func showOffer(o *catalog.Offer, at string) *lineChoices {
	line := &lineChoices{Product: o.Product.Code, Name: o.Product.Name, Bounded: o.Bounded, Contradiction: showReason(o.Contradiction),
		NearestOrder: showChanges(o.Nearest, at), Refuses: []refusalPending{}}
	if o.Contradiction != nil {
		line.NearestProven = &o.Proven
	}
	for _, r := range o.Refuses {
		line.Refuses = append(line.Refuses, refusalPending{r.What, r.Says, append([]string{}, r.Attributes...)})
	}
	for i := range o.Attributes {
		line.Attributes = append(line.Attributes, showOffered(&o.Attributes[i]))
	}
	return line
}

func showOffered(a *catalog.Offered) choicesOf {
	out := choicesOf{Attribute: a.Attribute.Code, Name: a.Attribute.Name, Asked: "yes", NotAskedBecause: showReason(a.NotAskedBecause),
		Forced: a.Forced, Default: a.Default, DefaultFits: a.DefaultFits}
	switch {
	case a.NotAsked && a.Asked:
		out.Asked = "depends"
	case !a.Asked:
		out.Asked = "no"
	}
	if a.Picked {
		out.Picked = a.Entered
	}
	for i := range a.Values {
		out.Choices = append(out.Choices, showValue(&a.Values[i]))
	}
	if a.Unlisted != nil {
		unlisted := showValue(a.Unlisted)
		out.Unlisted = &unlisted
	}
	for _, i := range a.Left {
		out.Intervals = append(out.Intervals, intervalShown(i))
	}
	for _, g := range a.Gaps {
		out.Gaps = append(out.Gaps, gapShown{intervalShown(g.OfferedInterval), showReason(g.Because)})
	}
	return out
}

func showValue(v *catalog.OfferedValue) choiceLeft {
	return choiceLeft{v.Code, v.Name, v.Left, showReason(v.Because)}
}

func showReason(r *catalog.Reason) *reasonShown {
	if r == nil {
		return nil
	}
	return &reasonShown{append([]string{}, r.Attributes...), showRules(r.Rules), r.Whole}
}

func showRules(rules []catalog.RuleOrigin) []reasonRule {
	all := make([]reasonRule, len(rules))
	for i, o := range rules {
		all[i] = reasonRule{string(o.Kind), o.Code, o.Says}
	}
	return all
}

func showChanges(changes []catalog.Change, at string) (all []changeShown) {
	for _, c := range changes {
		one := changeShown{Pointer: at + "/configuration/" + escapePointer(c.Attribute.Code), LeaveOut: c.Leave, Says: c.Says}
		if c.Value != "" {
			one.Value = &c.Value
		}
		all = append(all, one)
	}
	return all
}

// mendable are the codes of findings that another choice mends.
var mendable = []string{"rule.broken", "default.clashes", "bend.no-jig", "attribute.not-asked", "choice.withdrawn"}

// withNearest adds to the first finding of each line that another choice mends
// what to change of the line.
func withNearest(all []Finding, r *orderRequest, cat *catalog.Catalog, day calendar.Date) []Finding {
	told := map[int]bool{}
	for i := range all {
		line := lineOf(all[i].Pointer)
		if line < 0 || line >= len(r.Lines) || told[line] || !slices.Contains(mendable, all[i].Code) {
			continue
		}
		told[line] = true
		var e entries
		at := "/lines/" + strconv.Itoa(line)
		code := e.text("", r.Lines[line].Product)
		product, _ := cat.Products.Get(code)
		var picks []catalog.Pick
		for attribute, raw := range r.Lines[line].Configuration {
			if text, ok := e.choice("", raw, attributeOf(product, attribute)); ok {
				picks = append(picks, catalog.Pick{Attribute: attribute, Text: text})
			}
		}
		changes, _ := cat.NearestBuildable(code, picks, day)
		all[i].NearestOrder = showChanges(changes, at)
	}
	return all
}
