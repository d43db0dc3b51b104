package bom

// liftCautions warn of what should not be lifted by one person: the bounds 1 and
// 3 of the lift index are the lifting equation's (check N-05). A carton that
// names no lift goes by the standard two_person_lift.
func (r *reckoning) liftCautions() {
	for i := range r.bill.Cartons {
		if c := &r.bill.Cartons[i]; c.TwoLift && !c.lifted {
			r.caution("two-person-lift", c.Path, "Lift with two persons or a device: "+c.Gross.In(r.units)+".")
		}
	}
	for i := range r.bill.Lifts {
		l := &r.bill.Lifts[i]
		figure := "lift index " + l.Index + ", " + l.Weight.In(r.units) + " where the lifting equation gives one person " + l.Limit.In(r.units) + " " + l.Lift + "."
		switch {
		case l.over > 300:
			r.caution("lift-redesign", l.of, "Not by hand as it is lifted now: "+figure+" Use a hoist or lift table, or lift it in parts.")
		case l.over > 100:
			r.caution("two-person-lift", l.of, "Lift with two persons or a device: "+figure)
		}
	}
}
