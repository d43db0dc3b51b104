package saw

import (
	"fmt"
	"strings"
	"testing"

	"billwright/bom/cutting"
	"billwright/catalog/unit"
)

func TestPiecesAreReadByGroup(t *testing.T) {
	text := "\ufeffMark,length,group,count\r\nleg,57 in,A,8\r\n\r\n\"rail, long\",5' 9\",B,\r\n,1.5 m,A,2\r\n"
	needs, faults := ReadPieces(strings.NewReader(text))
	if len(faults) > 0 || len(needs) != 2 || needs[0].Section != "A" || needs[1].Section != "B" {
		t.Fatalf("%+v %+v", needs, faults)
	}
	for _, c := range []struct {
		got  Piece
		want Piece
	}{
		{needs[0].Pieces[0], Piece{Mark: "leg", Length: 57 * unit.Inch, Count: 8, line: 2}},
		{needs[0].Pieces[1], Piece{Length: 1500 * unit.Millimetre, Count: 2, line: 5}},
		{needs[1].Pieces[0], Piece{Mark: "rail, long", Length: 69 * unit.Inch, Count: 1, line: 4}},
	} {
		if c.got != c.want {
			t.Errorf("read %+v, want %+v", c.got, c.want)
		}
	}
}

// Every fault of a list is told with its row and column.
func TestFaultsOfAList(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", "0  the list is empty"},
		{"length\n", "0  the list has no pieces"},
		{"count,mark\n1,a\n", "1 length the column is missing"},
		{"length,lenght,length\n", `1 "lenght" there is no such column|1 length the column is named twice`},
		{"length,count\n72,two\n-4 in,0\n\"1,5 m\",1.5\n", "2 length no unit|2 count \"two\"|3 length negative|3 count \"0\"|4 length |4 count \"1.5\""},
		{"length,count\n72 in,1,left over\n0 in,1\n", "2  the row has 3 fields|3 length a piece of 0 in is none"},
		{"length,mark\n72 in,\"open\n57 in,leg\n", "2 mark the field goes over several lines"},
		{"length,mark\n72 in," + strings.Repeat("m", maxMark+1) + "\n", "2 mark the text has 201 bytes"},
		{"length,group\n72 in,\xff\n", "2 group the text is not UTF-8"},
		{"length,count\n72 in,9000000000000\n", "2 count \"9000000000000\" is not a whole number from 1 to"},
	} {
		needs, faults := ReadPieces(strings.NewReader(c.text))
		if needs != nil {
			t.Errorf("%q: read in spite of its faults", c.text)
		}
		wants := strings.Split(c.want, "|")
		if len(faults) != len(wants) {
			t.Errorf("%q: %d faults, want %d: %+v", c.text, len(faults), len(wants), faults)
			continue
		}
		for i, want := range wants {
			if got := fmt.Sprintf("%d %s %s", faults[i].Line, faults[i].Field, faults[i].Said); !strings.HasPrefix(got, want) && !holds(got, want) {
				t.Errorf("%q: told %q, want %q", c.text, got, want)
			}
		}
	}
}

// holds finds a reason that stands behind the text as entered.
func holds(got, want string) bool {
	parts := strings.SplitN(want, " ", 3)
	return strings.HasPrefix(got, parts[0]+" "+parts[1]+" ") && strings.Contains(got, parts[2])
}

func TestStockAsPeopleWriteIt(t *testing.T) {
	for _, c := range []struct {
		text string
		want Stock
	}{
		{"20 ft @ 41.20", Stock{Length: 240 * unit.Inch, Price: 4120, Limit: cutting.Unlimited}},
		{"20 ft", Stock{Length: 240 * unit.Inch, Limit: cutting.Unlimited}},
		{"6 m@38 x 4", Stock{Length: 6 * unit.Metre, Price: 3800, Limit: 4}},
		{"6 m x 4", Stock{Length: 6 * unit.Metre, Limit: 4}},
	} {
		if got, err := ParseStock(c.text); err != nil || got != c.want {
			t.Errorf("%q is %+v, %v; want %+v", c.text, got, err, c.want)
		}
	}
	for _, text := range []string{"", "20", "ft", "20 ft @", "20 ft @ 0", "20 ft @ -3", "20 ft @ 41.205", "20 ft x 0", "20 ft x two", "0 in", "20 ft @ 4 x", "20 ft @ 4 x 1e9"} {
		if got, err := ParseStock(text); err == nil {
			t.Errorf("%q is read as %+v", text, got)
		}
	}
	offcuts, faults := ParseOffcuts("70 in, 48 1/2 in x 3")
	if len(faults) > 0 || len(offcuts) != 2 || offcuts[0] != (Offcut{70 * unit.Inch, 1}) || offcuts[1] != (Offcut{48*unit.Inch + unit.Inch/2, 3}) {
		t.Errorf("%+v %+v", offcuts, faults)
	}
	if _, faults = ParseOffcuts("70, 48 in x none, 3 in"); len(faults) != 2 || faults[0].Line != 1 || faults[1].Line != 2 {
		t.Errorf("two bad offcuts of three: %+v", faults)
	}
	if _, faults = ParseOffcuts(strings.Repeat("1 in,", maxOffcuts+1)); len(faults) != 1 {
		t.Errorf("a list of %d offcuts: %d faults", maxOffcuts+1, len(faults))
	}
}

// Whatever a file holds, it is either read whole or refused with reasons.
func FuzzReadPieces(f *testing.F) {
	f.Add("length,count,mark,group\n57 in,8,leg,A\n")
	f.Add("length\n\"7\n")
	f.Add("mark,length\n=1+1,6' 2\"\n\n,,,\n")
	f.Fuzz(func(t *testing.T, text string) {
		needs, faults := ReadPieces(strings.NewReader(text))
		if (len(needs) == 0) == (len(faults) == 0) {
			t.Errorf("%d groups and %d faults", len(needs), len(faults))
		}
		for _, need := range needs {
			for _, p := range need.Pieces {
				if p.Length <= 0 || p.Count < 1 || p.line < 2 {
					t.Errorf("read %+v", p)
				}
			}
		}
	})
}
