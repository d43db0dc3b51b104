package desk

import (
	"fmt"
	"strings"

	"billwright/api"
	"billwright/bom/order"
)

// attributeRows are the rows of what is asked of the product.
func (b *building) attributeRows(l *askedLine) {
	if b.offer == nil {
		return
	}
	numbers, n := map[string]int{}, 1
	for i := range b.offer.Attributes {
		a := &b.offer.Attributes[i]
		if b.asksFor(a, l) {
			n++
			numbers[a.Attribute] = n
		}
	}
	settled := b.settled()
	for i := range b.offer.Attributes {
		a := &b.offer.Attributes[i]
		if numbers[a.Attribute] == 0 {
			continue
		}
		r := b.attributeRow(a, l.Configuration[a.Attribute], settled[a.Attribute], numbers)
		r.No = numbers[a.Attribute]
		b.add(r)
	}
}

// asksFor tells whether an attribute has a row: it is asked, or something was
// said or found about it.
func (b *building) asksFor(a *offered, l *askedLine) bool {
	if l.Configuration[a.Attribute] != "" || len(b.findings[attribute+a.Attribute]) > 0 {
		return true
	}
	if _, settled := b.settled()[a.Attribute]; settled && a.Asked == "depends" {
		return true
	}
	return a.Asked == "yes"
}

// settled are the line's values as the check settled them, by attribute.
func (b *building) settled() map[string]order.DocumentSetting {
	all := map[string]order.DocumentSetting{}
	if l := b.priced(); l != nil {
		for _, s := range l.Configuration {
			all[s.Attribute] = s
		}
	}
	return all
}

// priced is the line as it was reckoned; nil where it was left out.
func (b *building) priced() *pricedLine {
	l := b.view.Reckoned.line(b.s.Line)
	if l == nil {
		return nil
	}
	p := &pricedLine{DocumentLine: l}
	if l.Price != nil {
		p.DocumentPrice = *l.Price
	}
	return p
}

type pricedLine struct {
	*order.DocumentLine
	order.DocumentPrice
}

func (b *building) attributeRow(a *offered, typed string, settled order.DocumentSetting, numbers map[string]int) entryRow {
	r := entryRow{ID: attribute + a.Attribute, Name: a.Name, List: len(a.Choices) > 0, Value: typed, Mark: "chosen"}
	left, chosen := 0, false
	for _, c := range a.Choices {
		choice := entryChoice{Value: c.Choice, Name: c.Name, Left: c.Left, Now: c.Choice == typed || typed == "" && c.Choice == a.Default && a.DefaultFits}
		if c.Left {
			left++
		} else {
			choice.Says, choice.Rule = blockedSays(c.Because, numbers)
		}
		if c.Choice == typed {
			r.Value, chosen = c.Name, true
		}
		r.Choices = append(r.Choices, choice)
	}
	var remains string
	switch {
	case r.List:
		remains = fmt.Sprintf("%d of %d can be chosen", left, len(a.Choices))
		if a.Unlisted != nil && a.Unlisted.Left {
			remains += ", or something unlisted"
		}
	case len(a.Intervals) > 0:
		var parts []string
		for _, i := range a.Intervals {
			parts = append(parts, intervalSays(i))
		}
		remains = strings.Join(parts, ", or ") + gapSays(a.Gaps, numbers)
		r.Unit = unitOf(a.Intervals[0].From)
	}
	if r.Says = remains; chosen { // the list tells the others when it opens
		r.Says = ""
	}
	switch {
	case typed == "" && a.Default != "" && a.DefaultFits:
		r.Mark, r.Value, r.Says = "default", a.defaultName(), "default; "+remains
		if settled.ValueName != "" && settled.Defaulted {
			r.Value = settled.ValueName
		}
	case typed == "":
		r.Mark = "open"
		if r.List {
			r.Says = fmt.Sprintf("choose one of %d", left)
		}
	case settled.ValueName != "" && !settled.Defaulted && !settled.Open:
		if r.Value != settled.ValueName && !r.List {
			r.Says = "as typed: " + typed + "; " + remains
		}
		r.Value = settled.ValueName
	}
	return r
}

// defaultName is the default as people read it.
func (a *offered) defaultName() string {
	for _, c := range a.Choices {
		if c.Choice == a.Default {
			return c.Name
		}
	}
	return a.Default
}

func intervalSays(i interval) string {
	if i.From == i.To {
		return i.From
	}
	return i.From + " to " + i.To
}

// gapSays tells why a size may not be any between its limits: the first reason.
func gapSays(gaps []gap, numbers map[string]int) string {
	for _, g := range gaps {
		if says, _ := blockedSays(g.Because, numbers); says != "" {
			return "; " + intervalSays(interval{g.From, g.To}) + ": " + lowerFirst(says)
		}
	}
	return ""
}

// blockedSays tells why a value is blocked: by which rows, in the rule's own
// sentence, and the rule's code.
func blockedSays(r *reason, numbers map[string]int) (says, code string) {
	if r == nil {
		return "", ""
	}
	var rows, rules []string
	for _, pick := range r.Picks {
		if n := numbers[pick]; n > 0 {
			rows = append(rows, fmt.Sprint(n))
		}
	}
	for _, rule := range r.Rules {
		if rule.Kind != "asked" || len(r.Rules) == 1 {
			rules = append(rules, rule.Says)
		}
		if rule.Kind == "rule" && code == "" {
			code = rule.Rule
		}
	}
	says = strings.Join(rules, " ")
	switch len(rows) {
	case 0:
		return "Blocked: " + says, code
	case 1:
		return "Blocked by row " + rows[0] + ": " + says, code
	}
	return "Blocked by rows " + strings.Join(rows, ", ") + ": " + says, code
}

func lowerFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

// lines lists the order's lines.
func (b *building) lines() {
	r := b.view.Reckoned
	waits := map[int]int{}
	for _, f := range r.Findings {
		line, _ := rowOf(f.Pointer)
		waits[line]++
	}
	for i, l := range b.s.Asked.Lines {
		e := entryLine{No: i + 1, Name: l.Product, Current: i == b.s.Line, Waits: waits[i]}
		for _, p := range b.products {
			if p.Product == l.Product {
				e.Name = p.Name
			}
		}
		n := string(l.Quantity)
		if n == "" {
			n = "1"
		}
		e.Name = n + " × " + e.Name
		if reckoned := r.line(i); reckoned != nil && waits[i] == 0 && reckoned.Price != nil {
			if e.Amount = "to be quoted"; reckoned.Price.Net != nil {
				e.Amount = money(*reckoned.Price.Net)
			}
		}
		b.view.Lines = append(b.view.Lines, e)
	}
}

// settle lists what is left to settle: rows to answer and every finding, those
// of other lines too.
func (b *building) settle() {
	shown := map[string]bool{}
	for _, r := range b.view.Rows {
		if r.Mark != "open" && r.Mark != "finding" {
			continue
		}
		u := unsettled{Mark: r.Mark, Name: r.Name, Row: r.ID, Line: max(b.s.Line, 0)}
		if r.Mark == "open" {
			u.Says = "to answer"
			if r.List {
				u.Says = "choose one"
			}
		}
		if len(r.Findings) > 0 {
			u.Says = r.Findings[0].Message
		}
		shown[r.ID] = true
		b.view.Settle = append(b.view.Settle, u)
	}
	for _, f := range b.view.Reckoned.Findings {
		line, row := rowOf(f.Pointer)
		if line < 0 || line == b.s.Line {
			if !shown[row] && f.Message != "" && row != "lines" { // of a place that has no row
				b.view.Settle = append(b.view.Settle, unsettled{Mark: "finding", Name: "Order", Says: f.Message, Row: rowDealer, Line: max(b.s.Line, 0)})
			}
			continue
		}
		name := strings.TrimPrefix(strings.TrimPrefix(row, attribute), way)
		b.view.Settle = append(b.view.Settle, unsettled{Mark: markOf(f), Name: fmt.Sprintf("Line %d, %s", line+1, strings.ReplaceAll(name, "_", " ")), Says: f.Message, Row: row, Line: line})
	}
}

func markOf(f api.Finding) string {
	if strings.HasSuffix(f.Code, ".missing") || f.Code == "missing" {
		return "open"
	}
	return "finding"
}

func (b *building) title() {
	v := b.view
	what := "new order"
	if b.s.Number != "" {
		what = "draft " + b.s.Number
	}
	switch n := len(v.Settle); n {
	case 0:
		v.Title = strings.ToUpper(what[:1]) + what[1:] + ": ready to place"
	default:
		v.Title = fmt.Sprintf("%d to settle: %s", n, what)
	}
}

// step gives the row that is open next: how is how the person went on.
func (v *entryView) step(how string) (line int, row string) {
	at := -1
	for i, r := range v.Rows {
		if r.ID == v.Said.Row {
			at = i
		}
	}
	line = v.Said.Line
	switch how {
	case "after":
		return line, v.Rows[min(at+1, len(v.Rows)-1)].ID
	case "before":
		return line, v.Rows[max(at-1, 0)].ID
	}
	for i := at + 1; i < len(v.Rows); i++ {
		if r := &v.Rows[i]; r.Mark == "open" || r.Mark == "finding" {
			return line, r.ID
		}
	}
	if how == "next" && at < len(v.Rows)-1 && v.Rows[len(v.Rows)-1].ID == rowAnother {
		return line, rowAnother // the rest of the line is answered
	}
	for _, u := range v.Settle {
		if u.Line != line || u.Row != v.Said.Row {
			return u.Line, u.Row
		}
	}
	return line, v.Said.Row
}
