package picture

import (
	"bytes"
	_ "embed"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"
	"text/template"
	"unicode/utf8"
)

//go:embed picture.svg.tmpl
var svgText string

var svgPicture = template.Must(template.New("picture").Funcs(template.FuncMap{"text": escape}).Parse(svgText))

// escape makes text of people safe within XML; what XML cannot hold becomes the
// replacement character.
func escape(text string) (string, error) {
	var b strings.Builder
	err := xml.EscapeText(&b, []byte(text))
	return b.String(), err
}

// SVG writes a picture as an SVG document of its own. Errors are the writer's.
func (p *Picture) SVG(w io.Writer) error { return p.write(w, "picture", true) }

// Inline is the picture as an svg element within a page of HTML; id makes its
// names unique there.
func (p *Picture) Inline(id string) (string, error) {
	var b bytes.Buffer
	err := p.write(&b, id, false)
	return b.String(), err
}

type svgPage struct {
	*Picture
	ID    string
	Alone bool
	W, H  string
	Parts []svgPart
}

// svgPart is an item as SVG writes it: D is a path's data.
type svgPart struct {
	more                    []byte // of D, drawn alike
	D, Stroke, Dashes, Fill string
	X, Y, R, Size, Anchor   string
	Text                    string
	Bold                    bool
}

func (p *Picture) write(w io.Writer, id string, alone bool) error {
	page := svgPage{Picture: p, ID: id, Alone: alone, W: p.Width.String(), H: p.Height.String()}
	for i := range p.Items {
		for _, part := range p.Items[i].parts() {
			page.add(part)
		}
	}
	for i := range page.Parts {
		if part := &page.Parts[i]; len(part.more) > 0 {
			part.D += string(part.more)
		}
	}
	if err := svgPicture.Execute(w, page); err != nil {
		return fmt.Errorf("draw %s: %w", p.Title, err)
	}
	return nil
}

// add adds a part, to the path before it where that is drawn alike and nothing
// of it can be covered.
func (s *svgPage) add(part svgPart) {
	if n := len(s.Parts) - 1; n >= 0 && part.D != "" {
		if last := &s.Parts[n]; last.D != "" && last.Stroke == part.Stroke && last.Dashes == part.Dashes && last.Fill == part.Fill && (part.Fill == "none" || part.Fill == "black" && part.Stroke == "") {
			last.more = append(last.more, part.D...)
			return
		}
	}
	s.Parts = append(s.Parts, part)
}

func (i *Item) parts() []svgPart {
	part := svgPart{Fill: "none"}
	switch i.Fill {
	case White, Hatch, Cross:
		part.Fill = "white"
	case Black:
		part.Fill = "black"
	}
	if i.Pen != NoPen {
		part.Stroke = i.Pen.Width().String()
		for _, dash := range i.Pen.Dashes() {
			part.Dashes += " " + dash.String()
		}
		part.Dashes = strings.TrimSpace(part.Dashes)
	}
	switch i.Kind {
	case Word:
		return []svgPart{{X: i.Points[0].X.String(), Y: i.Points[0].Y.String(), Size: i.Size.String(), Bold: i.Bold,
			Anchor: [...]string{"start", "middle", "end"}[i.Anchor], Text: i.Text}}
	case Circle:
		part.X, part.Y, part.R = i.Points[0].X.String(), i.Points[0].Y.String(), i.Radius.String()
		return []svgPart{part}
	}
	part.D = pathData(i.Points, i.Kind == Shape)
	strokes := i.Strokes()
	if len(strokes) == 0 {
		return []svgPart{part}
	}
	var lines strings.Builder
	for _, s := range strokes {
		lines.WriteString(pathData(s[:], false))
	}
	inside := part
	inside.Stroke, inside.Dashes = "", ""
	outline := part
	outline.Fill = "none"
	return []svgPart{inside, {D: lines.String(), Stroke: Thin.Width().String(), Fill: "none"}, outline}
}

func pathData(points []Point, closed bool) string {
	b := make([]byte, 0, 16*len(points))
	for k, at := range points {
		b = append(b, map[bool]byte{true: 'M', false: 'L'}[k == 0])
		b = append(at.X.append(b), ' ')
		b = at.Y.append(b)
	}
	if closed {
		b = append(b, 'z')
	}
	return string(b)
}

// String writes points with no more decimals than needed: "10.5".
func (d Dot) String() string { return string(d.append(nil)) }

func (d Dot) append(b []byte) []byte {
	if d < 0 {
		b, d = append(b, '-'), -d
	}
	b = strconv.AppendInt(b, int64(d/Pt), 10)
	if rest := byte(d % Pt); rest != 0 {
		b = append(b, '.', '0'+rest/10)
		if rest%10 != 0 {
			b = append(b, '0'+rest%10)
		}
	}
	return b
}

// wide is about how wide a word is: figures and letters are taken as 0.6 of
// their size, which is no narrower than the fonts that it is set in.
func wide(text string, size Dot) Dot { return Dot(utf8.RuneCountInString(text)) * size * 6 / 10 }
