package catalog_test

import (
	"strings"
	"testing"

	"billwright/catalog"
	"billwright/catalog/source"
)

// Stages that cannot be: each fault where it stands, all at once.
func TestStagesOfCancellationAreChecked(t *testing.T) {
	stages := func(text string) []source.Fault {
		_, faults := catalog.Read(append(small(t), source.File{Path: "cancel.yaml", Bytes: []byte(text)}))
		return faults
	}
	for text, want := range map[string][]string{
		"cancellation:\n  a: {until: released, charge: 0 %, says: Free.}\n  b: {charge: 60 %, says: Made.}\n":                                               nil,
		"cancellation:\n  a: {until: released, charge: 0 %, says: Free.}\n":                                                                                 {"one stage must hold to the end; leave until out"},
		"cancellation:\n  a: {charge: 10 %, says: A.}\n  b: {charge: 60 %, says: B.}\n":                                                                     {"leave it out of one only, not of a and b"},
		"cancellation:\n  a: {until: painted, charge: 101 %, says: A.}\n  b: {charge: 60 %, says: B.}\n":                                                    {"101 % is not what a cancellation costs", `neither a state nor an event "painted"`},
		"events:\n  cut: {says: it is cut, uses: [steel, ice]}\n  boxed: {says: the last carton is closed}\ncancellation:\n  a: {charge: 60 %, says: B.}\n": {`there is no kind of material "ice"`},
	} {
		got := stages(text)
		if len(got) != len(want) {
			t.Errorf("%s: %v", text, got)
			continue
		}
		for i, w := range want {
			if !strings.Contains(got[i].Message+"; "+got[i].Hint, w) {
				t.Errorf("%s: %v, want %q", text, got[i], w)
			}
		}
	}
}

// An event known from a lock only tells by its words what it uses up.
func TestWhatAnEventUsesUp(t *testing.T) {
	cat := read(t, small(t))
	for word, kind := range map[string]string{"cut": "steel", "powdered": "powder", "boxed": "carton"} {
		e, found := cat.ShopEvent(word)
		if !found || !e.UsesUp(kind) || e.UsesUp("glass") {
			t.Errorf("%s: %v %+v", word, found, e)
		}
	}
}
