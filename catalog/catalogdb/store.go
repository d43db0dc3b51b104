package catalogdb

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"billwright/catalog"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Store keeps a catalog as the workshop's next revision: its files byte for
// byte, the same as rows, and its dealers, whose names follow the newest
// catalog. Errors: ErrRevisionTaken.
func Store(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, cat *catalog.Catalog, by string, at time.Time) (revision int, err error) {
	hash := SourceHash(cat.Files)
	err = tx.QueryRow(ctx, `
insert into catalog_revision (workshop_id, revision, effective, source_sha256, stored_at, stored_by)
select $1, coalesce(max(revision), 0) + 1, $2, $3, $4, $5
from catalog_revision
where workshop_id = $1
returning revision`, workshop, midnight(cat.Workshop.Effective), hash[:], at, by).Scan(&revision)
	var refused *pgconn.PgError
	if errors.As(err, &refused) && refused.Code == "23505" { // unique_violation (PostgreSQL manual, appendix A)
		return 0, ErrRevisionTaken
	}
	if err != nil {
		return 0, fmt.Errorf("store a revision: %w", err)
	}
	s := storing{workshop: workshop, revision: revision}
	s.files(cat.Files)
	s.dealers(cat)
	s.products(cat)
	s.rules(cat)
	if err := errors.Join(s.standards(cat), s.sections(cat)); err != nil {
		return 0, err
	}
	s.species(cat)
	s.finishes(cat)
	s.fabrics(cat)
	if err := tx.SendBatch(ctx, &s.batch).Close(); err != nil {
		return 0, fmt.Errorf("store revision %d: %w", revision, err)
	}
	return revision, nil
}

// SourceHash is the SHA-256 over each file's path and bytes, each after its
// length in 8 bytes, most significant first, in the order given.
func SourceHash(files []source.File) [32]byte {
	h := sha256.New()
	var length [8]byte
	for _, file := range files {
		for _, part := range [][]byte{[]byte(file.Path), file.Bytes} {
			binary.BigEndian.PutUint64(length[:], uint64(len(part)))
			h.Write(length[:])
			h.Write(part)
		}
	}
	return [32]byte(h.Sum(nil))
}

// storing gathers the statements of one revision for one round trip.
type storing struct {
	workshop uuid.UUID
	revision int
	batch    pgx.Batch
}

func (s *storing) queue(statement string, columns ...any) {
	s.batch.Queue(statement, append([]any{s.workshop, s.revision}, columns...)...)
}

func (s *storing) files(files []source.File) {
	var paths []string
	var bytes [][]byte
	for _, file := range files {
		paths = append(paths, file.Path)
		// A nil slice would be stored as no value rather than as an empty file.
		bytes = append(bytes, append([]byte{}, file.Bytes...))
	}
	s.queue(`
insert into catalog_file (workshop_id, revision, path, bytes)
select $1, $2, f.path, f.bytes
from unnest($3::text[], $4::bytea[]) as f (path, bytes)`, paths, bytes)
}

func (s *storing) dealers(cat *catalog.Catalog) {
	var codes, names []string
	for code, dealer := range cat.Dealers.All() {
		codes, names = append(codes, code.Value), append(names, dealer.Name)
	}
	// Dealers of a workshop are of no revision.
	s.batch.Queue(`
insert into dealer (workshop_id, dealer_id, name)
select $1, d.dealer_id, d.name
from unnest($2::text[], $3::text[]) as d (dealer_id, name)
order by d.dealer_id
on conflict (workshop_id, dealer_id) do update set name = excluded.name`, s.workshop, codes, names)
}

func (s *storing) products(cat *catalog.Catalog) {
	var codes, names, collections []string
	var leads []int32
	for code, product := range cat.Products.All() {
		codes, names, collections, leads = append(codes, code.Value), append(names, product.Name), append(collections, product.Collection), append(leads, int32(product.LeadDays))
	}
	s.queue(`
insert into catalog_product (workshop_id, revision, product, name, collection, lead_days)
select $1, $2, p.product, p.name, p.collection, p.lead_days
from unnest($3::text[], $4::text[], $5::text[], $6::integer[]) as p (product, name, collection, lead_days)`, codes, names, collections, leads)
	for code, product := range cat.Products.All() {
		s.attributes(code.Value, product)
	}
}

func (s *storing) attributes(product string, p *catalog.Product) {
	var codes, names, kinds []string
	var defaults []*string
	var smallest, largest []*int64
	var least, most []*int32
	for code, a := range p.Attributes.All() {
		row := attributeRow(a)
		codes, names, kinds, defaults = append(codes, code.Value), append(names, a.Name), append(kinds, row.kind), append(defaults, row.text)
		smallest, largest = append(smallest, row.smallest), append(largest, row.largest)
		least, most = append(least, row.least), append(most, row.most)
	}
	s.queue(`
insert into catalog_attribute (workshop_id, revision, product, attribute, position, name, kind, smallest_nm, largest_nm, least, most, default_text)
select $1, $2, $3, a.attribute, a.position, a.name, a.kind, a.smallest_nm, a.largest_nm, a.least, a.most, a.default_text
from unnest($4::text[], $5::text[], $6::text[], $7::bigint[], $8::bigint[], $9::integer[], $10::integer[], $11::text[]) with ordinality
    as a (attribute, name, kind, smallest_nm, largest_nm, least, most, default_text, position)`,
		product, codes, names, kinds, smallest, largest, least, most, defaults)
	for code, a := range p.Attributes.All() {
		s.choices(product, code.Value, a.Options())
	}
}

type attribute struct {
	kind              string
	smallest, largest *int64
	least, most       *int32
	text              *string
}

func attributeRow(a *catalog.Attribute) attribute {
	row := attribute{kind: "choice"}
	switch {
	case a.Size != nil:
		row.kind, row.smallest, row.largest = "length", (*int64)(&a.Size.From), (*int64)(&a.Size.To)
	case a.Count != nil:
		least, most := int32(a.Count.From), int32(a.Count.To)
		row.kind, row.least, row.most = "count", &least, &most
	case a.Write != nil:
		most := int32(a.Write.Longest)
		row.kind, row.most = "text", &most
	}
	if a.Default != nil {
		row.text = &a.Default.Value
	}
	return row
}

func (s *storing) choices(product, attribute string, options []catalog.Option) {
	if len(options) == 0 {
		return
	}
	var codes, names []string
	for _, option := range options {
		codes, names = append(codes, option.Code), append(names, option.Name)
	}
	s.queue(`
insert into catalog_choice (workshop_id, revision, product, attribute, choice, position, name)
select $1, $2, $3, $4, c.choice, c.position, c.name
from unnest($5::text[], $6::text[]) with ordinality as c (choice, name, position)`, product, attribute, codes, names)
}

func (s *storing) rules(cat *catalog.Catalog) {
	var products, codes, sentences []string
	for product, p := range cat.Products.All() {
		for code, rule := range p.Rules.All() {
			products, codes, sentences = append(products, product.Value), append(codes, code.Value), append(sentences, rule.Says)
		}
	}
	s.queue(`
insert into catalog_rule (workshop_id, revision, product, rule, says)
select $1, $2, r.product, r.rule, r.says
from unnest($3::text[], $4::text[], $5::text[]) as r (product, rule, says)`, products, codes, sentences)
}

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
	var codes, names, yields []string
	for code, species := range cat.Species.All() {
		codes, names, yields = append(codes, code.Value), append(names, species.Name), append(yields, species.Yield.String())
	}
	s.queue(`
insert into catalog_species (workshop_id, revision, species, name, yield)
select $1, $2, c.species, c.name, c.yield
from unnest($3::text[], $4::text[], $5::text[]) as c (species, name, yield)`, codes, names, yields)
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
