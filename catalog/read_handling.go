package catalog

import (
	"fmt"

	"billwright/catalog/unit"
)

func (r *reading) handlings() {
	entries(r.spot("parcels"), r.cat.Parcels, func(s spot, code string, p *Parcel) {
		p.Code = code
		s.at(p.Pos).parcel(code, p)
	})
	entries(r.spot("pallets"), r.cat.Pallets, func(s spot, code string, p *Pallet) {
		p.Code = code
		s.at(p.Pos).pallet(code, p)
	})
	entries(r.spot("lifts"), r.cat.Lifts, func(s spot, code string, l *Lift) {
		l.Code = code
		s.at(l.Pos).lift(code, l)
	})
	entries(r.spot("handling"), r.cat.Handling, func(s spot, code string, h *Handling) {
		h.Code = code
		s.at(h.Pos).handling(code, h)
	})
}

func (s spot) handling(code string, h *Handling) {
	s.code("handling", code)
	s.in("measured_to").above(h.Measured)
	switch {
	case h.Parcels() && h.Parcel == "" && h.Ship != "":
		s.fault("no parcel terms are named", "write which under \"parcel\", or ship by freight")
	case !h.Parcels() && h.Parcel != "":
		s.in("parcel").fault("nothing goes as a parcel by freight", "leave it out, or ship by limits")
	case h.Parcel != "":
		s.in("parcel").from("parcels", h.Parcel)
		s.r.use("parcels", h.Parcel)
	}
	if !h.Freighted() && len(h.Pallets) > 0 {
		s.in("pallets").fault("parcels stand on no pallet", "leave it out, or ship by limits")
	}
	s.in("pallets").twice(values(h.Pallets))
	for _, pallet := range h.Pallets {
		s.in("pallets").at(pallet.Pos).from("pallets", pallet.Value)
		s.r.use("pallets", pallet.Value)
	}
	if h.Stacking != nil {
		s.in("stacking").stacking(h.Stacking)
	}
}

func (s spot) stacking(x *Stacking) {
	borne := x.Formula == "contents"
	switch {
	case borne && x.Factor != nil:
		s.in("safety_factor").fault("no strength is reckoned where the contents bear the load", "write layers instead")
	case borne && (x.Layers < 1 || x.Layers > 100) && !s.in("layers").unread():
		s.in("layers").fault(fmt.Sprintf("%d layers", x.Layers), "write 1 to 100")
	case borne:
	case x.Layers != 0:
		s.in("layers").fault("how many stand on one another follows from the strength", "leave it out, or write formula: contents")
	case x.Factor == nil:
		if !s.in("safety_factor").unread() {
			s.fault("the strength is divided by nothing", "write a safety_factor of 1 or more, such as 4")
		}
	case x.Factor.Cmp(unit.RatioOf(1)) < 0:
		s.in("safety_factor").fault(fmt.Sprintf("a factor of %s lets more stand on a carton than it bears", x.Factor), "write 1 or more, such as 4")
	}
}

// weight faults a weight that is not more than zero.
func (s spot) weight(m unit.Mass) {
	if m <= 0 && !s.unread() {
		s.fault(fmt.Sprintf("the weight %s is not more than zero", m), "")
	}
}
