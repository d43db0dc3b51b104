package formula

import "testing"

func TestEditDistance(t *testing.T) {
	tests := []struct {
		a, b string
		want int
	}{
		{"length", "length", 0},
		{"lenght", "length", 1}, // two letters swapped
		{"lngth", "length", 1},
		{"lenngth", "length", 1},
		{"lemgth", "length", 1},
		{"legnht", "length", 2},
		{"wite-oak", "white-oak", 1},
		{"", "ab", 2},
		{"abc", "", 3},
		{"länge", "lange", 1},
		{"height", "length", 3},
		{"width", "weldment", 3}, // not counted: more than 2 letters apart
	}
	for _, tt := range tests {
		if got := editDistance(tt.a, tt.b); got != tt.want {
			t.Errorf("%q, %q: %d, want %d", tt.a, tt.b, got, tt.want)
		}
		if got := editDistance(tt.b, tt.a); got != tt.want {
			t.Errorf("%q, %q: %d, want %d", tt.b, tt.a, got, tt.want)
		}
	}
}

func TestDidYouMean(t *testing.T) {
	known := []string{"ash", "oak", "rift-oak", "standard.seam", "trim.seam", "wash", "width"}
	tests := []struct{ word, want string }{
		{"ahs", "did you mean ash?"},
		{"OAK", "did you mean oak?"},
		{"bash", "did you mean ash or wash?"},
		{"seam", "did you mean standard.seam or trim.seam?"},
		{"widt", "did you mean width?"},
		{"elm", ""}, // three letters: one may differ, not two
		{"purpleheart", ""},
	}
	for _, tt := range tests {
		if got := didYouMean(tt.word, known); got != tt.want {
			t.Errorf("%q: %q, want %q", tt.word, got, tt.want)
		}
	}
	if got := didYouMean("aa", []string{"ab", "ac", "ad", "ae"}); got != "did you mean ab, ac or ad?" {
		t.Errorf("too many: %q", got)
	}
}
