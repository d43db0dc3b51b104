package desk

import (
	"encoding/json"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"billwright/bom/order"
)

// proposeChange proposes what the form has otherwise than the order, or shows the
// form anew with what it then asks. Nothing of the order is changed by it.
func (v *visit) proposeChange() {
	if v.PostFormValue("do") == "look" {
		v.changeForm(nil)
		return
	}
	at := "/v1/orders/" + url.PathEscape(v.PathValue("number"))
	var o order.Document
	if err := v.get(at, &o); err != nil {
		v.fail(err)
		return
	}
	a, err := v.tell(orderAct{"/changes", v.changed(&o)})
	switch {
	case err != nil:
		v.fail(err)
	case !a.ok():
		v.changeForm(a)
	default:
		var made changeRow
		if err := json.Unmarshal(a.body.Bytes(), &made); err != nil {
			v.fail(err)
			return
		}
		v.goTo(fmt.Sprintf("/orders/%s/changes/%d", url.PathEscape(o.Number), made.Change))
	}
}

// changed is the body of a change: what the form has otherwise.
func (v *visit) changed(o *order.Document) map[string]any {
	body := map[string]any{"reason": strings.TrimSpace(v.PostFormValue("reason"))}
	set := func(name, was string) {
		if now := strings.ReplaceAll(v.PostFormValue(name), "\r\n", "\n"); v.PostForm.Has(name) && now != was {
			if name == "requested" {
				now = dayTyped(now, time.Now())
			}
			body[name] = now
		}
	}
	set("sidemark", o.Sidemark)
	set("ship_to", o.ShipTo)
	set("requested", requestedOf(o))
	if now := v.PostFormValue("ship_complete"); now != "" && now != yesNo(o.ShipComplete) {
		body["ship_complete"] = now == "yes"
	}
	date, why := agreedOf(o)
	if now, reason := v.typed("agreed.date", date), v.typed("agreed.reason", why); now != date || reason != why {
		body["agreed"] = map[string]any{"date": dayTyped(now, time.Now()), "reason": reason}
	}
	if v.PostFormValue("repin") != "" {
		body["repin"] = true
	}
	if overrides := v.overrides(); overrides != nil {
		body["overrides"] = overrides
	}
	var lines []map[string]any
	for i := range o.Lines {
		if line := v.changedLine(&o.Lines[i]); len(line) > 1 {
			lines = append(lines, line)
		}
	}
	if lines = append(lines, v.addedLines()...); lines != nil {
		body["lines"] = lines
	}
	return body
}

// overrides are the locks that the form passes by.
func (v *visit) overrides() (overrides []map[string]any) {
	var codes []string
	for name := range v.PostForm {
		if code, is := strings.CutSuffix(name, ".disposition"); is && strings.HasPrefix(code, "override.") {
			codes = append(codes, code)
		}
	}
	slices.Sort(codes)
	for _, code := range codes {
		disposition, reason, charge := v.PostFormValue(code+".disposition"), strings.TrimSpace(v.PostFormValue(code+".reason")), strings.TrimSpace(v.PostFormValue(code+".charge"))
		if disposition == "" && reason == "" && charge == "" {
			continue
		}
		one := map[string]any{"lock": strings.TrimPrefix(code, "override."), "reason": reason, "disposition": disposition}
		if charge != "" {
			one["charge"] = charge
		}
		overrides = append(overrides, one)
	}
	return overrides
}

// changedLine is what the form has otherwise of a line.
func (v *visit) changedLine(l *order.DocumentLine) map[string]any {
	line, prefix := map[string]any{"line": l.Line}, fmt.Sprintf("line.%d.", l.Line)
	if v.PostFormValue(prefix+"remove") != "" {
		line["remove"] = true
		return line
	}
	stands := map[string]order.DocumentSetting{}
	for _, s := range l.Configuration {
		stands[s.Attribute] = s
	}
	picks, ways := map[string]string{}, map[string]string{}
	for name, values := range v.PostForm {
		if attribute, is := cutAttribute(name, prefix); is {
			s, now := stands[attribute], strings.TrimSpace(values[0])
			if now != standing(s) && (now != "" || !s.Defaulted) {
				picks[attribute] = now
			}
		}
		if path, is := cutWay(name, prefix); is && values[0] != l.Ways[path] {
			ways[path] = values[0]
		}
	}
	if len(picks) > 0 {
		line["configuration"] = picks
	}
	if len(ways) > 0 {
		line["ways"] = ways
	}
	v.countAndPrice(line, prefix, l)
	return line
}

// countAndPrice adds pieces and a typed price where the form has them otherwise.
// Pieces that are no number go as they are typed, for the interface to refuse.
func (v *visit) countAndPrice(line map[string]any, prefix string, l *order.DocumentLine) {
	was := "1"
	if l != nil {
		was = strconv.Itoa(l.Quantity)
	}
	price, reason := priceTyped(l)
	if now := strings.TrimSpace(v.typed(prefix+"quantity", was)); now != was {
		line["quantity"] = now
		if n, err := strconv.Atoi(now); err == nil && n > 0 {
			line["quantity"] = n
		}
	}
	if net, why := strings.TrimSpace(v.typed(prefix+"price", price)), strings.TrimSpace(v.typed(prefix+"price_reason", reason)); net != price || net != "" && why != reason {
		line["price"] = map[string]any{"net": net, "reason": why}
	}
}

// addedLines are the lines that the form adds.
func (v *visit) addedLines() (lines []map[string]any) {
	for i := 0; ; i++ {
		prefix := fmt.Sprintf("added.%d.", i)
		product := v.PostFormValue(prefix + "product")
		if product == "" {
			return lines
		}
		picks, ways := map[string]string{}, map[string]string{}
		for name, values := range v.PostForm {
			now := strings.TrimSpace(values[0])
			if attribute, is := cutAttribute(name, prefix); is && now != "" {
				picks[attribute] = now
			}
			if path, is := cutWay(name, prefix); is && now != "" {
				ways[path] = now
			}
		}
		line := map[string]any{"product": product, "configuration": picks, "ways": ways}
		v.countAndPrice(line, prefix, nil)
		lines = append(lines, line)
	}
}

// cutAttribute gives the attribute that a field of a line is about.
func cutAttribute(name, prefix string) (code string, is bool) {
	return strings.CutPrefix(name, prefix+attribute)
}

// cutWay gives the path of the part whose way a field of a line is.
func cutWay(name, prefix string) (path string, is bool) { return strings.CutPrefix(name, prefix+way) }
