package demand

import (
	"slices"
	"testing"

	"billwright/bom"
)

// Four legs of two units take 240 in of bar and one cut spoils one of them; the
// powder of the same base is shared out by piece, a seventh of 100 up to 15.
func TestWhatIsSpoiledIsNeededOnceMore(t *testing.T) {
	rows := []Requirement{
		{Line: 1, Seq: 1, Path: "base/leg", Kind: bom.KindSteel, Item: "bar", Pieces: 8, Length: 30, Amount: 240},
		{Line: 1, Seq: 2, Path: "base/leg", Kind: "powder", Item: "black", Pieces: 7, Amount: 100},
		{Line: 1, Seq: 3, Path: "base/rail", Kind: bom.KindSteel, Item: "bar", Pieces: 2, Length: 40, Amount: 80},
		{Line: 2, Seq: 4, Path: "base/leg", Kind: bom.KindSteel, Item: "bar", Pieces: 4, Length: 30, Amount: 120},
	}
	again, short := Again(rows, 1, 2, "base/leg", 1)
	want := []Requirement{
		{Line: 1, Seq: 5, Unit: 2, Path: "base/leg", Kind: bom.KindSteel, Item: "bar", Pieces: 1, Length: 30, Amount: 30},
		{Line: 1, Seq: 6, Unit: 2, Path: "base/leg", Kind: "powder", Item: "black", Pieces: 1, Amount: 15},
	}
	if short != 0 || !slices.Equal(again, want) {
		t.Errorf("short %d, again %+v", short, again)
	}
	// Spoiled once more, it is the row of the bill that is needed again.
	third, _ := Again(append(rows, again...), 1, 2, "base/leg", 2)
	if len(third) != 2 || third[0].Seq != 7 || third[0].Amount != 60 || third[1].Amount != 29 {
		t.Errorf("%+v", third)
	}
	if _, short := Again(rows, 1, 0, "base/rail", 3); short != 2 {
		t.Errorf("short %d", short)
	}
	if got, short := Again(rows, 1, 0, "base/foot", 1); len(got) != 0 || short != 0 {
		t.Errorf("%+v %d", got, short)
	}
}
