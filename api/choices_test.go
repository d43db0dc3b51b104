package api

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"billwright/catalog/source"
)

func (s *shop) choices(key, body string) choicesReply {
	s.t.Helper()
	var got choicesReply
	r := s.ask(key, "POST", "/v1/choices", body).want(s.t, 200)
	if err := json.Unmarshal(r.body, &got); err != nil {
		s.t.Fatal(err)
	}
	return got
}

func attributeLeft(t *testing.T, l lineChoices, code string) choicesOf {
	t.Helper()
	for _, a := range l.Attributes {
		if a.Attribute == code {
			return a
		}
	}
	t.Fatalf("%s has no attribute %s", l.Product, code)
	return choicesOf{}
}

// Two lines at once: what is left of each, why the rest is not, and what the
// picks that contradict would have to be.
func TestChoicesOfSeveralLines(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	got := s.choices(dealer, `{"lines":[
		{"product":"wenlow-desk","configuration":{"wood_finish":"bare-clear","length":"70 in"}},
		{"product":"wenlow-desk","configuration":{"length":"48 in","cable_holes":3}}]}`)
	if len(got.Lines) != 2 || got.Revision != 1 {
		t.Fatalf("got %+v", got)
	}
	desk := got.Lines[0]
	var left []string
	species := attributeLeft(t, desk, "species")
	for _, c := range species.Choices {
		switch {
		case c.Left:
			left = append(left, c.Choice)
		case c.Because == nil || len(c.Because.Rules) == 0 || !slices.Contains(c.Because.Picks, "wood_finish"):
			t.Errorf("%s is kept out without a reason: %+v", c.Choice, c.Because)
		}
	}
	if !slices.Equal(left, []string{"white-ash"}) || species.Forced == nil || *species.Forced != "white-ash" {
		t.Errorf("left of the species: %v, forced %v", left, species.Forced)
	}
	if species.Default != "white-oak" || species.DefaultFits {
		t.Errorf("the default %q fits: %v", species.Default, species.DefaultFits)
	}
	if back := attributeLeft(t, desk, "back"); back.Forced == nil || *back.Forced != "bars" {
		t.Errorf("a desk of 70 in has its back %+v", back)
	}
	if length := attributeLeft(t, desk, "length"); length.Picked != "70 in" || len(length.Intervals) == 0 {
		t.Errorf("the length may be changed to %+v", length)
	}
	narrow := got.Lines[1]
	if narrow.Contradiction == nil || !slices.Equal(narrow.Contradiction.Picks, []string{"length", "cable_holes"}) ||
		len(narrow.Contradiction.Rules) != 1 || !strings.HasPrefix(narrow.Contradiction.Rules[0].Says, "Cable holes stand") {
		t.Errorf("three holes in 48 in: %+v", narrow.Contradiction)
	}
	if len(narrow.NearestOrder) != 1 || narrow.NearestProven == nil || !*narrow.NearestProven || narrow.NearestOrder[0].Pointer != "/lines/1/configuration/cable_holes" && narrow.NearestOrder[0].Pointer != "/lines/1/configuration/length" {
		t.Errorf("nearest: %+v", narrow.NearestOrder)
	}
}

func TestChoicesAreAskedStrictly(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	for body, want := range map[string][]string{
		`{"lines":[{"product":"wenlow-desc"}]}`:                                {"/lines/0/product product.unknown"},
		`{"lines":[{"product":7},{"product":"wenlow-dask"}]}`:                  {"/lines/0/product wrong-type", "/lines/1/product product.unknown"},
		`{"lines":[{"product":"wenlow-desk","configuration":{"length":60}}]}`:  {"/lines/0/configuration/length length.no-unit"},
		`{"lines":[{"product":"wenlow-desk","configuration":{"edge":false}}]}`: {"/lines/0/configuration/edge wrong-type"},
	} {
		if got := s.ask(dealer, "POST", "/v1/choices", body).faults(t, 422); !slices.Equal(got, want) {
			t.Errorf("%s: %v, want %v", body, got, want)
		}
	}
	if got := s.ask(dealer, "POST", "/v1/choices", `{"lines":[],"note":1}`).faults(t, 400); len(got) == 0 {
		t.Error("an unknown field is taken")
	}
	got := s.choices(dealer, `{"lines":[{"product":"wenlow-desk","configuration":{"length":"60 1/32 in","colour":"red"}}]}`)
	var codes []string
	for _, f := range got.Lines[0].Findings {
		codes = append(codes, f.Pointer+" "+f.Code)
	}
	if !slices.Equal(codes, []string{"/lines/0/configuration/colour attribute.unknown", "/lines/0/configuration/length length.off-step"}) {
		t.Errorf("picks that are wrong by themselves: %v", codes)
	}
	s.ask("", "POST", "/v1/choices", `{"lines":[{"product":"wenlow-desk"}]}`).want(t, 401)
}

// A refused order says what to change to have one that is taken, and that one is.
func TestARefusedOrderNamesTheNearestThatCanBeBuilt(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	body := `{"po":"N 1","lines":[{"product":"wenlow-desk","quantity":1,"configuration":{"length":"72 in","back":"open","wood_finish":"bare-clear","species":"black-walnut"}}]}`
	for _, path := range []string{"/v1/checks", "/v1/orders"} {
		r := s.ask(dealer, "POST", path, body, "Idempotency-Key: n")
		var p Problem
		if err := json.Unmarshal(r.want(t, 422).body, &p); err != nil {
			t.Fatal(err)
		}
		if len(p.Errors) == 0 || len(p.Errors[0].NearestOrder) == 0 {
			t.Fatalf("%s: no nearest order in %+v", path, p.Errors)
		}
		picks := map[string]string{"length": "72 in", "back": "open", "wood_finish": "bare-clear", "species": "black-walnut"}
		for _, c := range p.Errors[0].NearestOrder {
			attribute := strings.TrimPrefix(c.Pointer, "/lines/0/configuration/")
			if delete(picks, attribute); !c.LeaveOut {
				picks[attribute] = *c.Value
			}
		}
		changed, err := json.Marshal(map[string]any{"lines": []any{map[string]any{"product": "wenlow-desk", "quantity": 1, "configuration": picks}}})
		if err != nil {
			t.Fatal(err)
		}
		s.ask(dealer, "POST", "/v1/checks", string(changed)).want(t, 200)
	}
}

func TestTheLintOfRulesAndWhereTheyAreUsed(t *testing.T) {
	s := openShop(t, shopSettings{files: func(files []source.File) []source.File {
		return replaceText(t, files, "where: {length: over 66 in}", "where: {length: over 66 in, back: open}")
	}})
	engineer := s.key("engineer")
	var lint lintReply
	if err := json.Unmarshal(s.ask(engineer, "GET", "/v1/catalog/lint?product=pell-stool", "").want(t, 200).body, &lint); err != nil {
		t.Fatal(err)
	}
	if !slices.ContainsFunc(lint.Findings, func(f ruleFinding) bool {
		return f.Kind == "dead option" && f.Attribute == "own_repeat" && len(f.Because) > 0 && f.File == "products/pell-stool.yaml" && f.Line > 0
	}) {
		t.Errorf("the repeat over 36 in is not told: %+v", lint.Findings)
	}
	var used whereUsedReply
	if err := json.Unmarshal(s.ask(engineer, "GET", "/v1/catalog/where-used?option=bare-clear", "").want(t, 200).body, &used); err != nil {
		t.Fatal(err)
	}
	if !slices.ContainsFunc(used.Uses, func(u useShown) bool {
		return u.Product == "wenlow-desk" && u.Rule != nil && u.Rule.Rule == "clear-on-ash-only" && slices.Contains(u.With, "species")
	}) {
		t.Errorf("where bare-clear is used: %+v", used.Uses)
	}
	if err := json.Unmarshal(s.ask(engineer, "GET", "/v1/catalog/where-used?rule=holes-need-room", "").want(t, 200).body, &used); err != nil {
		t.Fatal(err)
	}
	if len(used.Uses) != 1 || used.Uses[0].Product != "wenlow-desk" || !slices.Contains(used.Uses[0].With, "cable_holes") {
		t.Errorf("where holes-need-room is used: %+v", used.Uses)
	}
	s.ask(engineer, "GET", "/v1/catalog/where-used?rule=none-such", "").want(t, 404)
	s.ask(engineer, "GET", "/v1/catalog/where-used", "").want(t, 422)
	s.ask(s.key("dealer studio-tamsel"), "GET", "/v1/catalog/lint", "").want(t, 403)
}

// What is to be kept stays in the nearest order, and the other pick gives way.
func TestTheNearestKeepsWhatItIsAskedTo(t *testing.T) {
	s := openShop(t, shopSettings{})
	rep := s.key("rep")
	for kept, want := range map[string]string{
		"wood_finish": "/lines/0/configuration/species white-ash",
		"species":     "/lines/0/configuration/wood_finish quay-varnish",
	} {
		got := s.choices(rep, `{"lines":[{"product":"brackwater-table","configuration":{"species":"white-oak","wood_finish":"bare-clear","edge":"eased"},"keep":["`+kept+`"]}]}`)
		line := got.Lines[0]
		if line.Contradiction == nil || len(line.NearestOrder) != 1 || line.NearestOrder[0].Value == nil {
			t.Fatalf("keeping %s: %+v", kept, line)
		}
		if told := line.NearestOrder[0].Pointer + " " + *line.NearestOrder[0].Value; told != want {
			t.Errorf("keeping %s changes %s, want %s", kept, told, want)
		}
	}
}
