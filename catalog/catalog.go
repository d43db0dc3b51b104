// Package catalog is one workshop's catalog: what it makes, of what, by which
// rules, standards and prices. A Catalog is read from text files (Read), is
// complete or refused with every fault at once, and never changes afterwards.
// Check turns what a dealer asked for into a Config or into findings; Price
// prices a Config.
//
// The package is pure: it knows no database, transport, clock or log.
package catalog

import (
	"billwright/catalog/calendar"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Catalog is one revision of a workshop's catalog. It is immutable and safe for
// use by many goroutines.
type Catalog struct {
	// Revision is the number under which the catalog was stored, from 1; 0 as
	// long as it was only read.
	Revision int
	// Files are the exact bytes it was read from, sorted by path.
	Files []source.File
	// Calendar is the plant's calendar, made from Plan.Calendar.
	Calendar *calendar.Calendar

	Plan

	warnings []source.Fault
	doing    map[string]*Department // by what it does, in lower case
	ready    *readiness             // what was made ready of products, shared by copies
	watch    func(standard string)  // see Watched
	inForce  []Substitution         // see InForce
}

// Plan is the catalog as the engineer writes it: each field is a top-level key
// of a catalog file, and a map may be spread over as many files as he likes.
type Plan struct {
	Workshop      Workshop                 `yaml:"workshop,required" doc:"The workshop and the day from which this catalog holds."`
	Days          Days                     `yaml:"calendar,required" doc:"Working days, closures, time zone and cut-off hour of the plant."`
	Standards     source.Map[*Standard]    `yaml:"standards,required" doc:"Shop standards by name, each with the source it rests on."`
	Sections      source.Map[*Section]     `yaml:"sections" doc:"Steel sections: bar, flat and tube, with the lengths they are bought in."`
	Rough         source.Map[*Rough]       `yaml:"rough_thicknesses" doc:"Rough lumber thicknesses and what they surface to."`
	Wires         source.Map[*Wire]        `yaml:"wires" doc:"Filler wires for welding."`
	Processes     source.Map[*Process]     `yaml:"processes" doc:"Ways of welding, each with its wire and how much of it ends in the weld."`
	Species       source.Map[*Species]     `yaml:"species" doc:"Top species."`
	Climates      source.Map[*Climate]     `yaml:"climates" doc:"Climates that wood parts are made for, beside that of the standards."`
	Glass         source.Map[*Glass]       `yaml:"glass" doc:"Glass by make and thickness."`
	Stone         source.Map[*Stone]       `yaml:"stone" doc:"Stone slabs by material and thickness."`
	Coatings      source.Map[*Coating]     `yaml:"coatings" doc:"Powders and liquids that finish steps use."`
	MetalFinishes source.Map[*Finish]      `yaml:"metal_finishes" doc:"Finishes of steel, each with its steps in order."`
	WoodFinishes  source.Map[*Finish]      `yaml:"wood_finishes" doc:"Finishes of wood, each with the species it may go on and its steps in order."`
	Fabrics       source.Map[*Fabric]      `yaml:"fabrics" doc:"Cloths for cushions, customer's own material among them."`
	Foams         source.Map[*Foam]        `yaml:"foams" doc:"Cushion foams."`
	CushionForms  source.Map[*CushionForm] `yaml:"cushion_forms" doc:"How a cushion is cut: its pieces as formulas over its finished size."`
	Hardware      source.Map[*Hardware]    `yaml:"hardware" doc:"Bought parts counted by the piece."`
	Boards        source.Map[*Board]       `yaml:"boards" doc:"Carton boards."`
	Freight       Freight                  `yaml:"freight" doc:"The freight density scale and the day from which it holds."`
	Handling      source.Map[*Handling]    `yaml:"handling" doc:"Ways in which packed cartons travel and are stacked, which a carton names."`
	Parcels       source.Map[*Parcel]      `yaml:"parcels" doc:"Terms of parcel carriers: limits, and how the billed weight is reckoned."`
	Pallets       source.Map[*Pallet]      `yaml:"pallets" doc:"Pallets and skids for freight."`
	Lifts         source.Map[*Lift]        `yaml:"lifts" doc:"Ways in which things are lifted by hand, which a carton or a part names."`
	Tables        source.Map[*Table]       `yaml:"tables" doc:"Bracket tables that formulas read by band('NAME', x)."`
	Jigs          source.Map[*Jig]         `yaml:"jigs" doc:"Bending jigs by name, each with the radii it bends to."`
	Holds         source.Map[*HoldKind]    `yaml:"holds" doc:"Kinds of hold: what each blocks, and what places it."`
	Events        source.Map[*Event]       `yaml:"events" doc:"What the shop tells has happened to a line, by the word it is told with. Without them: ordered, received, cut, welded, powdered, stained, boxed and scrapped."`
	Locks         source.Map[*Lock]        `yaml:"locks" doc:"What may no longer be changed once a stage of the order is passed."`
	Cancellation  source.Map[*CancelStage] `yaml:"cancellation" doc:"What a cancelled line is charged, by how far it has come. The least charge of the stages that have not ended counts. Without it, what an accepted order is charged is settled by hand."`
	Departments   source.Map[*Department]  `yaml:"departments" doc:"Departments of the shop, what each does and how much of it in a week. Without them there is no load."`
	NeedBy        source.Map[int]          `yaml:"need_by" doc:"Working days before the ship date by which each kind of material must be here: steel, lumber, blank, glass, stone, cloth, leather, foam, hardware (zip and cord among it), powder, liquid, carton, wire (for welding). Each that a product uses is required."`
	Products      source.Map[*Product]     `yaml:"products,required" doc:"What the workshop makes."`
	Prices        source.Map[*PriceList]   `yaml:"prices" doc:"The price list, by product."`
	PartsOrders   PartsOrders              `yaml:"parts" doc:"What holds of orders of replacement parts."`
	Dealers       source.Map[*Dealer]      `yaml:"dealers" doc:"Dealers and their terms."`
	Surcharges    source.Map[*Surcharge]   `yaml:"surcharges" doc:"Percentages added to lines ordered within their days."`
	GoldenOrders  source.Map[*GoldenOrder] `yaml:"golden_orders" doc:"Orders kept with the catalog, each with the figures that must come out."`
}

// Workshop is the firm whose catalog this is.
type Workshop struct {
	Code      string        `yaml:"code,required" doc:"Short name in lower case."`
	Name      string        `yaml:"name,required" doc:"Name as printed."`
	Units     string        `yaml:"units,required" oneof:"inch metric" doc:"How lengths, weights, areas and volumes are written on bills: inch for in, lb, ft2, bf, yd and gal; metric for mm, kg, m2, m3, m and L. Either may be entered anywhere."`
	Currency  string        `yaml:"currency,required" doc:"Currency of all prices, three capital letters such as USD."`
	Effective calendar.Date `yaml:"effective,required" doc:"First day on which this revision holds, such as 2026-11-02."`
	// Demonstration marks the catalog that the program ships for trying out.
	Demonstration bool       `yaml:"demonstration" doc:"yes only for a catalog made for trying the program out."`
	Pos           source.Pos `yaml:"-"`
}

// Days is the plant's calendar as written.
type Days struct {
	Zone            string          `yaml:"zone,required" doc:"IANA time zone of the plant, such as America/Denver."`
	WorkDays        []string        `yaml:"work_days,required" doc:"Working days of the week: mon tue wed thu fri sat sun."`
	CutOff          string          `yaml:"cut_off" doc:"Hour after which an act counts for the next working day, such as 15:00; without one the day counts until midnight."`
	ClosedDayCounts string          `yaml:"closed_day_counts,required" oneof:"last next" doc:"Whether an act on a closed day counts from the last or the next working day."`
	Closures        []ClosureSource `yaml:"closures" doc:"Days on which the plant or a vendor is closed."`
	Pos             source.Pos      `yaml:"-"`
}

// ClosureSource is one closure as written.
type ClosureSource struct {
	From   calendar.Date  `yaml:"from,required" doc:"First closed day."`
	To     *calendar.Date `yaml:"to" doc:"Last closed day; without it, one day."`
	Why    string         `yaml:"why,required" doc:"What people are told."`
	Vendor string         `yaml:"vendor" doc:"The vendor that is closed, as what is bought from him names him; without it, the plant."`
	Pos    source.Pos     `yaml:"-"`
}

// entryUnit is the unit of entries that the workshop itself would write.
func (c *Catalog) entryUnit() unit.EntryUnit {
	if c.Workshop.Units == "metric" {
		return unit.MetricEntry
	}
	return unit.InchEntry
}
