package bom

import (
	"bytes"
	"cmp"
	"encoding/json"
	"slices"
	"strings"

	"billwright/catalog"
	"billwright/catalog/source"
)

// addressed is one row of a line with the part of the bill it stands in.
type addressed struct {
	part, path string
	values     json.RawMessage
}

// rowsOf are the rows of a line, in the bill's order: every list of the line
// whose members have a path. Cautions are of a row and no rows themselves.
func (b *Bill) rowsOf(line int) ([]addressed, error) {
	one := *b
	one.Lines = b.Lines[line : line+1]
	document, err := one.Document()
	if err != nil {
		return nil, err
	}
	var whole struct{ Lines []json.RawMessage }
	if err := json.Unmarshal(document, &whole); err != nil {
		return nil, err
	}
	var rows []addressed
	err = eachField(whole.Lines[0], func(part string, value json.RawMessage) {
		var list []json.RawMessage
		if part == "cautions" || json.Unmarshal(value, &list) != nil {
			return
		}
		for _, values := range list {
			var row struct{ Path string }
			if json.Unmarshal(values, &row) == nil && row.Path != "" {
				rows = append(rows, addressed{part, row.Path, values})
			}
		}
	})
	return rows, err
}

// batch gives the row of a finish batch as the bill writes it, or else the paths
// that there are.
func (b *Bill) batch(path string) (values json.RawMessage, near string, err error) {
	document, err := b.Document()
	if err != nil {
		return nil, "", err
	}
	var whole struct{ Batches []json.RawMessage }
	if err := json.Unmarshal(document, &whole); err != nil {
		return nil, "", err
	}
	paths := []string{}
	for i := range b.Batches {
		if b.Batches[i].Path == path {
			return whole.Batches[i], "", nil
		}
		paths = append(paths, b.Batches[i].Path)
	}
	return nil, cmp.Or(strings.Join(paths, ", "), "none"), nil
}

// eachField visits an object's members in the order they are written.
func eachField(object json.RawMessage, visit func(name string, value json.RawMessage)) error {
	d := json.NewDecoder(bytes.NewReader(object))
	if _, err := d.Token(); err != nil {
		return err
	}
	for d.More() {
		name, err := d.Token()
		if err != nil {
			return err
		}
		var value json.RawMessage
		if err := d.Decode(&value); err != nil {
			return err
		}
		visit(name.(string), value)
	}
	return nil
}

// nearRows names the first rows below a path, or of the line.
func nearRows(rows []addressed, path string) string {
	const most = 12
	var below, all []string
	for _, row := range rows {
		all = append(all, row.path)
		if strings.HasPrefix(row.path, path+"/") {
			below = append(below, row.path)
		}
	}
	if len(below) > 0 {
		all = below
	}
	if len(all) > most {
		all = append(all[:most], "…")
	}
	return strings.Join(all, ", ")
}

// sourcesOf cites what the materials and scales named in a row rest on.
func sourcesOf(cat *catalog.Catalog, row json.RawMessage) []WhySource {
	sources := []WhySource{}
	cite := func(name, from string) {
		cited := WhySource{name, from}
		if from != "" && !slices.Contains(sources, cited) {
			sources = append(sources, cited)
		}
	}
	// A row that was written by the same package always has its fields.
	_ = eachField(row, func(field string, value json.RawMessage) {
		if field == "parcel" {
			citeParcel(cite, cat, value)
			return
		}
		var named string
		if json.Unmarshal(value, &named) != nil || named == "" {
			return
		}
		switch field {
		case "section":
			citeItem(cite, cat.Sections, named, func(s *catalog.Section) (string, string) { return s.Name, s.Source })
		case "species":
			citeItem(cite, cat.Species, named, func(s *catalog.Species) (string, string) { return s.Name, s.Source })
		case "climate":
			citeItem(cite, cat.Climates, named, func(c *catalog.Climate) (string, string) { return c.Name, c.Source })
		case "stone":
			citeItem(cite, cat.Stone, named, func(s *catalog.Stone) (string, string) { return s.Name, s.Source })
		case "rough_thickness":
			citeItem(cite, cat.Rough, named, func(s *catalog.Rough) (string, string) { return named, s.Source })
		case "coating":
			citeItem(cite, cat.Coatings, named, func(s *catalog.Coating) (string, string) { return s.Name, s.Source })
		case "finish":
			citeItem(cite, cat.MetalFinishes, named, func(s *catalog.Finish) (string, string) { return s.Name, s.Source })
			citeItem(cite, cat.WoodFinishes, named, func(s *catalog.Finish) (string, string) { return s.Name, s.Source })
		case "foam":
			citeItem(cite, cat.Foams, named, func(s *catalog.Foam) (string, string) { return s.Name, s.Source })
		case "process":
			citeItem(cite, cat.Processes, named, func(p *catalog.Process) (string, string) { return p.Name, p.Source })
		case "wire":
			citeItem(cite, cat.Wires, named, func(w *catalog.Wire) (string, string) { return w.Name, w.Source })
		case "board":
			citeItem(cite, cat.Boards, named, func(s *catalog.Board) (string, string) { return s.Name, s.Source })
		case "freight_class":
			cite("freight density scale", cat.Freight.Source)
		case "pallet", "lift":
			citeShipping(cite, cat, field, named)
		}
	})
	return sources
}

// citeItem cites the item of a table that a row names, by its code or by the
// name on papers, behind which an open choice says what it is reckoned as.
func citeItem[T any](cite func(name, from string), table source.Map[T], named string, read func(T) (name, from string)) {
	for code, item := range table.All() {
		name, from := read(item)
		if named == code.Value || named == name || strings.HasSuffix(named, "(reckoned as "+name+")") {
			cite(name, from)
			return
		}
	}
}
