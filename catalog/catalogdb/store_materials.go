package catalogdb

import (
	"fmt"

	"billwright/catalog"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

func (s *storing) sections(cat *catalog.Catalog) error {
	var codes, names, shapes []string
	var masses, perimeters, longest []int64
	for code, section := range cat.Sections.All() {
		mass, err := section.Mass(unit.Metre)
		if err != nil {
			return fmt.Errorf("section %s: %w", code, err)
		}
		perimeter, err := section.Perimeter()
		if err != nil {
			return fmt.Errorf("section %s: %w", code, err)
		}
		codes, names, shapes = append(codes, code.Value), append(names, section.Name), append(shapes, section.Shape)
		masses, perimeters, longest = append(masses, int64(mass)), append(perimeters, int64(perimeter)), append(longest, int64(section.LongestBar()))
	}
	s.queue(`
insert into catalog_section (workshop_id, revision, section, name, shape, mass_ug_per_m, perimeter_nm, longest_bar_nm)
select $1, $2, c.section, c.name, c.shape, c.mass_ug_per_m, c.perimeter_nm, c.longest_bar_nm
from unnest($3::text[], $4::text[], $5::text[], $6::bigint[], $7::bigint[], $8::bigint[])
    as c (section, name, shape, mass_ug_per_m, perimeter_nm, longest_bar_nm)`, codes, names, shapes, masses, perimeters, longest)
	return nil
}

func (s *storing) species(cat *catalog.Catalog) {
	var codes, names, blanks []string
	var yields []*string
	for code, species := range cat.Species.All() {
		made, yield := "bought", (*string)(nil)
		if species.Blanks != made {
			made, yield = "made", textOrNull(species.Yield.String())
		}
		codes, names, blanks, yields = append(codes, code.Value), append(names, species.Name), append(blanks, made), append(yields, yield)
	}
	s.queue(`
insert into catalog_species (workshop_id, revision, species, name, blanks, yield)
select $1, $2, c.species, c.name, c.blanks, c.yield
from unnest($3::text[], $4::text[], $5::text[], $6::text[]) as c (species, name, blanks, yield)`, codes, names, blanks, yields)
}

func (s *storing) finishes(cat *catalog.Catalog) {
	var kinds, codes, names []string
	var clear []bool
	var hands []int16
	add := func(kind string, all source.Map[*catalog.Finish]) {
		for code, finish := range all.All() {
			kinds, codes, names = append(kinds, kind), append(codes, code.Value), append(names, finish.Name)
			clear, hands = append(clear, finish.Clear), append(hands, handSteps(finish))
		}
	}
	add("metal", cat.MetalFinishes)
	add("wood", cat.WoodFinishes)
	s.queue(`
insert into catalog_finish (workshop_id, revision, kind, finish, name, clear_coat, hand_steps)
select $1, $2, f.kind, f.finish, f.name, f.clear_coat, f.hand_steps
from unnest($3::text[], $4::text[], $5::text[], $6::boolean[], $7::smallint[]) as f (kind, finish, name, clear_coat, hand_steps)`,
		kinds, codes, names, clear, hands)
	var finishes, species []string
	for code, finish := range cat.WoodFinishes.All() {
		for _, on := range finish.On {
			finishes, species = append(finishes, code.Value), append(species, on.Value)
		}
	}
	s.queue(`
insert into catalog_finish_species (workshop_id, revision, kind, finish, species)
select $1, $2, 'wood', f.finish, f.species
from unnest($3::text[], $4::text[]) as f (finish, species)`, finishes, species)
}

func handSteps(finish *catalog.Finish) int16 {
	var n int16
	for _, step := range finish.Steps {
		if step.Hand {
			n++
		}
	}
	return n
}

func (s *storing) fabrics(cat *catalog.Catalog) {
	var codes, names, grades []string
	var widths []int64
	var own []bool
	for code, fabric := range cat.Fabrics.All() {
		codes, names, grades = append(codes, code.Value), append(names, fabric.Name), append(grades, fabric.Grade)
		widths, own = append(widths, int64(fabric.Goods)), append(own, fabric.Own)
	}
	s.queue(`
insert into catalog_fabric (workshop_id, revision, fabric, name, grade, goods_width_nm, own_material)
select $1, $2, f.fabric, f.name, f.grade, f.goods_width_nm, f.own_material
from unnest($3::text[], $4::text[], $5::text[], $6::bigint[], $7::boolean[]) as f (fabric, name, grade, goods_width_nm, own_material)`,
		codes, names, grades, widths, own)
}
