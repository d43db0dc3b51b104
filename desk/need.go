package desk

import (
	"fmt"
	"net/url"
	"slices"
	"strings"

	"billwright/bom"
	"billwright/catalog/calendar"
)

// amount is a quantity as the interface writes it: "12.50 lb", or a number of
// pieces.
type amount struct {
	Text  string `json:"text"`
	Exact string `json:"exact"`
}

// Number is the amount without its unit, with thousands parted and a minus as
// wide as a plus; what is nothing is 0.
func (a amount) Number() string {
	number, _, _ := strings.Cut(a.Text, " ")
	if strings.Trim(number, "0.") == "" {
		return "0"
	}
	return parted(number)
}

// Unit is the amount's unit, or pieces.
func (a amount) Unit() string {
	if _, unit, found := strings.Cut(a.Text, " "); found {
		return unit
	}
	return "pieces"
}

func (a amount) Zero() bool     { return a.Number() == "0" }
func (a amount) Negative() bool { return strings.HasPrefix(a.Text, "-") }

// Less is what a negative amount is short of nothing, with its unit.
func (a amount) Less() string { return strings.TrimPrefix(a.Number(), "\u2212") + " " + a.Unit() }

// need is what must be here within a week of an item, as the interface tells.
type need struct {
	Kind        string        `json:"kind"`
	Item        string        `json:"item"`
	Pieces      int64         `json:"pieces"`
	Amount      amount        `json:"amount"`
	NotFirm     amount        `json:"not_firm"`
	FirstNeedBy calendar.Date `json:"first_need_by"`
	Orders      int           `json:"orders"`
	Late        bool          `json:"late"`
	Pulled      amount        `json:"pulled"`
	ToPull      amount        `json:"to_pull"`
	Ordered     amount        `json:"ordered"`
	Received    amount        `json:"received"`
	Short       amount        `json:"short"`
	OnHand      *amount       `json:"on_hand"`
	ToBuy       amount        `json:"to_buy"`
	Bars        *wholeGoods   `json:"bars"`
	FirmBars    *wholeGoods   `json:"firm_bars"`
	NetBars     *wholeGoods   `json:"net_bars"`
	Sheets      *wholeGoods   `json:"sheets"`
	FirmSheets  *wholeGoods   `json:"firm_sheets"`
	NetSheets   *wholeGoods   `json:"net_sheets"`
	Purchase    *purchase     `json:"purchase"`

	Week string `json:"week"` // of what is late
}

// wholeGoods are the bars or sheets that a plan of a row's pieces buys.
type wholeGoods struct {
	Buy     []sold   `json:"buy"`
	Why     []string `json:"why"`
	Bundles []struct {
		Of      string `json:"of"`
		Called  string `json:"called"`
		Bundles int64  `json:"bundles"`
		Pieces  int64  `json:"pieces"`
	} `json:"bundles"`
}

// Cut tells whether the row is cut from bars or sheets.
func (n *need) Cut() bool { return n.Bars != nil || n.Sheets != nil }

// whole are the bars or sheets of all of it, and of what is firm where that is
// another plan.
func (n *need) whole() (all, firm *wholeGoods) {
	if n.Sheets != nil {
		return n.Sheets, n.FirmSheets
	}
	return n.Bars, n.FirmBars
}

// text is what is bought: 7 × 240 in, and in what bundles.
func (w *wholeGoods) text() string {
	if len(w.Why) > 0 {
		return "no plan"
	}
	text := soldText(w.Buy)
	for _, b := range w.Bundles {
		switch {
		case b.Bundles > 0 && b.Called != "":
			text += fmt.Sprintf("; %s × %s", parted(fmt.Sprint(b.Bundles)), b.Called)
		default:
			text += fmt.Sprintf("; at least %s", parted(fmt.Sprint(b.Pieces)))
		}
	}
	return text
}

// purchase is in what an item is bought.
type purchase struct {
	Unit  string `json:"unit"`
	ToBuy struct {
		Units  int64  `json:"units"`
		Amount amount `json:"amount"`
		Least  bool   `json:"least"`
	} `json:"to_buy"`
}

// Whole is what is to buy in whole bars, sheets or other units that it is sold
// in, "" where nothing is said of them.
func (n *need) Whole() string {
	goods, _ := n.whole()
	switch {
	case n.NetBars != nil:
		goods = n.NetBars
	case n.NetSheets != nil:
		goods = n.NetSheets
	}
	switch p := n.Purchase; {
	case goods != nil:
		return goods.text()
	case p == nil || p.ToBuy.Amount.Zero():
		return ""
	case p.Unit != "":
		return fmt.Sprintf("%s × %s", parted(fmt.Sprint(p.ToBuy.Units)), p.Unit)
	case p.ToBuy.Least:
		return p.ToBuy.Amount.Number() + " " + p.ToBuy.Amount.Unit() + ", the least sold"
	}
	return ""
}

// Held tells whether all of it is not firm.
func (n *need) Held() bool { return n.NotFirm.Exact == n.Amount.Exact }

// Own tells whether it is customer's own material, which is never netted.
func (n *need) Own() bool { return n.Kind == bom.KindOwnMaterial }

// At is the address of the row on its week's page.
func (n *need) At(week string) string {
	return "/weeks/" + week + "?" + url.Values{"kind": {n.Kind}, "item": {n.Item}}.Encode()
}

// kindOf is all needs of a kind of material.
type kindOf struct {
	Kind  string
	Needs []need
}

// byKind parts needs by their kind, in the order of the trade.
func byKind(needs []need) (kinds []kindOf) {
	for _, k := range bom.Kinds {
		var of []need
		for i := range needs {
			if needs[i].Kind == k.Name {
				of = append(of, needs[i])
			}
		}
		if of != nil {
			kinds = append(kinds, kindOf{k.Name, of})
		}
	}
	return kinds
}

// inFocus finds the row that the page is about: the one asked for, or else the
// first that is late, or the first.
func inFocus(needs []need, kind, item string) *need {
	at := slices.IndexFunc(needs, func(n need) bool { return n.Kind == kind && n.Item == item })
	if at < 0 {
		at = slices.IndexFunc(needs, func(n need) bool { return n.Late })
	}
	if at < 0 && len(needs) > 0 {
		at = 0
	}
	if at < 0 {
		return nil
	}
	return &needs[at]
}
