package catalog

import (
	"slices"
	"strings"

	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// CancelStage says what is charged for a line that is cancelled before something
// has come about.
type CancelStage struct {
	Code   string     `yaml:"-"`
	Until  string     `yaml:"until" doc:"What ends the stage: a state of the line, such as released, or an event of the shop, by its code or by what it says. One stage has none: it holds to the end."`
	Charge Percent    `yaml:"charge,required" doc:"Percentage of the line's net price that is charged, such as 25 %; 0 % is nothing."`
	Says   string     `yaml:"says,required" doc:"The sentence people see."`
	Pos    source.Pos `yaml:"-"`
}

// stagesEnd are the states of a line that may end a stage of cancellation.
var stagesEnd = []string{"accepted", "released", "in work", "ready"}

// EndsByState tells that a stage ends with a state of the line.
func (s *CancelStage) EndsByState() bool { return slices.Contains(stagesEnd, s.Until) }

// cancellation checks the stages of cancellation: each ends with something that
// can come about, and one of them never does.
func (r *reading) cancellation() {
	var last []string
	entries(r.spot("cancellation"), r.cat.Cancellation, func(s spot, code string, stage *CancelStage) {
		stage.Code = code
		s = s.at(stage.Pos)
		s.code("stage", code)
		if share := stage.Charge.Share(); share.Sign() < 0 || share.Cmp(unit.RatioOf(1)) > 0 {
			s.in("charge").fault(stage.Charge.String()+" is not what a cancellation costs", "write 0 % to 100 %")
		} else if stage.Charge.small() {
			s.in("charge").warn("only "+stage.Charge.String()+" is charged", "a charge is in percent: write 25 for a quarter")
		}
		switch {
		case stage.Until == "":
			last = append(last, code)
		case !stage.EndsByState():
			if _, found := r.cat.ShopEvent(stage.Until); !found {
				s.in("until").fault("there is neither a state nor an event "+quoted(stage.Until), "a stage ends with "+strings.Join(stagesEnd, ", ")+", or with an event of the shop")
			}
		}
	})
	if r.cat.Cancellation.Len() > 0 && len(last) != 1 && !r.spot("cancellation").unread() {
		hint := "leave until out of the stage that holds to the end"
		if len(last) > 1 {
			hint = "leave it out of one only, not of " + strings.Join(last, " and ")
		}
		r.spot("cancellation").at(first(r.cat.Cancellation)).fault("one stage must hold to the end", hint)
	}
}
