package catalog

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"billwright/catalog/calendar"
	"billwright/catalog/formula"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// entry is what one attribute was picked as, or its default.
type entry struct {
	given  bool
	keep   bool // the nearest keeps it
	sound  bool // could be read and lies within the limits
	text   string
	value  formula.Value
	chosen int            // index of a choice's value
	open   bool           // unlisted: value and chosen are what it is reckoned as
	stale  bool           // not given, and the default may no longer be ordered
	unit   unit.EntryUnit // of a length
}

// enter reads what somebody picked for the attribute on a day. Findings are none
// when the entry is sound.
func (a *Attribute) enter(text string, day calendar.Date) (entry, []Finding) {
	e := entry{given: true, text: text}
	var findings []Finding
	switch {
	case a.Choose != nil:
		findings = a.enterChoice(&e, day)
	case a.Size != nil:
		findings = a.enterLength(&e)
	case a.Count != nil:
		findings = a.enterCount(&e)
	case a.Write != nil:
		e.value = formula.TextOf(e.text)
		findings = a.enterText(e.text, a.Write.Longest)
	}
	e.sound = len(findings) == 0
	return e, findings
}

func (a *Attribute) finding(code, format string, values ...any) Finding {
	return Finding{Pointer: "/configuration/" + a.Code, Code: code, Message: fmt.Sprintf(format, values...)}
}

func (a *Attribute) enterChoice(e *entry, day calendar.Date) []Finding {
	i, found := a.find(e.text)
	switch {
	case found && a.options[i].withdrawn(day):
		return []Finding{a.gone(i, day, false)}
	case found:
		e.chosen, e.value = i, a.options[i].value
		return nil
	case a.Choose.Open != nil:
		return a.enterOpen(e, day)
	}
	codes := a.codesOn(day)
	f := a.finding("choice.unknown", "%s cannot be %s: it is one of %s.", a.Name, quoted(e.text), listed(a.namedOf(codes)))
	f.Allowed, f.Nearest = codes, a.nearestOn(e.text, day)
	return []Finding{f}
}

// nearestOn is nearestChoice, of a withdrawn one its successor.
func (a *Attribute) nearestOn(text string, day calendar.Date) string {
	near := a.nearestChoice(text)
	if i, found := a.find(near); found && a.options[i].withdrawn(day) {
		if next, found := a.successor(i, day); found {
			return a.options[next].Code
		}
		return ""
	}
	return near
}

// nearestChoice is the code that a text seems to mean: by its name, or by how
// it is spelled.
func (a *Attribute) nearestChoice(text string) string {
	if len(text) > 100 {
		return ""
	}
	for _, o := range a.options {
		if strings.EqualFold(o.Code, text) || strings.EqualFold(o.Name, text) {
			return o.Code
		}
	}
	near, _ := source.Nearest(strings.ToLower(text), a.codes())
	return near
}

func (a *Attribute) enterLength(e *entry) []Finding {
	read, err := unit.ParseEntry(e.text)
	if err != nil {
		return []Finding{a.unreadable(e.text, err)}
	}
	e.unit, e.value = read.Unit, formula.LengthOf(read.Length)
	size := a.Size
	code, why := "", ""
	switch {
	case read.Length < size.From:
		code, why = "length.short", "too short"
	case read.Length > size.To:
		code, why = "length.long", "too long"
	case read.Length%size.step(read.Unit) != 0:
		code, why = "length.off-step", "off the step of "+lengthText(size.step(read.Unit), read.Unit)
	default:
		return nil
	}
	f := a.finding(code, "%s %s is %s: it may be %s.", a.Name, strings.TrimSpace(e.text), why, size.limits(read.Unit))
	if near, found := size.nearest(read.Length, read.Unit); found {
		f.Nearest = lengthText(near, read.Unit)
	}
	return []Finding{f}
}

func (a *Attribute) unreadable(text string, err error) Finding {
	why := err.Error()
	if refusal, ok := errors.AsType[*unit.ParseError](err); ok {
		why = refusal.Reason
		if refusal.Hint != "" {
			why += ": " + refusal.Hint
		}
	}
	return a.finding("length.unreadable", "%s %s cannot be read as a length: %s.", a.Name, quoted(text), why)
}

// step is the step of entries in a unit.
func (s *Size) step(u unit.EntryUnit) unit.Length {
	if u == unit.MetricEntry {
		return s.StepMM
	}
	return s.StepInch
}

func (s *Size) limits(u unit.EntryUnit) string {
	from, to, step := s.From, s.To, s.step(u)
	if first, last := (from+step-1)/step*step, to/step*step; first <= last {
		from, to = first, last // what can be entered, and named in the same unit
	}
	return fmt.Sprintf("%s to %s, in steps of %s", lengthText(from, u), lengthText(to, u), lengthText(step, u))
}

// nearest is the length nearest to l that lies in range and on the step; of
// two that are as near, the longer one. There may be none if the range is
// narrower than the step.
func (s *Size) nearest(l unit.Length, u unit.EntryUnit) (unit.Length, bool) {
	step := s.step(u)
	first, last := (s.From+step-1)/step, s.To/step
	if first > last {
		return 0, false
	}
	at := l / step
	if rest := l % step; rest >= step-rest {
		at++
	}
	return min(max(at, first), last) * step, true
}

// oneUnit is the unit in which a sentence names lengths together: the one asked
// for, or millimetres where one of them is no whole number of 1/64 in.
func oneUnit(u unit.EntryUnit, lengths ...unit.Length) unit.EntryUnit {
	for _, l := range lengths {
		if l%(unit.Inch/64) != 0 {
			return unit.MetricEntry
		}
	}
	return u
}

// lengthText shows a length in the unit that somebody entered it in.
func lengthText(l unit.Length, u unit.EntryUnit) string {
	if u == unit.MetricEntry {
		return l.Millimetres() + " mm"
	}
	return l.String()
}

func (a *Attribute) enterCount(e *entry) []Finding {
	code, near := "", 0
	digits := e.text != "" && strings.Trim(e.text, "0123456789") == "" && (e.text == "0" || e.text[0] != '0')
	n, err := strconv.Atoi(e.text)
	switch {
	case !digits:
		return []Finding{a.finding("count.unreadable", "%s %s cannot be read as a whole number: write digits only, %s.", a.Name, quoted(e.text), a.Count.limits())}
	case err != nil || n > a.Count.To:
		code, near = "count.many", a.Count.To
	case n < a.Count.From:
		code, near = "count.few", a.Count.From
	default:
		e.value = formula.NumberOf(unit.RatioOf(int64(n)))
		return nil
	}
	f := a.finding(code, "%s %s is out of range: it may be %s.", a.Name, shortened(e.text), a.Count.limits())
	f.Nearest = strconv.Itoa(near)
	return []Finding{f}
}

func (c *CountRange) limits() string { return fmt.Sprintf("%d to %d", c.From, c.To) }

// enterText keeps text as it is, right-to-left text with its marks included,
// and refuses what would change lines, colours or bytes where it is printed.
func (a *Attribute) enterText(text string, longest int) (findings []Finding) {
	if !utf8.ValidString(text) {
		return []Finding{a.finding("text.not-utf-8", "%s is not text in UTF-8.", a.Name)}
	}
	if strings.ContainsFunc(text, controls) {
		findings = append(findings, a.finding("text.control-characters", "%s holds control characters, such as line ends or tabs: write one line of plain text.", a.Name))
	}
	if n := utf8.RuneCountInString(text); n > longest {
		findings = append(findings, a.finding("text.long", "%s has %d characters: it may have up to %d.", a.Name, n, longest))
	}
	if strings.TrimSpace(text) == "" && !a.mayBeEmpty() {
		findings = append(findings, a.finding("text.empty", "%s is empty: write something.", a.Name))
	}
	return findings
}

// mayBeEmpty tells that nothing is what the text is by default.
func (a *Attribute) mayBeEmpty() bool { return a.Default != nil && a.Default.Value == "" }

// controls are the control characters, and the two Unicode separators that
// end a line as they do.
func controls(r rune) bool { return unicode.IsControl(r) || r == '\u2028' || r == '\u2029' }

// missing is the finding that nothing is picked.
func (a *Attribute) missing(day calendar.Date, u unit.EntryUnit) Finding {
	what := ""
	switch {
	case a.Choose != nil:
		what = "pick one of " + listed(a.namedOf(a.codesOn(day)))
		if a.Choose.Open != nil {
			what += fmt.Sprintf(", or write what is wanted in up to %d characters", a.Choose.Open.Longest)
		}
	case a.Size != nil:
		what = "write a length from " + a.Size.limits(u)
	case a.Count != nil:
		what = "write a whole number, " + a.Count.limits()
	default:
		what = fmt.Sprintf("write up to %d characters", a.Write.Longest)
	}
	f := a.finding("attribute.missing", "%s is not given: %s.", a.Name, what)
	if a.Choose != nil {
		f.Allowed = a.codesOn(day)
	}
	return f
}

// name is a settled value as the workshop's people read it.
func (a *Attribute) name(e *entry, u unit.EntryUnit) string {
	switch {
	case e.open:
		return e.text
	case a.Choose != nil:
		return a.options[e.chosen].Name
	case a.Write != nil:
		return e.text
	case a.Size != nil:
		return lengthText(e.value.Length(), u)
	}
	return e.value.String()
}

// quoted shows what somebody entered inside a sentence.
func quoted(text string) string { return strconv.Quote(shortened(text)) }

func shortened(text string) string {
	const most = 60
	count := 0
	for i := range text {
		if count == most {
			return text[:i] + "…"
		}
		count++
	}
	return text
}
