package bom

import (
	"fmt"
	"strings"
)

// Text is the reasons for a person to read, line by line:
//
//	2/base/leg, a steel row of low-table
//	  length = height - top_thickness = 17 in - 1 in = 16 in
//	      height = 17 in, chosen: "17"
func (w *Why) Text() string {
	var b strings.Builder
	of := fmt.Sprintf("line %d, %s", w.Line, w.Product)
	if w.Line == 0 {
		of = "the whole order"
	}
	fmt.Fprintf(&b, "%s: %s, a row of %s\n", w.Row, of, w.Part)
	fmt.Fprintf(&b, "catalog revision %d in force from %s, arithmetic %d\n", w.Revision, w.Effective, w.Arithmetic)
	for i := range w.Figures {
		w.Figures[i].text(&b)
	}
	for i, s := range w.Standards {
		if i == 0 {
			b.WriteString("standards\n")
		}
		fmt.Fprintf(&b, "  %s = %s (%s)\n", s.Name, s.Value, s.Source)
	}
	for i, s := range w.Sources {
		if i == 0 {
			b.WriteString("sources\n")
		}
		fmt.Fprintf(&b, "  %s: %s\n", s.Of, s.Source)
	}
	return b.String()
}

func (f *WhyFigure) text(b *strings.Builder) {
	name := f.Figure
	if f.Path != "" {
		name = strings.ReplaceAll(f.Path, "/", " › ") + ", " + name
	}
	fmt.Fprintf(b, "  %s = %s\n", name, f.Text)
	for _, in := range f.Inputs {
		fmt.Fprintf(b, "      %s = %s, %s\n", in.Name, in.Value, in.said())
	}
	if len(f.Standards) > 0 {
		fmt.Fprintf(b, "      by the standards %s\n", strings.Join(f.Standards, ", "))
	}
}

func (in *WhyInput) said() string {
	switch in.From {
	case "choice":
		return "chosen: " + fmt.Sprintf("%q", in.Entered)
	case "default":
		return "not chosen, so the default"
	case "figure":
		return "a figure of the product, above"
	case "standard":
		return "a standard, below"
	case "catalog":
		return "of what was chosen"
	}
	return "of what is cut"
}
