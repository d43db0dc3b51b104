package catalog_test

import (
	"fmt"
	"testing"

	"billwright/catalog"
)

func TestProbe(t *testing.T) {
	for _, c := range []change{
		{`edge: "'eased'"`, `edge: 'eased'`},
		{`density: 47 lb/ft3, movement: 0.00365`, `density: 47 lb/ft3, movement: 0,00365`},
		{`density: 47 lb/ft3, movement: 0.00365`, `density: 47 lb/ft3, movement: "0,00365"`},
		{`yield: 70 %`, `yield: "0,7"`},
		{`allow: {shelves: "0"}`, `allow: {shelves: at least 1}`},
		{`cushion: {form: boxed, cloth: cloth`, `cushion: {form: boxed, fabric: cloth`},
		{`species: {name: Species, choose: {from: species}, asked_when: top == 'wood'}`, `top-length: {name: Species, choose: {from: species}, asked_when: top == 'wood'}`},
		{`length: {name: Length, size`, `top-length: {name: Length, size`},
		{`from: 2026-11-26, to: 2026-11-27`, `from: 26.11.2026, to: 2026-11-27`},
		{`from: 2026-11-26, to: 2026-11-27`, `from: 2026-11-26, to: 27.11.2026`},
		{`yield: 70 %, density: 47 lb/ft3`, `blanks: buy, density: 47 lb/ft3`},
		{`list: 1999.99`, `list: $1,999.99`},
		{`list: 1999.99`, `list: "$1,999.99"`},
		{`charge: 250.00`, `charge: $250`},
		{`wall: 0.065 in`, `wall: 16 ga`},
		{`wall: 0.065 in`, `wall: 16`},
		{`wall: 0.065 in`, `wall: 16 gauge`},
		{`effective: 2026-11-02`, `effective: 11/02/2026`},
		{`dry_film: 0.002 in`, `dry_film: 2 mil`},
		{`goods_width: 56 in, usable_width: 54 in, railroad`, `goods_width: 56, usable_width: 54 in, railroad`},
		{`from: 48 in, to: 96 in`, `from: 48, to: 96 in`},
		{`shelves: {name: Shelves, count: {from: 0, to: 3}`, `shelves: {name: Shelves, count: {from: 0, to: three}`},
		{`transfer_efficiency: 60 %`, `transfer_efficiency: sixty`},
		{`first: 45, second: 45`, `first: 45 deg`},
		{`angle: 90`, `angle: 90 deg`},
		{`terms: list`, `terms: 50 %`},
		{`leg: {pieces: "3", steel`, `leg: {pieces: 3, steel`},
		{`leg: {name: Leg, pieces: 2 *`, `leg: {name: Leg, pieces: 2.5 *`},
		{`across: 1 in, first`, `across: 1, first`},
		{`factor`, `factor`},
		{`united: 75 in`, `united: 75`},
		{`gross: 65 lb`, `gross: 65`},
		{`two_person_lift: {ratio: 51`, `two_person_lift: {ratio: 51 lb`},
		{`specific_gravity: 1.6`, `specific_gravity: 1,6`},
		{`specific_gravity: 1.6`, `specific_gravity: "1,6"`},
		{`volume_solids: 40 %`, `volume_solids: forty`},
		{`nominal: 1 in, `, `nominal: 1, `},
		{`thickness: 3/8 in`, `thickness: 3/8`},
		{`largest: {length: 84 in`, `largest: {length: 84`},
		{`terms: 50/10`, `terms: half`},
		{`blocks: release, says`, `blocks: [], says`},
		{`default: 18 in`, `default: 18`},
		{`saw_kerf: {length: 1/8 in`, `saw_kerf: {length: 1/8`},
		{`moisture_low: {ratio: 6 %`, `moisture_low: {ratio: six`},
		{`steel_cut: {rounding: {mode: up, to: 1/32 in}`, `steel_cut: {rounding: {mode: up, to: 1/32}`},
		{`length: 12 ft}, {length: 20 ft, lead`, `length: 12}, {length: 20, lead`},
		{`length: 12 ft}, {length: 20 ft, lead`, `length: 12 ft, price: "$30.00"}, {length: 20 ft, lead`},
		{`height: {name: Height, size: {from: 16 in, to: 30 in, step_inch`, `height: {name: Height, size: {from: 16 in, to: 30 in, step_in`},
		{`steel: 20`, `steel: four weeks`},
		{`lead_days: 30`, `lead_days: 6 weeks`},
		{`shape: square-tube, size: 2 in`, `shape: square-tube, size: 2`},
		{`shape: round, size: 1/2 in`, `shape: rond, size: 1/2 in`},
		{`standard: [60 in, 72 in]`, `standard: [60, 72 in]`},
		{`longest: 20`, `longest: twenty`},
		{`choose: {from: species}`, `choose: {from: spices}`},
		{`choose: {from: species}`, `choose: species`},
		{`weight: 0.14 lb/ft2`, `weight: 0.14`},
		{`mill_weight: 5.41 lb/ft`, `mill_weight: 5.41`},
		{`length_gain: 1/8 in`, `length_gain: 1/8`},
		{`packing: 8 lb`, `packing: 8`},
		{`zip: length`, `zip: []`},
		{`straight: height`, `straight: {}`},
		{`attributes: `, `attributs: `},
		{`from: 2025-07-19`, `from: July 2025`},
		{`{below: 1 lb/ft3`, `{below: 1`},
		{`closed_day_counts: next`, `closed_day_counts: tomorrow`},
		{`placed: own material`, `placed: own`},
		{`own: {name: Customer's own, own_material: yes}`, `own: {name: Customer's own, own_material: y}`},
		{`own: {name: Customer's own, own_material: yes}`, `own: {name: Customer's own, own_material: true, goods_width: 54}`},
		{`need: width <= length`, `need: width <= 40`},
	} {
		func() {
			fmt.Println("##", c.new)
			count := 0
			for _, f := range small(t) {
				for i := 0; i+len(c.old) <= len(f.Bytes); i++ {
					if string(f.Bytes[i:i+len(c.old)]) == c.old {
						count++
					}
				}
			}
			if count != 1 {
				fmt.Println("   count", count)
				return
			}
			_, faults := catalog.Read(edit(t, small(t), c))
			for _, f := range faults {
				fmt.Println("   ", f)
			}
		}()
	}
}
