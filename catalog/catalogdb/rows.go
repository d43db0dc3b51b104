package catalogdb

import (
	"context"
	"fmt"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/catalog/unit"
)

// The rows of a revision, each list in the order of its code unless said
// otherwise. An empty text of a filter lets everything through. A revision that
// does not exist has no rows.

// Product is a product's row.
type Product struct {
	Product    string
	Name       string
	Collection string
	LeadDays   int
	Withdrawal
}

// Withdrawal tells until when something may be ordered.
type Withdrawal struct {
	// LastOrder is the last day, such as 2027-01-31, or nil for what is not
	// withdrawn.
	LastOrder *string
	// Successor is the code of what takes its place, or nil.
	Successor *string
}

// Products lists a revision's products, of one collection or of all.
func Products(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, revision int, collection string) ([]Product, error) {
	return collect[Product](ctx, tx, "products", `
select product, name, collection, lead_days, to_char(last_order, 'YYYY-MM-DD'), successor
from catalog_product
where workshop_id = $1 and revision = $2 and ($3 = '' or collection = $3)
order by product`, workshop, revision, collection)
}

// Attribute is an attribute's row.
type Attribute struct {
	Attribute string
	Name      string
	// Kind is choice, length, count or text.
	Kind string
	// Smallest and Largest are the limits of a length.
	Smallest, Largest *unit.Length
	// Least and Most are the limits of a count; Most is also the most characters
	// of a text.
	Least, Most *int
	Default     *string
}

// Attributes lists a product's attributes in the order in which they are asked.
func Attributes(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, revision int, product string) ([]Attribute, error) {
	return collect[Attribute](ctx, tx, "attributes", `
select attribute, name, kind, smallest_nm, largest_nm, least, most, default_text
from catalog_attribute
where workshop_id = $1 and revision = $2 and product = $3
order by position`, workshop, revision, product)
}

// Choice is one value that an attribute of a product may take.
type Choice struct {
	Product   string
	Attribute string
	Choice    string
	Name      string
}

// ChoiceFilter narrows choices down. With Choice alone it answers where a
// species, a finish or a fabric is used.
type ChoiceFilter struct{ Product, Attribute, Choice string }

// Choices lists choices by product, attribute and the catalog's order.
func Choices(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, revision int, f ChoiceFilter) ([]Choice, error) {
	return collect[Choice](ctx, tx, "choices", `
select a.product, a.attribute, c.choice, c.name
from catalog_attribute a
cross join lateral (
    select o.choice, o.name, o.position
    from catalog_choice o
    where o.workshop_id = a.workshop_id and o.revision = a.revision and o.product = a.product and o.attribute = a.attribute and ($5 = '' or o.choice = $5)
    union all
    select i.item, i.name, i.position
    from catalog_item i
    where i.workshop_id = a.workshop_id and i.revision = a.revision and i.source = a.chooses_all and ($5 = '' or i.item = $5)) c
where a.workshop_id = $1 and a.revision = $2 and ($3 = '' or a.product = $3) and ($4 = '' or a.attribute = $4)
order by a.product, a.position, c.position`, workshop, revision, f.Product, f.Attribute, f.Choice)
}

// Rule is a rule's row.
type Rule struct {
	Product string
	Rule    string
	Says    string
}

// Rules lists the rules of a product or of all.
func Rules(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, revision int, product string) ([]Rule, error) {
	return collect[Rule](ctx, tx, "rules", `
select product, rule, says
from catalog_rule
where workshop_id = $1 and revision = $2 and ($3 = '' or product = $3)
order by product, rule`, workshop, revision, product)
}

// Standard is a shop standard's row.
type Standard struct {
	Standard string
	// Value is the value as people read it.
	Value  string
	Source string
}

// Standards lists a revision's shop standards.
func Standards(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, revision int) ([]Standard, error) {
	return collect[Standard](ctx, tx, "standards", `
select standard, value, source
from catalog_standard
where workshop_id = $1 and revision = $2
order by standard`, workshop, revision)
}

// Section is a steel section's row.
type Section struct {
	Section      string
	Name         string
	Shape        string
	MassPerMetre unit.Mass
	Perimeter    unit.Length
	LongestBar   unit.Length
	Withdrawal
}

// Sections lists a revision's steel sections, of one shape or of all.
func Sections(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, revision int, shape string) ([]Section, error) {
	return collect[Section](ctx, tx, "sections", `
select s.section, s.name, s.shape, s.mass_ug_per_m, s.perimeter_nm, s.longest_bar_nm, to_char(i.last_order, 'YYYY-MM-DD'), i.successor
from catalog_section s
join catalog_item i on i.workshop_id = s.workshop_id and i.revision = s.revision and i.source = 'sections' and i.item = s.section
where s.workshop_id = $1 and s.revision = $2 and ($3 = '' or s.shape = $3)
order by s.section`, workshop, revision, shape)
}

// Species is a top species' row.
type Species struct {
	Species string
	Name    string
	// Blanks is made or bought.
	Blanks string
	// Yield is the share of bought lumber that ends in blanks, as an exact
	// fraction such as 7/10; nil where blanks are bought.
	Yield *string
	Withdrawal
}

// SpeciesOf lists a revision's species: those that a wood finish may go on, or
// all.
func SpeciesOf(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, revision int, finish string) ([]Species, error) {
	return collect[Species](ctx, tx, "species", `
select s.species, s.name, s.blanks, s.yield, to_char(i.last_order, 'YYYY-MM-DD'), i.successor
from catalog_species s
join catalog_item i on i.workshop_id = s.workshop_id and i.revision = s.revision and i.source = 'species' and i.item = s.species
where s.workshop_id = $1 and s.revision = $2 and ($3 = '' or exists (
    select from catalog_finish_species f
    where f.workshop_id = s.workshop_id and f.revision = s.revision and f.species = s.species and f.finish = $3))
order by s.species`, workshop, revision, finish)
}

// Finish is a finish's row.
type Finish struct {
	// Kind is wood or metal.
	Kind   string
	Finish string
	Name   string
	// ClearCoat tells that the bare wood shows.
	ClearCoat bool
	HandSteps int
	// Species are those that a wood finish may go on.
	Species []string
	Withdrawal
}

// FinishFilter narrows finishes down.
type FinishFilter struct {
	// Kind is wood or metal.
	Kind string
	// Species leaves the wood finishes that may go on it.
	Species string
}

// Finishes lists a revision's finishes, metal before wood.
func Finishes(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, revision int, f FinishFilter) ([]Finish, error) {
	return collect[Finish](ctx, tx, "finishes", `
select f.kind, f.finish, f.name, f.clear_coat, f.hand_steps,
    array(select s.species from catalog_finish_species s
        where s.workshop_id = f.workshop_id and s.revision = f.revision and s.kind = f.kind and s.finish = f.finish
        order by s.species),
    to_char(i.last_order, 'YYYY-MM-DD'), i.successor
from catalog_finish f
join catalog_item i on i.workshop_id = f.workshop_id and i.revision = f.revision and i.source = f.kind || '_finishes' and i.item = f.finish
where f.workshop_id = $1 and f.revision = $2 and ($3 = '' or f.kind = $3) and ($4 = '' or exists (
    select from catalog_finish_species s
    where s.workshop_id = f.workshop_id and s.revision = f.revision and s.kind = f.kind and s.finish = f.finish and s.species = $4))
order by f.kind, f.finish`, workshop, revision, f.Kind, f.Species)
}

// Fabric is a fabric's row.
type Fabric struct {
	Fabric string
	Name   string
	Grade  string
	// GoodsWidth is 0 for material whose width comes with the order.
	GoodsWidth unit.Length
	// Own marks customer's own material.
	Own bool
	Withdrawal
}

// FabricFilter narrows fabrics down.
type FabricFilter struct {
	Grade string
	// Own leaves customer's own material, or all but it; nil leaves both.
	Own *bool
}

// Fabrics lists a revision's fabrics.
func Fabrics(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, revision int, f FabricFilter) ([]Fabric, error) {
	return collect[Fabric](ctx, tx, "fabrics", `
select f.fabric, f.name, f.grade, f.goods_width_nm, f.own_material, to_char(i.last_order, 'YYYY-MM-DD'), i.successor
from catalog_fabric f
join catalog_item i on i.workshop_id = f.workshop_id and i.revision = f.revision and i.source = 'fabrics' and i.item = f.fabric
where f.workshop_id = $1 and f.revision = $2 and ($3 = '' or f.grade = $3) and ($4::boolean is null or f.own_material = $4)
order by f.fabric`, workshop, revision, f.Grade, f.Own)
}

// collect reads rows into structs whose fields stand in the order of the
// columns.
func collect[T any](ctx context.Context, tx pgx.Tx, what, statement string, args ...any) ([]T, error) {
	rows, err := tx.Query(ctx, statement, args...)
	if err != nil {
		return nil, fmt.Errorf("list the %s: %w", what, err)
	}
	list, err := pgx.CollectRows(rows, pgx.RowToStructByPos[T])
	if err != nil {
		return nil, fmt.Errorf("list the %s: %w", what, err)
	}
	return list, nil
}
