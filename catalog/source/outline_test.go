package source

import (
	"reflect"
	"testing"
)

type outlined struct {
	Name string            `yaml:"name,required" doc:"What it is called."`
	Side string            `yaml:"side" oneof:"left right" doc:"Which side."`
	Legs Map[*outlinedLeg] `yaml:"legs" doc:"Its legs."`
	Tags OneOrMany[Text]   `yaml:"tags" doc:"Words."`
	More []outlinedLeg     `yaml:"more" doc:"Further legs."`
	Self *outlined         `yaml:"self" doc:"Another of the kind."`
}

type outlinedLeg struct {
	Long bool `yaml:"long" doc:"Whether long."`
	Toes int  `yaml:"toes" doc:"How many."`
}

func TestOutline(t *testing.T) {
	got, err := Outline(new(outlined))
	if err != nil {
		t.Fatal(err)
	}
	want := []Table{
		{Name: "outlined", Fields: []TableField{
			{Key: "name", Required: true, Doc: "What it is called.", Kind: "text"},
			{Key: "side", Doc: "Which side.", Kind: "text", Words: []string{"left", "right"}},
			{Key: "legs", Doc: "Its legs.", Kind: "map of codes, each a mapping", Of: "outlined leg"},
			{Key: "tags", Doc: "Words.", Kind: "text, or a list of them"},
			{Key: "more", Doc: "Further legs.", Kind: "list, each a mapping", Of: "outlined leg"},
			{Key: "self", Doc: "Another of the kind.", Kind: "mapping", Of: "outlined"},
		}},
		{Name: "outlined leg", Fields: []TableField{
			{Key: "long", Doc: "Whether long.", Kind: "yes or no"},
			{Key: "toes", Doc: "How many.", Kind: "whole number"},
		}},
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
}
