package desk

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"billwright/bom"
	"billwright/bom/order"
)

// changeForm is the body of the page where a change is asked for. What it shows
// is what was typed, and the order where nothing was.
type changeForm struct {
	Order order.Document
	Lines []changeFormLine
	// Added are lines to add, the last of them not said yet.
	Added     []changeFormLine
	Products  []productRow
	Locks     []order.Locked
	Overrides []overrideField
	// Agree tells that the person may type prices and agree ship dates.
	Agree bool
	// Force is the catalog revision in force where it is not the order's, else 0.
	Force   int
	Refused *refusedAct
	Key     string

	Sidemark, ShipTo, Requested, Reason string
	AgreedDate, AgreedReason            string
	ShipComplete, Repin                 bool
}

// changeFormLine is a line that may be changed, or one to add.
type changeFormLine struct {
	Line          int
	Name, Product string
	// Prefix begins the names of its fields.
	Prefix             string
	Fields             []changeField
	Ways               []wayField
	Quantity           string
	Remove             bool
	Price, PriceReason string
	Fixed              bool // a part, which only its pieces can be otherwise of
}

// changeField is one attribute of a line that may be changed.
type changeField struct {
	Name, Label, Now string
	Locked           string
	// Default is what an empty field goes back to; Blank offers that.
	Default string
	Blank   bool
	// Free tells that something unlisted may be written.
	Free    bool
	Gone    bool // no longer asked beside the rest
	Choices []offeredWord
}

// wayField is the way in which a long piece is made.
type wayField struct {
	Name, Path, Now string
	Ways            []string
}

// overrideField is a lock that may be passed by.
type overrideField struct {
	Lock, Says, Name            string
	Disposition, Reason, Charge string
	Dispositions                []string
}

// askChange shows what may be changed of an order, with what is locked.
func (v *visit) askChange() { v.changeForm(nil) }

func (v *visit) changeForm(refused *answer) {
	form, err := v.formOf(refused)
	if err != nil {
		v.fail(err)
		return
	}
	status := http.StatusOK
	if refused != nil {
		status = refused.status
	}
	v.showAs(status, "change", shell{Title: "Change order " + form.Order.Number, Place: "/orders", Body: form, Keys: []key{{"F2", "find"}, {"F8", "next line"}, {"Esc", "back"}, {"Ctrl Enter", "propose"}}})
}

// typed is what the form says in a field, or what stands where it was not sent.
func (v *visit) typed(name, stands string) string {
	if v.PostForm.Has(name) {
		return v.PostForm.Get(name)
	}
	return stands
}

// formOf makes the form, with what was typed in it.
func (v *visit) formOf(refused *answer) (*changeForm, error) {
	at := "/v1/orders/" + url.PathEscape(v.PathValue("number"))
	form := &changeForm{Refused: refusedBy(refused), Key: newKey(), Agree: v.person.Has(takers...)}
	var locks struct {
		Locks []order.Locked `json:"locks"`
	}
	var catalog struct {
		Revision int `json:"revision"`
	}
	for path, into := range map[string]any{at: &form.Order, at + "/locks": &locks, "/v1/catalog": &catalog} {
		if err := v.get(path, into); err != nil {
			return nil, err
		}
	}
	var err error
	if form.Products, err = v.productsOf(catalog.Revision); err != nil {
		return nil, err
	}
	form.Locks = locks.Locks
	if catalog.Revision != form.Order.Revision {
		form.Force = catalog.Revision
	}
	v.fillHead(form)
	if err := v.fillLines(form); err != nil {
		return nil, err
	}
	v.nameRefused(form)
	return form, nil
}

// nameRefused names what would do as the fields of the form name it.
func (v *visit) nameRefused(form *changeForm) {
	if form.Refused == nil {
		return
	}
	for i := range form.Refused.Errors {
		f := &form.Refused.Errors[i]
		at, row := rowOf(f.Pointer)
		if at < 0 || len(f.Allowed) == 0 {
			continue
		}
		prefix := v.prefixOf(at, form)
		for _, l := range slices.Concat(form.Lines, form.Added) {
			for _, field := range l.Fields {
				if l.Prefix == prefix && field.Name == prefix+row {
					nameAllowed(f, field.Choices)
				}
			}
		}
	}
}

func (v *visit) fillHead(form *changeForm) {
	o := &form.Order
	form.Sidemark, form.ShipTo, form.Reason = v.typed("sidemark", o.Sidemark), v.typed("ship_to", o.ShipTo), v.typed("reason", "")
	form.Requested = v.typed("requested", requestedOf(o))
	form.ShipComplete = v.typed("ship_complete", yesNo(o.ShipComplete)) == "yes"
	form.Repin = v.typed("repin", "") != ""
	agreed, why := agreedOf(o)
	form.AgreedDate, form.AgreedReason = v.typed("agreed.date", agreed), v.typed("agreed.reason", why)
	if v.person.Has("engineer", "owner") {
		form.Overrides = v.overrideFields(form.Locks)
	}
}

func requestedOf(o *order.Document) string {
	if o.Requested == nil {
		return ""
	}
	return o.Requested.String()
}

func agreedOf(o *order.Document) (date, reason string) {
	if o.Agreed == nil {
		return "", ""
	}
	return o.Agreed.Date.String(), o.Agreed.Reason
}

func yesNo(on bool) string {
	if on {
		return "yes"
	}
	return "no"
}

// overrideFields are the locks that stand, each once.
func (v *visit) overrideFields(locks []order.Locked) (fields []overrideField) {
	for _, l := range locks {
		if slices.ContainsFunc(fields, func(f overrideField) bool { return f.Lock == l.Lock }) {
			continue
		}
		name := "override." + l.Lock
		fields = append(fields, overrideField{Lock: l.Lock, Says: l.Says, Name: name, Dispositions: order.Dispositions,
			Disposition: v.typed(name+".disposition", ""), Reason: v.typed(name+".reason", ""), Charge: v.typed(name+".charge", "")})
	}
	return fields
}

func (v *visit) fillLines(form *changeForm) error {
	names := map[string]string{}
	for _, p := range form.Products {
		names[p.Product] = p.Name
	}
	picked := askedOf(&form.Order).Lines
	for i := range form.Order.Lines {
		l := &form.Order.Lines[i]
		if l.State == order.Cancelled {
			continue
		}
		line := changeFormLine{Line: l.Line, Name: l.Name, Product: l.Product, Prefix: fmt.Sprintf("line.%d.", l.Line), Fixed: l.Part != ""}
		line.Quantity, line.Remove = v.typed(line.Prefix+"quantity", strconv.Itoa(l.Quantity)), v.typed(line.Prefix+"remove", "") != ""
		line.Price, line.PriceReason = priceTyped(l)
		v.fillPrice(&line)
		line.Ways = v.wayFields(&line, l.Ways, form)
		if !line.Fixed {
			if err := v.fillFields(&line, picked[i], l.Configuration, form); err != nil {
				return err
			}
		}
		form.Lines = append(form.Lines, line)
	}
	for i := 0; ; i++ {
		line := changeFormLine{Prefix: fmt.Sprintf("added.%d.", i)}
		line.Product, line.Quantity = v.typed(line.Prefix+"product", ""), v.typed(line.Prefix+"quantity", "1")
		if line.Name = names[line.Product]; line.Product != "" {
			v.fillPrice(&line)
			line.Ways = v.wayFields(&line, nil, form)
			if err := v.fillFields(&line, askedLine{Product: line.Product}, nil, form); err != nil {
				return err
			}
		}
		form.Added = append(form.Added, line)
		if line.Product == "" {
			return nil
		}
	}
}

// priceTyped is the price that was typed for a line, and why; empty for none.
func priceTyped(l *order.DocumentLine) (net, reason string) {
	if l == nil || l.Price == nil || l.Price.Typed == nil {
		return "", ""
	}
	return l.Price.Typed.Net.String(), l.Price.Typed.Reason
}

// standing is how an attribute stands, as it would be typed; "" where it is not
// asked.
func standing(s order.DocumentSetting) string {
	if s.Open {
		return s.Entered
	}
	return s.Value
}

func (v *visit) fillPrice(line *changeFormLine) {
	line.Price, line.PriceReason = v.typed(line.Prefix+"price", line.Price), v.typed(line.Prefix+"price_reason", line.PriceReason)
}

// fillFields makes the fields of what is asked of a line as it is typed now.
func (v *visit) fillFields(line *changeFormLine, picked askedLine, settled []order.DocumentSetting, form *changeForm) error {
	stands := map[string]order.DocumentSetting{}
	for _, s := range settled {
		stands[s.Attribute] = s
	}
	var typed []string
	picked.Configuration, typed = v.picksTyped(line.Prefix, picked.Configuration, stands)
	offer, err := v.offerLeft(picked, typed)
	if err != nil {
		return err
	}
	if offer == nil { // the product is not in the catalog in force
		for _, s := range settled {
			line.add(v, changeField{Label: s.Name, Locked: lockOn(form.Locks, line.Line, s.Attribute)}, s.Attribute, standing(s))
		}
		return nil
	}
	for _, a := range offer.Attributes {
		s, is := stands[a.Attribute]
		f := changeField{Label: a.Name, Locked: lockOn(form.Locks, line.Line, a.Attribute), Choices: a.Choices, Free: a.Unlisted != nil, Default: a.defaultName()}
		f.Blank = !is || !s.Defaulted && a.Default != ""
		switch f.Gone = a.Asked == "no"; {
		case f.Gone && is && !s.Defaulted, a.Asked == "yes", a.Asked == "depends" && is:
			line.add(v, f, a.Attribute, standing(s))
		}
	}
	return nil
}

func (l *changeFormLine) add(v *visit, f changeField, code, stands string) {
	f.Name = l.Prefix + attribute + code
	f.Now = v.typed(f.Name, stands)
	l.Fields = append(l.Fields, f)
}

// offerLeft asks what may be chosen on a line beside what was typed for it: picks
// that were not typed and would have to be left out beside that are.
func (v *visit) offerLeft(l askedLine, typed []string) (*lineOffer, error) {
	offer, err := v.offerBeside(l, typed...)
	if err != nil || offer == nil || offer.Contradiction == nil {
		return offer, err
	}
	left := false
	for _, c := range offer.NearestOrder {
		if _, row := rowOf(c.Pointer); c.Leave && strings.HasPrefix(row, attribute) && !slices.Contains(typed, row[len(attribute):]) {
			put(&l.Configuration, row[len(attribute):], "")
			left = true
		}
	}
	if !left {
		return offer, nil
	}
	return v.offerBeside(l, typed...)
}

// picksTyped are a line's picks with what the form has otherwise, and which
// attributes that is of.
func (v *visit) picksTyped(prefix string, picks map[string]string, stands map[string]order.DocumentSetting) (all map[string]string, typed []string) {
	for name, values := range v.PostForm {
		code, is := cutAttribute(name, prefix)
		switch {
		case !is, len(values) == 0, values[0] == standing(stands[code]):
		default:
			put(&picks, code, values[0])
			typed = append(typed, code)
		}
	}
	return picks, typed
}

// wayFields are the ways that the line has or that the refusal speaks of.
func (v *visit) wayFields(line *changeFormLine, ways map[string]string, form *changeForm) (fields []wayField) {
	paths := map[string]string{}
	for path := range ways {
		paths[path] = ways[path]
	}
	for name := range v.PostForm {
		if path, is := cutWay(name, line.Prefix); is {
			paths[path] = ways[path]
		}
	}
	if form.Refused != nil {
		for _, f := range form.Refused.Errors {
			for _, w := range f.Ways {
				at, row := rowOf(w.Pointer)
				if path, is := cutWay(row, ""); is && at >= 0 && v.prefixOf(at, form) == line.Prefix {
					paths[path] = ways[path]
				}
			}
		}
	}
	for _, path := range sortedKeys(paths, nil) {
		name := line.Prefix + way + path
		fields = append(fields, wayField{Name: name, Path: path, Now: v.typed(name, paths[path]), Ways: bom.Ways})
	}
	return fields
}

// prefixOf begins the names of the fields of the line that stands at a place of
// the changed order: those that stay, then those that are added.
func (v *visit) prefixOf(at int, form *changeForm) string {
	for _, l := range form.Order.Lines {
		prefix := fmt.Sprintf("line.%d.", l.Line)
		if v.typed(prefix+"remove", "") != "" {
			continue
		}
		if at == 0 {
			return prefix
		}
		at--
	}
	return fmt.Sprintf("added.%d.", at)
}

// lockOn is what a lock says of an attribute of a line, "" where it is open.
func lockOn(locks []order.Locked, line int, name string) string {
	for _, l := range locks {
		if l.Line == line && slices.Contains(l.Attributes, name) {
			return l.Says
		}
	}
	return ""
}
