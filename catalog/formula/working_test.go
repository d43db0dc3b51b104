package formula

import "testing"

func TestWorking(t *testing.T) {
	s := newShop(t)
	s.set(t, "loss", number(-3, 10))
	tests := []struct{ text, want string }{
		{"length - len('15 in')", "length - 15 in = 72 in - 15 in = 57 in"},
		{"length", "length = 72 in"},
		{"len('15 in')", "15 in"},
		{"len('6 ft 1 in')", "6 ft 1 in = 73 in"},
		{"len('381 mm') + length", "381 mm + length = 381 mm + 72 in = 87 in"},
		{"length * width", "length * width = 72 in * 36 1/2 in = 2628 in2"},
		{"length / 7", "length / 7 = 72 in / 7 = 261.257143 mm (rounded to the nearest nm)"},
		{"length * len('0.001 mm') / 7", "length * 0.001 mm / 7 = 72 in * 0.001 mm / 7 = 0.261257 mm2 (rounded to the nearest um2)"},

		// Brackets as they are needed, no more.
		{"((length) - (width - thickness))", "length - (width - thickness) = 72 in - (36 1/2 in - 1 3/4 in) = 37 1/4 in"},
		{"(length - width) * 2", "(length - width) * 2 = (72 in - 36 1/2 in) * 2 = 71 in"},
		{"length / (legs * 2)", "length / (legs * 2) = 72 in / (4 * 2) = 9 in"},
		{"(length * legs) / 2", "length * legs / 2 = 72 in * 4 / 2 = 144 in"},
		{"length * frac('3/8')", "length * (3/8) = 72 in * (3/8) = 27 in"},
		{"frac('3/8') * length", "3/8 * length = 3/8 * 72 in = 27 in"},
		{"length * (1 - loss)", "length * (1 - loss) = 72 in * (1 - (-3/10)) = 2377.44 mm"},
		{"-(length + width)", "-(length + width) = -(72 in + 36 1/2 in) = -108 1/2 in"},
		{"length - -width", "length - -width = 72 in - -36 1/2 in = 108 1/2 in"},
		{"legs + -3", "legs + (-3) = 4 + (-3) = 1"},
		{"!(legs == 4)", "!(legs == 4) = !(4 == 4) = no"},
		{"legs == 4 && (glass || legs > 3)", "legs == 4 && (glass || legs > 3) = 4 == 4 && (no || 4 > 3) = yes"},
		{"legs == 4 && legs > 3 && legs > 2 && legs > 1", "legs == 4 && legs > 3 && legs > 2 && legs > 1 = 4 == 4 && 4 > 3 && 4 > 2 && 4 > 1 = yes"},
		{"(length > width) == glass", "(length > width) == glass = (72 in > 36 1/2 in) == no = no"},

		// Texts, lists and conditions.
		{"species == 'white-oak'", "species == 'white-oak' = 'white-oak' == 'white-oak' = yes"},
		{"species", "species = 'white-oak'"},
		{"species in ['ash', 'walnut']", "species in ['ash', 'walnut'] = 'white-oak' in ['ash', 'walnut'] = no"},
		{"true", "true = yes"},
		{"glass != false", "glass != false = no != false = no"},

		// Of a choice the second step shows what was taken.
		{"glass ? length - len('12 in') : length - len('15 in')", "glass ? length - 12 in : length - 15 in = 72 in - 15 in = 57 in"},
		{"length - (glass ? len('12 in') : len('15 in'))", "length - (glass ? 12 in : 15 in) = 72 in - 15 in = 57 in"},
		{"(glass ? 1 : 2) == 2 ? legs : 0", "(glass ? 1 : 2) == 2 ? legs : 0 = 4"},
		{"glass ? 1 : legs == 3 ? 2 : 3", "glass ? 1 : legs == 3 ? 2 : 3 = 3"},

		// Functions are worked out in a step of their own.
		{"length - up(width / 3, len('1/16 in'))", "length - up(width / 3, 1/16 in) = 72 in - up(36 1/2 in / 3, 1/16 in) = 72 in - 12 3/16 in = 59 13/16 in"},
		{"up(length, len('1 in'))", "up(length, 1 in) = up(72 in, 1 in) = 72 in"},
		{"band('springs', width) * legs", "band('springs', width) * legs = band('springs', 36 1/2 in) * 4 = 4 * 4 = 16"},
		{"band('grade', legs) == 'light'", "band('grade', legs) == 'light' = band('grade', 4) == 'light' = 'light' == 'light' = yes"},
		{"length * min(frac('1/2'), 2)", "length * min(1/2, 2) = 72 in * min(1/2, 2) = 72 in * (1/2) = 36 in"},

		// What cannot be evaluated says so.
		{"length / (legs - 4)", "length / (legs - 4) = 72 in / (4 - 4) = ? (division by zero: what stands right of / comes to 0; write a condition ? : around it)"},
		{"note == 'x' ? 1 : 2", "note == 'x' ? 1 : 2 = ? (note is not set; give it text before this formula is used)"},
		{"legs + band('springs', length * 2)", "legs + band('springs', length * 2) = 4 + band('springs', 72 in * 2) = ? (table 'springs' has no row for 144 in: its last row ends below 96 in; add a row to the table, or limit what is asked of it)"},
	}
	for _, tt := range tests {
		if got := s.compile(t, tt.text, 0).Working(s.env); got != tt.want {
			t.Errorf("%s\n got %s\nwant %s", tt.text, got, tt.want)
		}
	}
	if got, want := s.compile(t, "length + width", Length).Working(nil), "length + width = ? (length is not set; give it a length before this formula is used)"; got != want {
		t.Errorf("\n got %s\nwant %s", got, want)
	}
}

// What a metric workshop reads has no inch in it.
func TestMetricWorking(t *testing.T) {
	s := newShop(t)
	for text, want := range map[string]string{
		"length - len('1 in')":          "length - 25.4 mm = 1828.8 mm - 25.4 mm = 1803.4 mm",
		"len('1 in') * len('2 in') / 2": "25.4 mm * 50.8 mm / 2 = 645.16 mm2",
	} {
		if got := s.compile(t, text, 0).MetricWorking(s.env); got != want {
			t.Errorf("working of %s:\n%s, want\n%s", text, got, want)
		}
	}
}
