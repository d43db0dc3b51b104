package order

import "testing"

func TestFoldPO(t *testing.T) {
	for _, pair := range [][2]string{{"PO 1187", "po1187"}, {" po\t11 87 ", "po1187"}, {"Größe-7", "größe-7"}} {
		if got := FoldPO(pair[0]); got != pair[1] {
			t.Errorf("FoldPO(%q) = %q, want %q", pair[0], got, pair[1])
		}
	}
}

func TestQuantityIsAWholeNumberInRange(t *testing.T) {
	for text, want := range map[string]int{"1": 1, "999": 999, "": 0, "0": 0, "-1": 0, "1.5": 0, "two": 0, "1e9": 0, "1000": 0, "99999999999999999999": 0, "0x10": 0} {
		got, message := readQuantity(text)
		if got != want || (want == 0) != (message != "") {
			t.Errorf("readQuantity(%q) = %d, %q; want %d", text, got, message, want)
		}
	}
}
