package golden

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"billwright/bom/order"
)

// figure is one figure of an order under the address that expect lists it by.
// Most have one text; a list, such as the strips of a blank, has several or
// none.
type figure struct {
	address string
	texts   []string
}

// find gives a figure by its address. An order that is not refused has no
// findings.
func find(figures []figure, address string) ([]string, bool) {
	for _, f := range figures {
		if f.address == address {
			return f.texts, true
		}
	}
	return nil, address == findings
}

// figuresOf are the figures of an order of one line: its net, promise and
// holds, then those of its bill as the bill's document writes them.
func figuresOf(o *order.Order) ([]figure, error) {
	net := "to be quoted"
	if o.Net != nil {
		net = o.Net.String()
	}
	holds := figure{address: "holds", texts: []string{}}
	for _, hold := range o.Holds {
		holds.texts = append(holds.texts, hold.Kind)
	}
	w := writer{figures: []figure{{"net", []string{net}}, {"promise", []string{o.Promise.String()}}, holds}}
	document, err := o.Bill.Document()
	if err != nil {
		return nil, err
	}
	var bill struct{ Lines, Batches []jsontext.Value }
	if err := json.Unmarshal(document, &bill); err != nil {
		return nil, fmt.Errorf("read the bill: %w", err)
	}
	for _, line := range bill.Lines {
		if err := w.line(line); err != nil {
			return nil, fmt.Errorf("read the bill: %w", err)
		}
	}
	for _, batch := range bill.Batches {
		if err := w.row(batch); err != nil {
			return nil, fmt.Errorf("read the bill: %w", err)
		}
	}
	return w.figures, nil
}

// ofOrder are members of a bill's line that say what was asked for.
var ofOrder = map[string]bool{"line": true, "product": true, "name": true, "quantity": true}

// writer gathers the figures of a bill's line in the order of its document.
type writer struct{ figures []figure }

func (w *writer) add(address string, texts ...string) {
	w.figures = append(w.figures, figure{address, texts})
}

// line takes a line's own figures by their names, and each row's behind its
// path.
func (w *writer) line(text jsontext.Value) error {
	return members(text, func(name string, value jsontext.Value) error {
		switch {
		case ofOrder[name]:
			return nil
		case name == "cautions":
			return w.cautions(value)
		case value.Kind() == '[':
			return items(value, func(_ int, row jsontext.Value) error { return w.row(row) })
		}
		return w.value(name, value)
	})
}

func (w *writer) row(row jsontext.Value) error {
	var place struct{ Path string }
	if err := json.Unmarshal(row, &place); err != nil {
		return err
	}
	return members(row, func(name string, value jsontext.Value) error {
		if name == "path" {
			return nil
		}
		return w.value(place.Path+" "+name, value)
	})
}

// cautions are one figure: the path and code of each.
func (w *writer) cautions(list jsontext.Value) error {
	var cautions []struct{ Path, Code string }
	if err := json.Unmarshal(list, &cautions); err != nil {
		return err
	}
	all := make([]string, len(cautions))
	for i, c := range cautions {
		all[i] = c.Path + " " + c.Code
	}
	w.add("cautions", all...)
	return nil
}

// value takes a field. What stands within an object is addressed behind a
// point, and so is each object of a list, counted from 1.
func (w *writer) value(address string, value jsontext.Value) error {
	switch value.Kind() {
	case '{':
		return members(value, func(name string, inner jsontext.Value) error { return w.value(address+"."+name, inner) })
	case '[':
		return w.list(address, value)
	}
	text, err := scalar(value)
	w.add(address, text)
	return err
}

func (w *writer) list(address string, list jsontext.Value) error {
	texts := []string{}
	objects := false
	err := items(list, func(i int, item jsontext.Value) error {
		if item.Kind() == '{' {
			objects = true
			return w.value(address+"."+strconv.Itoa(i), item)
		}
		text, err := scalar(item)
		texts = append(texts, text)
		return err
	})
	if !objects {
		w.add(address, texts...)
	}
	return err
}

// scalar writes truth values as a catalog does.
func scalar(value jsontext.Value) (string, error) {
	switch value.Kind() {
	case 't':
		return "yes", nil
	case 'f':
		return "no", nil
	case '"':
		text, err := jsontext.AppendUnquote(nil, value)
		return string(text), err
	}
	return string(bytes.TrimSpace(value)), nil
}

// members goes through an object in the order written.
func members(object jsontext.Value, visit func(name string, value jsontext.Value) error) error {
	d := jsontext.NewDecoder(bytes.NewReader(object))
	if _, err := d.ReadToken(); err != nil {
		return err
	}
	for d.PeekKind() == '"' {
		token, err := d.ReadToken()
		if err != nil {
			return err
		}
		name := token.String()
		value, err := d.ReadValue()
		if err != nil {
			return err
		}
		if err := visit(name, value); err != nil {
			return err
		}
	}
	_, err := d.ReadToken()
	return err
}

// items goes through a list, counting from 1.
func items(list jsontext.Value, visit func(i int, value jsontext.Value) error) error {
	d := jsontext.NewDecoder(bytes.NewReader(list))
	if _, err := d.ReadToken(); err != nil {
		return err
	}
	for i := 1; d.PeekKind() != ']'; i++ {
		value, err := d.ReadValue()
		if err != nil {
			return err
		}
		if err := visit(i, value); err != nil {
			return err
		}
	}
	_, err := d.ReadToken()
	return err
}

// block writes figures as the expect block of a golden order.
func block(figures []figure) string {
	var b strings.Builder
	b.WriteString("expect:\n")
	for _, f := range figures {
		fmt.Fprintf(&b, "  %s: ", plain(f.address))
		if len(f.texts) == 1 {
			b.WriteString(plain(f.texts[0]))
		} else {
			list := make([]string, len(f.texts))
			for i, text := range f.texts {
				list[i] = quotedInList(text)
			}
			b.WriteString("[" + strings.Join(list, ", ") + "]")
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// plain leaves a text as it is where YAML reads it back so.
func plain(text string) string {
	switch {
	case text == "", strings.TrimSpace(text) != text, strings.ContainsAny(text[:1], "-?:,[]{}#&*!|>'\"%@`~="),
		strings.Contains(text, ": "), strings.HasSuffix(text, ":"), strings.Contains(text, " #"), strings.ContainsFunc(text, func(r rune) bool { return r < ' ' || r > '~' }),
		text == "null", text == "Null", text == "NULL":
		return quoted(text)
	}
	return text
}

func quotedInList(text string) string {
	if strings.ContainsAny(text, ",[]{}") {
		return quoted(text)
	}
	return plain(text)
}

// quoted is a text in double quotes; JSON's are among YAML's.
func quoted(text string) string {
	out, err := jsontext.AppendQuote(nil, text)
	if err != nil { // the text is not UTF-8, and a bill's always is
		return strconv.Quote(text)
	}
	return string(out)
}
