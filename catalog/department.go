package catalog

import (
	"strings"

	"billwright/catalog/source"
)

// Department is a part of the shop whose work is reckoned roughly, by the week.
type Department struct {
	Code       string                        `yaml:"-"`
	Name       string                        `yaml:"name,required" doc:"Name as people say it, such as Forge and saw."`
	Minutes    int                           `yaml:"minutes_a_week,required" doc:"Work minutes that it has in a week of all working days; in one with closed days it has as much less."`
	DaysBefore int                           `yaml:"days_before" doc:"Working days before the ship date on which its work is counted; 0 if absent."`
	Does       source.OneOrMany[source.Text] `yaml:"does,required" doc:"What it does, one or several: steel (operations on pieces of steel), welding, metal finish, wood finish, hand finish (the hand finishing bench), the name of a station, or an operation as its do is written. An operation's own name goes before its station, that before hand finish, and that before the rest."`
	Pos        source.Pos                    `yaml:"-"`
}

// The kinds of work that Department.Does names beside stations and operations.
const (
	WorkSteel       = "steel"
	WorkWelding     = "welding"
	WorkMetalFinish = "metal finish"
	WorkWoodFinish  = "wood finish"
	WorkHandFinish  = "hand finish"
)

var workKinds = []string{WorkSteel, WorkWelding, WorkMetalFinish, WorkWoodFinish, WorkHandFinish}

// Doing is the department that does the first of the words that any does: an
// operation, a station, a kind of work.
func (c *Catalog) Doing(words ...string) (*Department, bool) {
	for _, word := range words {
		if d, found := c.doing[strings.ToLower(word)]; found && word != "" {
			return d, true
		}
	}
	return nil, false
}
