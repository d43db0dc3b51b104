package catalog

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"billwright/catalog/calendar"
	"billwright/catalog/formula"
	"billwright/catalog/source"
)

// Open lets a choice be something that is not listed. What is then written is
// kept as entered and held until somebody settles it; meanwhile the product is
// reckoned as if one of the listed values were chosen, and is to be quoted.
type Open struct {
	Hold       string                 `yaml:"hold" doc:"Kind of hold placed; without it the kind that is placed by open choice."`
	Says       string                 `yaml:"says,required" doc:"The sentence people see beside the hold, and when the other picks do not allow it."`
	ReckonedAs string                 `yaml:"reckoned_as,required" doc:"Code of the listed value that it is made and weighed as meanwhile."`
	Longest    int                    `yaml:"longest,required" doc:"Most characters."`
	Where      source.Map[*Condition] `yaml:"where" doc:"Other attributes and the only values with which something unlisted may be asked for."`
	Pos        source.Pos             `yaml:"-"`

	kind *HoldKind
	slot int // of the yes/no that formulas read as ATTRIBUTE.open
	as   int // index of ReckonedAs among the options
}

// enterOpen takes what is not listed, unless it reads like something that is.
func (a *Attribute) enterOpen(e *entry, day calendar.Date) []Finding {
	open := a.Choose.Open
	if findings := a.enterText(e.text, open.Longest); len(findings) > 0 {
		return findings
	}
	if i, found := a.likeListed(e.text); found {
		o := &a.options[i]
		f := a.finding("choice.unclear", "%s %s reads like %s, which is listed: pick that, or say in other words what is wanted.", a.Name, quoted(e.text), o.named())
		f.Allowed, f.Nearest = a.codesOn(day), o.Code
		if o.withdrawn(day) {
			f = a.gone(i, day, false)
		}
		return []Finding{f}
	}
	e.open, e.chosen, e.value = true, open.as, a.options[open.as].value
	return nil
}

// likeListed finds the listed value that a text may well mean: spelled almost
// so, or with which it begins.
func (a *Attribute) likeListed(text string) (int, bool) {
	if i, found := a.find(a.nearestChoice(text)); found {
		return i, true
	}
	text = strings.ToLower(strings.TrimSpace(text))
	for i, o := range a.options {
		if beginsWith(text, strings.ToLower(o.Code)) || beginsWith(text, strings.ToLower(o.Name)) {
			return i, true
		}
	}
	return 0, false
}

// beginsWith tells that a text begins with whole words.
func beginsWith(text, words string) bool {
	rest, begins := strings.CutPrefix(text, words)
	next, _ := utf8.DecodeRuneInString(rest)
	return begins && words != "" && (rest == "" || !unicode.IsLetter(next) && !unicode.IsDigit(next))
}

// openHold is the hold that something unlisted places.
func (a *Attribute) openHold(text string) Hold {
	open := a.Choose.Open
	return Hold{Kind: open.kind, Attribute: a, Entered: text, Says: fmt.Sprintf("%s %s: %s", a.Name, quoted(text), open.Says)}
}

// opened tells that something unlisted was written for a choice.
func (o *Open) opened(env []formula.Value) bool { return env[o.slot].Bool() }
