package catalog

import (
	"fmt"
	"strings"

	"billwright/catalog/calendar"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Surcharge is a percentage added to the price of every line ordered from one
// day to another.
type Surcharge struct {
	Code    string          `yaml:"-"`
	For     string          `yaml:"for,required" doc:"What the price line says, such as steel surcharge."`
	From    calendar.Date   `yaml:"from,required" doc:"First day on which it is charged: the day that the order counts for."`
	To      *calendar.Date  `yaml:"to" doc:"Last day on which it is charged; without it, until further notice."`
	Percent Percent         `yaml:"percent,required" doc:"Percentage, such as 6.5 for six and a half of a hundred; below zero it is taken off."`
	Basis   string          `yaml:"basis,required" oneof:"list net" doc:"What it is a percentage of: the line at list price, or the line less the dealer's discounts."`
	Where   *SurchargeWhere `yaml:"where" doc:"What it is charged on; without it, everything."`
	Pos     source.Pos      `yaml:"-"`
}

// SurchargeWhere limits a surcharge.
type SurchargeWhere struct {
	Products    source.OneOrMany[source.Text] `yaml:"products" doc:"Products it is charged on."`
	Collections source.OneOrMany[source.Text] `yaml:"collections" doc:"Collections it is charged on, besides the products."`
}

// Percent is a percentage: "6.5" and "6.5 %" are both six and a half of a
// hundred.
type Percent struct{ share unit.Ratio }

// UnmarshalText reads a percentage with or without its sign.
func (p *Percent) UnmarshalText(text []byte) error {
	percent, err := parsePercent(string(text))
	if err != nil {
		return err
	}
	p.share, err = percent.Div(unit.RatioOf(100))
	return err
}

// parsePercent reads how many of a hundred: 50 of "50", "50%" and "50 %".
func parsePercent(text string) (unit.Ratio, error) {
	number := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "%"))
	if strings.Contains(number, "%") {
		return unit.Ratio{}, fmt.Errorf("%q: a percentage has one sign: write 6.5 or 6.5 %%", text)
	}
	return unit.ParseRatio(number)
}

// Share is the percentage as a share of one: 6.5 % is 13/200.
func (p Percent) Share() unit.Ratio { return p.share }

// small tells a percentage so near to nothing that a share of one was mostly
// meant: 0.065 for 6.5 %.
func (p Percent) small() bool {
	tenth, _ := unit.NewRatio(1, 1000)
	least, _ := unit.NewRatio(-1, 1000)
	return p.share.Sign() != 0 && p.share.Cmp(least) > 0 && p.share.Cmp(tenth) < 0
}

// String writes the percentage as people read it, "6.5 %".
func (p Percent) String() string {
	percent, err := p.share.Mul(unit.RatioOf(100))
	if err != nil {
		return p.share.String()
	}
	if text, finite := percent.Decimal(); finite {
		return text + " %"
	}
	return percent.String() + " %"
}

// charged tells that the surcharge is charged on a product on a day.
func (x *Surcharge) charged(p *Product, day calendar.Date) bool {
	return !day.Before(x.From) && !after(x.To, day) && x.on(p)
}

// SurchargeLine is a surcharge on a whole order line.
type SurchargeLine struct {
	Code string `json:"code"`
	For  string `json:"for"`
	// Percent is the percentage as people read it, and Of the amount of the
	// line that it is taken of: all units at list price or net.
	Percent string     `json:"percent"`
	Of      unit.Money `json:"of"`
	// Amount is rounded half up to the cent, once for the line.
	Amount unit.Money `json:"amount"`
}

// LinePrice is the price of a whole order line.
type LinePrice struct {
	// Goods is the net price of all units, surcharges left aside.
	Goods      unit.Money
	Surcharges []SurchargeLine
	// Net is what the dealer pays: goods and surcharges.
	Net unit.Money
}

// Whole prices a line of so many units, each surcharge on the line as a whole:
// none is charged on another. It is not for a quote that is to be quoted.
// Errors: unit.ErrOverflow.
func (q *Quote) Whole(quantity int) (*LinePrice, error) {
	goods, err := q.NetUnit.Mul(int64(quantity))
	if err != nil {
		return nil, err
	}
	list, err := q.ListUnit.Mul(int64(quantity))
	if err != nil {
		return nil, err
	}
	whole := &LinePrice{Goods: goods, Net: goods}
	for _, surcharge := range q.Surcharges {
		line := SurchargeLine{Code: surcharge.Code, For: surcharge.For, Percent: surcharge.Percent.String(), Of: goods}
		if surcharge.Basis == "list" {
			line.Of = list
		}
		if line.Amount, err = line.Of.Scale(surcharge.Percent.Share(), unit.Nearest); err != nil {
			return nil, err
		}
		if whole.Net, err = whole.Net.Add(line.Amount); err != nil {
			return nil, err
		}
		whole.Surcharges = append(whole.Surcharges, line)
	}
	return whole, nil
}
