package api

import (
	"context"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/catalogdb"
	"billwright/catalog/unit"
	"billwright/migrations/tenancy"
)

// catalogReply is the catalog in force.
type catalogReply struct {
	Revision      int           `json:"revision"`
	Effective     calendar.Date `json:"effective" doc:"First day on which the revision holds."`
	Workshop      string        `json:"workshop" doc:"Code of the workshop."`
	Name          string        `json:"name" doc:"Name of the workshop."`
	Demonstration bool          `json:"demonstration" doc:"true only for the catalog made for trying the program out."`
	Products      []string      `json:"products" doc:"Codes of the products."`
	Dealers       int           `json:"dealers" doc:"How many dealers it has."`
}

type catalogOutput struct {
	ETag string `header:"ETag"`
	Body catalogReply
}

// getCatalog tells which catalog is in force.
func (s *Server) getCatalog(ctx context.Context, _ *struct{}) (*catalogOutput, error) {
	st, err := s.catalogFor(ctx, principalOf(ctx).workshop)
	if err != nil {
		return nil, err
	}
	c := st.catalog
	return &catalogOutput{etag(c.Revision), catalogReply{Revision: c.Revision, Effective: c.Workshop.Effective, Workshop: c.Workshop.Code,
		Name: c.Workshop.Name, Demonstration: c.Workshop.Demonstration, Products: c.Products.Keys(), Dealers: c.Dealers.Len()}}, nil
}

// rows is a list of the catalog in force.
type rows[Row any] struct {
	Body struct {
		Revision int   `json:"revision" doc:"Revision of the catalog in force."`
		Rows     []Row `json:"rows"`
	}
}

// catalogRows reads a list of the catalog in force and shows each row.
func catalogRows[Stored, Row any](ctx context.Context, s *Server, read func(pgx.Tx, uuid.UUID, int) ([]Stored, error), show func(*Stored) Row) (*rows[Row], error) {
	who := principalOf(ctx)
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	var stored []Stored
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		stored, err = read(tx, who.workshop, st.catalog.Revision)
		return err
	})
	out := &rows[Row]{}
	out.Body.Revision, out.Body.Rows = st.catalog.Revision, make([]Row, len(stored))
	for i := range stored {
		out.Body.Rows[i] = show(&stored[i])
	}
	return out, err
}

type listedProduct struct {
	Product    string `json:"product"`
	Name       string `json:"name"`
	Collection string `json:"collection,omitempty"`
	LeadDays   int    `json:"lead_days" doc:"Working days from acceptance to shipping."`
	withdrawn
}

// withdrawn tells until when something may be ordered.
type withdrawn struct {
	LastOrder *string `json:"last_order,omitempty" format:"date" doc:"Last day on which it may be ordered; absent for what is not withdrawn."`
	Successor *string `json:"successor,omitempty" doc:"Code of what takes its place."`
}

type listProductsInput struct {
	Collection string `query:"collection" maxLength:"100" doc:"Only products of this collection."`
}

func (s *Server) listProducts(ctx context.Context, in *listProductsInput) (*rows[listedProduct], error) {
	return catalogRows(ctx, s, func(tx pgx.Tx, workshop uuid.UUID, revision int) ([]catalogdb.Product, error) {
		return catalogdb.Products(ctx, tx, workshop, revision, in.Collection)
	}, func(r *catalogdb.Product) listedProduct {
		return listedProduct{r.Product, r.Name, r.Collection, r.LeadDays, withdrawn(r.Withdrawal)}
	})
}

type listedDealer struct {
	Dealer     string `json:"dealer"`
	Name       string `json:"name"`
	Terms      string `json:"terms" doc:"Discounts in percent in a chain, such as 50/10."`
	CreditHold bool   `json:"credit_hold" doc:"true where every order of the dealer's is held until his account is cleared."`
}

// listDealers lists the dealers of the catalog in force.
func (s *Server) listDealers(ctx context.Context, _ *struct{}) (*rows[listedDealer], error) {
	st, err := s.catalogFor(ctx, principalOf(ctx).workshop)
	if err != nil {
		return nil, err
	}
	out := &rows[listedDealer]{}
	out.Body.Revision, out.Body.Rows = st.catalog.Revision, []listedDealer{}
	for code, d := range st.catalog.Dealers.All() {
		out.Body.Rows = append(out.Body.Rows, listedDealer{code.Value, d.Name, d.Terms.String(), d.CreditHold})
	}
	return out, nil
}

type listedSpecies struct {
	Species string  `json:"species"`
	Name    string  `json:"name"`
	Blanks  string  `json:"blanks" enum:"made,bought" doc:"Whether blanks are made in the shop from lumber or bought in size."`
	Yield   *string `json:"yield,omitempty" doc:"Share of the lumber bought that ends in blanks, an exact fraction such as 7/10; absent where blanks are bought."`
	withdrawn
}

type listSpeciesInput struct {
	Finish string `query:"finish" maxLength:"100" doc:"Only species that this wood finish may go on."`
}

func (s *Server) listSpecies(ctx context.Context, in *listSpeciesInput) (*rows[listedSpecies], error) {
	return catalogRows(ctx, s, func(tx pgx.Tx, workshop uuid.UUID, revision int) ([]catalogdb.Species, error) {
		return catalogdb.SpeciesOf(ctx, tx, workshop, revision, in.Finish)
	}, func(r *catalogdb.Species) listedSpecies {
		return listedSpecies{r.Species, r.Name, r.Blanks, r.Yield, withdrawn(r.Withdrawal)}
	})
}

type listedFinish struct {
	Kind      string   `json:"kind" enum:"metal,wood"`
	Finish    string   `json:"finish"`
	Name      string   `json:"name"`
	ClearCoat bool     `json:"clear_coat" doc:"Whether the bare wood shows."`
	HandSteps int      `json:"hand_steps" doc:"Steps of the hand finishing bench."`
	Species   []string `json:"species" doc:"Species that a wood finish may go on."`
	withdrawn
}

type listFinishesInput struct {
	Kind    string `query:"kind" enum:"metal,wood" doc:"Only finishes of metal or of wood."`
	Species string `query:"species" maxLength:"100" doc:"Only wood finishes that may go on this species."`
}

func (s *Server) listFinishes(ctx context.Context, in *listFinishesInput) (*rows[listedFinish], error) {
	return catalogRows(ctx, s, func(tx pgx.Tx, workshop uuid.UUID, revision int) ([]catalogdb.Finish, error) {
		return catalogdb.Finishes(ctx, tx, workshop, revision, catalogdb.FinishFilter{Kind: in.Kind, Species: in.Species})
	}, func(r *catalogdb.Finish) listedFinish {
		return listedFinish{r.Kind, r.Finish, r.Name, r.ClearCoat, r.HandSteps, r.Species, withdrawn(r.Withdrawal)}
	})
}

type listedFabric struct {
	Fabric     string       `json:"fabric"`
	Name       string       `json:"name"`
	Grade      string       `json:"grade,omitempty"`
	GoodsWidth *unit.Length `json:"goods_width,omitempty" doc:"Absent for customer's own material, whose width comes with the order."`
	Own        bool         `json:"own_material"`
	withdrawn
}

type listFabricsInput struct {
	Grade string `query:"grade" maxLength:"100" doc:"Only fabrics of this price grade."`
	Own   string `query:"own_material" enum:"true,false" doc:"Only customer's own material, or none of it."`
}

func (s *Server) listFabrics(ctx context.Context, in *listFabricsInput) (*rows[listedFabric], error) {
	filter := catalogdb.FabricFilter{Grade: in.Grade}
	if in.Own != "" {
		own := in.Own == "true"
		filter.Own = &own
	}
	return catalogRows(ctx, s, func(tx pgx.Tx, workshop uuid.UUID, revision int) ([]catalogdb.Fabric, error) {
		return catalogdb.Fabrics(ctx, tx, workshop, revision, filter)
	}, func(r *catalogdb.Fabric) listedFabric {
		row := listedFabric{Fabric: r.Fabric, Name: r.Name, Grade: r.Grade, Own: r.Own, withdrawn: withdrawn(r.Withdrawal)}
		if r.GoodsWidth != 0 {
			row.GoodsWidth = &r.GoodsWidth
		}
		return row
	})
}

type listedSection struct {
	Section    string      `json:"section"`
	Name       string      `json:"name"`
	Shape      string      `json:"shape"`
	Weight     string      `json:"weight" doc:"Pounds by the foot, to four decimals, such as 1.5995 lb/ft."`
	Perimeter  unit.Length `json:"perimeter" doc:"Outside that is coated."`
	LongestBar unit.Length `json:"longest_bar" doc:"Longest length it is bought in."`
	withdrawn
}

type listSectionsInput struct {
	Shape string `query:"shape" enum:"round,square,flat,angle,round-tube,square-tube,rect-tube" doc:"Only sections of this form."`
}

func (s *Server) listSections(ctx context.Context, in *listSectionsInput) (*rows[listedSection], error) {
	return catalogRows(ctx, s, func(tx pgx.Tx, workshop uuid.UUID, revision int) ([]catalogdb.Section, error) {
		return catalogdb.Sections(ctx, tx, workshop, revision, in.Shape)
	}, func(r *catalogdb.Section) listedSection {
		row := listedSection{Section: r.Section, Name: r.Name, Shape: r.Shape, Perimeter: r.Perimeter, LongestBar: r.LongestBar, withdrawn: withdrawn(r.Withdrawal)}
		if byFoot, err := unit.MulDivRound(int64(r.MassPerMetre), int64(unit.Foot), int64(unit.Metre), unit.Nearest); err == nil {
			row.Weight = unit.Mass(byFoot).Pounds(4) + " lb/ft"
		}
		return row
	})
}

type listedStandard struct {
	Standard string `json:"standard"`
	Value    string `json:"value"`
	Source   string `json:"source" doc:"Where the figure comes from."`
}

func (s *Server) listStandards(ctx context.Context, _ *struct{}) (*rows[listedStandard], error) {
	return catalogRows(ctx, s, func(tx pgx.Tx, workshop uuid.UUID, revision int) ([]catalogdb.Standard, error) {
		return catalogdb.Standards(ctx, tx, workshop, revision)
	}, func(r *catalogdb.Standard) listedStandard { return listedStandard(*r) })
}

type listedRule struct {
	Product string `json:"product"`
	Rule    string `json:"rule"`
	Says    string `json:"says" doc:"The sentence people see when it is broken."`
}

type listRulesInput struct {
	Product string `query:"product" maxLength:"100" doc:"Only rules of this product."`
}

func (s *Server) listRules(ctx context.Context, in *listRulesInput) (*rows[listedRule], error) {
	return catalogRows(ctx, s, func(tx pgx.Tx, workshop uuid.UUID, revision int) ([]catalogdb.Rule, error) {
		return catalogdb.Rules(ctx, tx, workshop, revision, in.Product)
	}, func(r *catalogdb.Rule) listedRule { return listedRule(*r) })
}

// productReply is a product with everything that may be chosen.
type productReply struct {
	Product    string           `json:"product"`
	Name       string           `json:"name"`
	Collection string           `json:"collection,omitempty"`
	LeadDays   int              `json:"lead_days" doc:"Working days from acceptance to shipping."`
	Revision   int              `json:"revision" doc:"Revision of the catalog in force."`
	Attributes []attributeShown `json:"attributes" doc:"In the order in which they are asked."`
	Rules      []ruleShown      `json:"rules"`
}

// attributeShown is one thing to choose: exactly one of choices, length, count
// and text is there.
type attributeShown struct {
	Attribute string        `json:"attribute"`
	Name      string        `json:"name"`
	Choices   []choiceShown `json:"choices,omitempty"`
	Length    *lengthLimits `json:"length,omitempty"`
	Count     *countLimits  `json:"count,omitempty"`
	Text      *textLimits   `json:"text,omitempty"`
	Default   string        `json:"default,omitempty" doc:"Taken when nothing is picked."`
	AskedWhen string        `json:"asked_when,omitempty" doc:"Condition under which it is asked at all, a formula of the catalog."`
}

type choiceShown struct {
	Choice string `json:"choice"`
	Name   string `json:"name"`
}

type lengthLimits struct {
	From       unit.Length   `json:"from"`
	To         unit.Length   `json:"to"`
	StepInch   unit.Length   `json:"step_inch" doc:"Step of an entry in inches or feet."`
	StepMetric unit.Length   `json:"step_metric" doc:"Step of an entry in millimetres, centimetres or metres."`
	Standard   []unit.Length `json:"standard" doc:"Standard sizes, which bear no custom charge."`
}

type countLimits struct {
	From int `json:"from"`
	To   int `json:"to"`
}

type textLimits struct {
	Longest int `json:"longest" doc:"Most characters."`
}

type ruleShown struct {
	Rule string `json:"rule"`
	Says string `json:"says"`
}

type getProductInput struct {
	Code string `path:"code" maxLength:"100" doc:"Code of the product."`
}

type productOutput struct {
	ETag string `header:"ETag"`
	Body productReply
}

// getProduct shows what may be chosen of a product.
func (s *Server) getProduct(ctx context.Context, in *getProductInput) (*productOutput, error) {
	st, err := s.catalogFor(ctx, principalOf(ctx).workshop)
	if err != nil {
		return nil, err
	}
	p, found := st.catalog.Products.Get(in.Code)
	if !found {
		detail := "There is no product " + quoteShort(in.Code) + " in the catalog."
		if near := nearest(in.Code, st.catalog.Products.Keys()); near != "" {
			detail += " Did you mean " + quoteShort(near) + "?"
		}
		return nil, notFound(detail)
	}
	out := &productOutput{ETag: etag(st.catalog.Revision)}
	out.Body = productReply{Product: p.Code, Name: p.Name, Collection: p.Collection, LeadDays: p.LeadDays, Revision: st.catalog.Revision,
		Attributes: []attributeShown{}, Rules: []ruleShown{}}
	for code, a := range p.Attributes.All() {
		out.Body.Attributes = append(out.Body.Attributes, showAttribute(code.Value, a))
	}
	for code, rule := range p.Rules.All() {
		out.Body.Rules = append(out.Body.Rules, ruleShown{code.Value, rule.Says})
	}
	return out, nil
}

func showAttribute(code string, a *catalog.Attribute) attributeShown {
	shown := attributeShown{Attribute: code, Name: a.Name}
	switch {
	case a.Size != nil:
		shown.Length = &lengthLimits{a.Size.From, a.Size.To, a.Size.StepInch, a.Size.StepMM, append([]unit.Length{}, a.Size.Standard...)}
	case a.Count != nil:
		shown.Count = &countLimits{a.Count.From, a.Count.To}
	case a.Write != nil:
		shown.Text = &textLimits{a.Write.Longest}
	default:
		for _, option := range a.Options() {
			shown.Choices = append(shown.Choices, choiceShown{option.Code, option.Name})
		}
	}
	if a.Default != nil {
		shown.Default = a.Default.Value
	}
	if a.AskedWhen != nil {
		shown.AskedWhen = a.AskedWhen.Value
	}
	return shown
}
