package catalog

import (
	"fmt"

	"billwright/catalog/unit"
)

// Mitred is a piece with mitred ends; its length is measured over the long
// points.
type Mitred struct {
	LongPoint Expr        `yaml:"long_point,required" doc:"Length over the long points, a length formula. The bar is cut to it; the piece weighs what is left of it once its corners are off."`
	Across    unit.Length `yaml:"across,required" doc:"Depth of the section across the mitre."`
	First     Degrees     `yaml:"first" doc:"Angle of the first end off square, in whole or half degrees, 0 to 60."`
	Second    Degrees     `yaml:"second" doc:"Angle of the second end off square, in whole or half degrees, 0 to 60."`
	Heel      string      `yaml:"heel" oneof:"outside inside" doc:"Of an angle: whether its heel is on the side of the long points (outside, if absent) or of the short ones, on which its weight hangs."`
}

func (r *productReading) mitred(s spot, m *Mitred, section *Section) {
	r.lengths(s, namedExpr{"long_point", &m.LongPoint})
	s.in("across").above(m.Across)
	for _, end := range []struct {
		name  string
		angle Degrees
	}{{"first", m.First}, {"second", m.Second}} {
		if end.angle < 0 || end.angle > 60*deg {
			s.in(end.name).fault(fmt.Sprintf("an end cannot be cut %s degrees off square", end.angle), "write 0 to 60")
		}
	}
	if m.First == 0 && m.Second == 0 && !s.in("first").unread() && !s.in("second").unread() {
		s.fault("both ends are square", "write it as straight, or the angle of an end under first or second")
	}
	if m.Heel != "" && section != nil && section.Shape != "angle" {
		s.in("heel").fault(section.Code+" has no heel", "leave it out, or write the section of an angle")
	}
}

// Middle is how far in from the long points a mitred section has the middle of
// its steel and of its outline, as shares of its depth: the piece weighs and is
// coated as one that is as long as it is there. All sections but an angle have
// both halfway; an angle has, with leg W across the mitre, leg H and thickness t,
// from its heel
//
//	steel    (W² + (H - t) t) / (2 (W + H - t))
//	outline  (W² + t (W + H) - t²) / (2 (W + H))
func (m *Mitred) Middle(s *Section) (steel, outline float64) {
	if s.Shape != "angle" {
		return 0.5, 0.5
	}
	w, h, t := float64(*s.Width), float64(*s.Height), float64(*s.Thickness)
	if m.Across == *s.Height {
		w, h = h, w
	}
	steel = (float64(w*w) + float64((h-t)*t)) / float64(2*(w+h-t)) / w
	outline = (float64(w*w) + float64(t*(w+h)) - float64(t*t)) / float64(2*(w+h)) / w
	if m.Heel == "inside" {
		return 1 - steel, 1 - outline
	}
	return steel, outline
}
