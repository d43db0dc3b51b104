package demand

import (
	"slices"
	"testing"

	"billwright/bom"
)

func onlySteel(kind string) bool { return kind == bom.KindSteel }

// Eight legs of two units, each 30, and 7 of powder for both: the first unit's
// steel is cut, which uses up four legs of 120 and no powder.
func TestWhatIsUsedUp(t *testing.T) {
	rows := []Requirement{
		{Line: 1, Seq: 1, Path: "base/leg", Kind: bom.KindSteel, Item: "bar", Pieces: 8, Length: 30, Amount: 240},
		{Line: 1, Seq: 2, Path: "base/finish/1", Kind: bom.KindPowder, Item: "black", Pieces: 1, Amount: 7},
		{Line: 2, Seq: 3, Path: "base/leg", Kind: bom.KindSteel, Item: "bar", Pieces: 4, Length: 30, Amount: 120},
		{Line: 1, Seq: 4, Path: "base/leg", Kind: bom.KindSteel, Item: "bar", Pieces: 9, Length: 20, Amount: 180, Surplus: true},
	}
	two := func(int) int { return 2 }
	for _, c := range []struct {
		name string
		uses []Use
		want []Requirement
	}{
		{"nothing", nil, nil},
		{"a unit", []Use{{Line: 1, Unit: 1, UsesUp: onlySteel}}, []Requirement{{Line: 1, Seq: 1, Path: "base/leg", Kind: bom.KindSteel, Item: "bar", Pieces: 4, Length: 30, Amount: 120}}},
		{"a unit twice", []Use{{Line: 1, Unit: 1, UsesUp: onlySteel}, {Line: 1, Unit: 1, Path: "base", UsesUp: onlySteel}}, []Requirement{{Line: 1, Seq: 1, Path: "base/leg", Kind: bom.KindSteel, Item: "bar", Pieces: 4, Length: 30, Amount: 120}}},
		{"both", []Use{{Line: 1, UsesUp: onlySteel}}, rows[:1]},
		{"another row", []Use{{Line: 1, Path: "base/rail", UsesUp: onlySteel}}, nil},
		// 7 of powder for two units: one unit's share is 3 1/2, rounded up.
		{"powder of a unit", []Use{{Line: 1, Unit: 2, UsesUp: func(k string) bool { return k == bom.KindPowder }}}, []Requirement{{Line: 1, Seq: 2, Path: "base/finish/1", Kind: bom.KindPowder, Item: "black", Pieces: 1, Amount: 4}}},
	} {
		if got := Used(rows, c.uses, two); !slices.Equal(got, c.want) {
			t.Errorf("%s: %+v", c.name, got)
		}
	}
}

// Four legs of 30 were cut and two rails of 40; the table is made 36 high. What
// becomes of the legs decides what is still to be bought: by stock, scrap and
// charge four legs of 36; by keep none; by recut none either, where the new legs
// are 28, and four where they are longer than what was cut.
func TestWhatBecomesOfWhatWasMade(t *testing.T) {
	leg := Requirement{Line: 1, Seq: 1, Path: "base/leg", Kind: bom.KindSteel, Item: "bar", Pieces: 4, Length: 30, Amount: 120, Firm: true}
	rail := Requirement{Line: 1, Seq: 2, Path: "base/rail", Kind: bom.KindSteel, Item: "bar", Pieces: 2, Length: 40, Amount: 80, Firm: true}
	longer, shorter := leg, leg
	longer.Length, longer.Amount = 36, 144
	shorter.Length, shorter.Amount = 28, 112
	lost := leg
	lost.Surplus, lost.Firm = true, false
	for _, c := range []struct {
		disposition string
		is          Requirement
		bought      bool
	}{{"stock", longer, true}, {"scrap", longer, true}, {"charge", longer, true}, {"keep", longer, false}, {"recut", longer, true}, {"recut", shorter, false}} {
		all, surplus := Dispose([]Requirement{c.is, rail}, []Requirement{leg, rail}, func(*Requirement) string { return c.disposition })
		want := []Requirement{rail}
		if c.bought {
			want = []Requirement{c.is, rail}
		}
		lost.Seq = 3
		want = append(want, lost)
		if !slices.Equal(all, want) || len(surplus) != 1 || surplus[0].Disposition != c.disposition || surplus[0].Pieces != 4 {
			t.Errorf("%s to %d: %+v\n%+v", c.disposition, c.is.Length, all, surplus)
		}
	}
	// Nothing is surplus of what stays as it is, and of a line given up all that
	// was cut is.
	if all, surplus := Dispose([]Requirement{leg, rail}, []Requirement{leg, rail}, nil); len(surplus) != 0 || !slices.Equal(all, []Requirement{leg, rail}) {
		t.Errorf("%+v %+v", all, surplus)
	}
	all, surplus := Dispose(nil, []Requirement{leg}, func(*Requirement) string { return "stock" })
	if len(surplus) != 1 || len(all) != 1 || !all[0].Surplus || all[0].Firm || all[0].Amount != 120 {
		t.Errorf("%+v %+v", all, surplus)
	}
}
