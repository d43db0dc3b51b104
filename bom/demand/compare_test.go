package demand

import (
	"testing"

	"billwright/bom"
)

// A leg grows from 30 to 32: what was needed is below nothing, what is needed
// above; the rail that stays is not listed. The two add up to the new needs.
func TestWhatIsNeededOtherwise(t *testing.T) {
	leg := Requirement{Line: 1, Seq: 1, Path: "base/leg", Kind: bom.KindSteel, Item: "bar", Pieces: 4, Length: 30, Amount: 120}
	rail := Requirement{Line: 1, Seq: 2, Path: "base/rail", Kind: bom.KindSteel, Item: "bar", Pieces: 2, Length: 40, Amount: 80}
	longer := leg
	longer.Length, longer.Amount = 32, 128
	got := Compare([]Requirement{leg, rail}, []Requirement{rail, longer})
	if len(got) != 2 || got[0].Pieces != -4 || got[0].Amount != -120 || got[1].Pieces != 4 || got[1].Amount != 128 {
		t.Errorf("%+v", got)
	}
	if got := Compare([]Requirement{leg, rail}, []Requirement{rail, leg}); len(got) != 0 {
		t.Errorf("nothing is otherwise but %+v", got)
	}
}
