package main

import (
	"bytes"
	"fmt"

	"billwright/catalog"
	"billwright/catalog/demonstration"
	"billwright/catalog/source"
)

// The large catalog: products with rules, formulas, parts and prices of their
// own, half of which choose from all fabrics, beside the demonstration's.
const (
	largeProducts = 500
	largeFabrics  = 2000
	largeRows     = 20_000
)

// largeCatalog gives the files and how many rows were made for it.
func largeCatalog() ([]source.File, int, error) {
	files := demonstration.Files()
	before, err := countRows(files)
	if err != nil {
		return nil, 0, err
	}
	var cloth bytes.Buffer
	cloth.WriteString("fabrics:\n")
	for i := range largeFabrics {
		fmt.Fprintf(&cloth, "  measured-%04d: {name: Measured cloth %d, grade: %c, goods_width: 54 in, usable_width: %d in, railroad: yes, lead_days: %d}\n", i, i, 'A'+i%5, 50+i%4, 5+i%30)
	}
	files = append(files, source.File{Path: "measured/cloth.yaml", Bytes: cloth.Bytes()})
	for i := range largeProducts {
		files = append(files, source.File{Path: fmt.Sprintf("measured/bench-%03d.yaml", i), Bytes: largeProduct(i)})
	}
	after, err := countRows(files)
	if err == nil && after-before < largeRows {
		err = fmt.Errorf("the large catalog has %d rows, fewer than %d", after-before, largeRows)
	}
	return files, after - before, err
}

func largeProduct(i int) []byte {
	var b bytes.Buffer
	say := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	say("products:\n  measured-bench-%03d:\n    name: Measured bench %d\n    collection: Measured %d\n    lead_days: %d\n    attributes:", i, i, i/10, 20+i%15)
	say("      length: {name: Length, size: {from: 36 in, to: 72 in, step_inch: 1/8 in, step_metric: 1 mm, standard: [36 in, 48 in, 60 in]}, default: 48 in}")
	say("      height: {name: Seat height, size: {from: 16 in, to: 20 in, step_inch: 1/8 in, step_metric: 1 mm, standard: [18 in]}, default: 18 in}")
	say("      depth: {name: Seat depth, size: {from: 14 in, to: 20 in, step_inch: 1/8 in, step_metric: 1 mm, standard: [16 in]}, default: 16 in}")
	say("      metal_finish: {name: Metal finish, choose: {from: metal_finishes}, default: soot}")
	if i%2 == 0 {
		say("      cloth: {name: Cloth, choose: {from: fabrics, among: [oat-weave, slate-twill, measured-%04d, measured-%04d]}, default: oat-weave}", i, i+500)
	} else {
		say("      cloth: {name: Cloth, choose: {from: fabrics}, default: oat-weave}")
	}
	say("      own_width: {name: Usable width of own material, size: {from: 18 in, to: 120 in, step_inch: 1/8 in, step_metric: 1 mm}, asked_when: cloth == 'oat-weave', default: 54 in}")
	say("      legs: {name: Legs, choose: {values: {straight: Straight, splayed: Splayed, turned: Turned}}, default: straight}")
	say("      glides: {name: Glides, choose: {values: {felt: Felt, nylon: Nylon, none: None}}, default: felt}")
	say("    figures:\n      cushion_height: len('3 in')\n      leg_length: height - cushion_height - len('1/8 in')\n      leg_count: \"length <= len('48 in') ? 4 : 6\"\n      slats: ceil(length / len('8 in')) - 1")
	say("    rules:")
	for k := range 5 {
		say("      rule-%d:\n        says: Measured bench %d over %d in takes another leg; make it shorter.\n        where: {length: over %d in, legs: turned}\n        need: height >= len('%d in')", k, i, 60+k, 60+k, 17)
	}
	say("    parts:\n      base:\n        name: Frame\n        welded: yes\n        metal_finish: metal_finish\n        parts:")
	for k, part := range []string{"leg: {pieces: leg_count, steel: {section: square-bar-1, straight: leg_length}}", "long-rail: {pieces: 2, steel: {section: flat-bar-1, straight: length}}",
		"end-rail: {pieces: 2, steel: {section: flat-bar-1, straight: depth}}", "slat: {pieces: slats, steel: {section: flat-bar-1, straight: depth - len('1/4 in')}}"} {
		_ = k
		say("          %s", part)
	}
	say("      cushion: {name: Cushion, cushion: {form: boxed-welt, cloth: cloth, foam: seat-foam, length: length, width: depth, height: cushion_height, own_usable_width: own_width}}")
	say("      glide: {name: Glide, pieces: leg_count, hardware: {item: glide}}")
	say("    cartons:\n      whole:\n        packs: [base, cushion, glide]\n        board: double-bc\n        length: length + 2 * standard.carton_clearance\n        width: depth + 2 * standard.carton_clearance\n        depth: height + 2 * standard.carton_clearance\n        packing: 6 lb")
	say("prices:\n  measured-bench-%03d:\n    sizes:", i)
	for k := range 5 {
		say("      - {for: Up to %d in long, where: {length: up to %d in}, list: %d.00}", 40+8*k, 40+8*k, 900+i+100*k)
	}
	say("    options:")
	for k, finish := range []string{"reed-bronze", "ember-mottle"} {
		say("      - {for: Finish %d, where: {metal_finish: %s}, add: %d.00}", k, finish, 100+k)
	}
	for k, cloth := range []string{"oat-weave", "slate-twill"} {
		say("      - {for: Cloth %d, where: {cloth: %s}, add: %d.00}", k, cloth, 10+k)
	}
	say("    custom_size: {of: [length, height], for: Custom size, charge: 140.00}")
	return b.Bytes()
}

// countRows is how many things a catalog names: its products with their
// attributes, own choices, figures, rules, parts, cartons and price lines, and
// the entries of its material tables.
func countRows(files []source.File) (int, error) {
	cat, faults := catalog.Read(files)
	if len(faults) > 0 {
		return 0, fmt.Errorf("a catalog of the measure has %d faults, the first: %w", len(faults), faults[0])
	}
	n := cat.Standards.Len() + cat.Sections.Len() + cat.Species.Len() + cat.Glass.Len() + cat.Coatings.Len() + cat.MetalFinishes.Len() + cat.WoodFinishes.Len() +
		cat.Fabrics.Len() + cat.Foams.Len() + cat.Hardware.Len() + cat.Boards.Len() + cat.Dealers.Len()
	for _, p := range cat.Products.All() {
		n += 1 + p.Attributes.Len() + p.Figures.Len() + p.Rules.Len() + p.Cartons.Len()
		for _, a := range p.Attributes.All() {
			if a.Choose != nil {
				n += len(a.Choose.Among) + a.Choose.Values.Len()
			}
		}
		for _, part := range p.Parts.All() {
			n += countParts(part)
		}
	}
	for _, list := range cat.Prices.All() {
		n += len(list.Sizes) + len(list.Options)
	}
	return n, nil
}

func countParts(p *catalog.Part) int {
	n := 1
	for _, below := range p.Parts.All() {
		n += countParts(below)
	}
	return n
}
