// Package paper makes the papers of an order: a sheet set for each department of
// the shop with its own rows of the bill and no others, the acknowledgment, part
// and carton labels, and the week's cut list across orders. It is pure: the same
// input gives the same bytes.
//
// There is one model and two printers. New, Acknowledge, Labels and Batch put
// together what is printed (Paper); PDF and HTML print it, page for page alike.
// Letter and A4 share one layout, 7.4 in wide, so that pages break at the same
// rows on both.
//
// Every row of a bill stands on exactly one department's paper. Lengths are
// printed as the bill has them and never rounded again: in inches with their
// fraction, or in millimetres. A paper of what is not released, held or
// superseded says so in a frame below its head and has no boxes to tick.
package paper
