package catalog

import (
	"billwright/catalog/calendar"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Coating is a powder or a liquid that finish steps put on. What an area takes
// of it follows from its film, or from the coverage that its data sheet prints.
type Coating struct {
	Code string `yaml:"-"`
	Name string `yaml:"name,required" doc:"Name as printed."`
	Kind string `yaml:"kind,required" oneof:"powder liquid" doc:"Powder is reckoned by mass, a liquid by volume."`
	// Gravity is the powder's specific gravity, its density over that of water.
	Gravity *unit.Ratio `yaml:"specific_gravity" doc:"Of a powder without coverage: its density over that of water."`
	// Solids is the share of a liquid's volume that stays on the work.
	Solids    *unit.Ratio            `yaml:"volume_solids" doc:"Of a liquid without coverage: share of its volume that stays, such as 45 %."`
	Film      unit.Length            `yaml:"dry_film" doc:"Dry film of one coat, such as 0.002 in or 50 µm written 0.05 mm. Required without coverage."`
	Coverage  *Coverage              `yaml:"coverage" doc:"What the data sheet says one coat goes over, in place of the film. Where film and solids (or gravity) are given too, the coverage is used and may not be more than they can give."`
	Transfer  unit.Ratio             `yaml:"transfer_efficiency,required" doc:"Share that reaches the work; what is bought is divided by it. With a coverage whose sheet has the loss in it already, 100 %."`
	Mix       source.Map[unit.Ratio] `yaml:"mix" doc:"Of a liquid that is mixed before use: its components and their parts by volume, such as {base: 4, hardener: 1}. Each is bought as CODE COMPONENT."`
	Flammable bool                   `yaml:"flammable" doc:"Whether steps with it carry the flammable finish caution."`
	// Isocyanate marks coats that cure by isocyanates.
	Isocyanate bool       `yaml:"isocyanate" doc:"yes for a coat that is cured by isocyanates: steps with it carry that caution."`
	Dust       bool       `yaml:"combustible_dust" doc:"yes for a powder that can explode as a cloud of dust: steps with it carry that caution."`
	Sheet      string     `yaml:"safety_sheet" doc:"Number or date of its safety data sheet; steps with it name it."`
	Clear      bool       `yaml:"clear" doc:"yes for a clear coat that protects what is under it."`
	Source     string     `yaml:"source,required" doc:"Data sheet or practice the figures rest on."`
	Buy        *Buying    `yaml:"buy" doc:"In what whole multiples it is bought, and the least: a weight of powder, a volume of a liquid, of each component of a mix."`
	Pos        source.Pos `yaml:"-"`

	// InPlaceOf is the code of the item that this one substitutes, or empty.
	InPlaceOf string `yaml:"-"`
}

// Finish is a metal or wood finish: its steps in order.
type Finish struct {
	Code      string                        `yaml:"-"`
	Name      string                        `yaml:"name,required" doc:"Name as printed."`
	On        source.OneOrMany[source.Text] `yaml:"on" doc:"Species it may go on; of a wood finish required."`
	Clear     bool                          `yaml:"clear" doc:"yes for a clear coat that lets the bare wood show."`
	Steps     []FinishStep                  `yaml:"steps,required" doc:"Steps in order."`
	Timed     bool                          `yaml:"timed" doc:"yes reckons when each step is done at the earliest, in hours after the finish was begun: the work minutes of the whole line by one pair of hands, cures, and waits that run round the clock."`
	Then      string                        `yaml:"then" doc:"Where the work goes after its last step, such as assembly."`
	Says      string                        `yaml:"says" doc:"Sentence people see when it is picked for a species it may not go on; without it they are told where it may go."`
	Source    string                        `yaml:"source" doc:"Where the steps come from: a data sheet, a sample, common practice."`
	LastOrder *calendar.Date                `yaml:"last_order" doc:"Last day on which it may be ordered; without one it is not withdrawn."`
	Successor string                        `yaml:"successor" doc:"Code of the finish that takes its place, which is offered after the last day."`
	Pos       source.Pos                    `yaml:"-"`
}

// FinishStep is one step of a finish.
type FinishStep struct {
	Work      string     `yaml:"do,required" doc:"What is done, such as blast, wash 1 of 5 or brush on."`
	Hand      bool       `yaml:"hand" doc:"yes for a step of the hand finishing bench."`
	Station   string     `yaml:"station" doc:"Where it is done, a name of your own such as blast room, oven or hand bench. The stations in turn are the work's route."`
	Minutes   unit.Ratio `yaml:"minutes" doc:"Work minutes for each piece that is finished, of which a group with a metal finish is one; with several coats, of one coat."`
	PerArea   unit.Ratio `yaml:"minutes_per_ft2" doc:"Further work minutes for each square foot; with several coats, of one coat."`
	PerMetre  unit.Ratio `yaml:"minutes_per_m2" doc:"The same for each square metre, in place of minutes_per_ft2."`
	Coating   string     `yaml:"coating" doc:"Powder or liquid put on."`
	Coats     int        `yaml:"coats" doc:"Coats put on in this step, one if absent. Between two of them passes the flash, or the least of the recoat window."`
	Flash     unit.Ratio `yaml:"flash_minutes" doc:"Minutes that a coat lies before anything else is done to it."`
	Recoat    *Recoat    `yaml:"recoat" doc:"When the next coat goes on, in hours after this one."`
	Cure      *Cure      `yaml:"cure" doc:"Cure in an oven, at the temperature of the work itself; its minutes count for the earliest completion."`
	Handle    unit.Ratio `yaml:"handle_hours" doc:"On the last step: hours until the work may be handled."`
	WaitHours unit.Ratio `yaml:"wait_hours" doc:"Hours to wait before the next step. With a flash or a recoat window the longest of them counts."`
	Dust      string     `yaml:"dust" oneof:"blasting sanding" doc:"Dust that the step makes, which carries its caution: blasting for abrasive, rust and scale, sanding for wood and dried coats."`
	Pos       source.Pos `yaml:"-"`
}

// Recoat is the window in which the next coat goes on.
type Recoat struct {
	From    unit.Ratio  `yaml:"from,required" doc:"Least hours after the coat."`
	To      *unit.Ratio `yaml:"to" doc:"Most hours after the coat; without it, the window does not close."`
	Overrun string      `yaml:"overrun" oneof:"caution refuse" doc:"What happens when the work on all pieces takes longer than the window is open: a caution on the bill, which it is if absent, or the line is refused."`
	Pos     source.Pos  `yaml:"-"`
}

// Cure is a cure in an oven.
type Cure struct {
	Minutes unit.Ratio  `yaml:"minutes,required" doc:"Minutes at the temperature, counted from when the work itself has it."`
	At      Temperature `yaml:"at,required" doc:"Temperature of the work, such as 400 F or 200 C."`
}

// Refuses tells that work which overruns the window is refused.
func (r *Recoat) Refuses() bool { return r.Overrun == "refuse" }

// Layers is how many coats the step puts on, at least 1.
func (s *FinishStep) Layers() int { return max(s.Coats, 1) }
