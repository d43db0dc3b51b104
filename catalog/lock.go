package catalog

import "billwright/catalog/source"

// Lock says what may no longer be changed on an order once something has
// happened to it.
type Lock struct {
	Code       string                        `yaml:"-"`
	Event      string                        `yaml:"event,required" doc:"What locks, such as steel is cut: an event of the shop, by its code or by what it says."`
	After      string                        `yaml:"after" doc:"State of the line from which it holds once the event has happened, such as released, in work or ready. Without it, from the event on."`
	Attributes source.OneOrMany[source.Text] `yaml:"attributes" doc:"Attributes that may then not be changed; without them, all."`
	Products   source.OneOrMany[source.Text] `yaml:"products" doc:"Products it is for; without them, all."`
	Says       string                        `yaml:"says,required" doc:"The sentence people see."`
	Pos        source.Pos                    `yaml:"-"`
}
