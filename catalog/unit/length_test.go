package unit_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"billwright/catalog/unit"
	"pgregory.net/rapid"
)

// What a rep, a dealer or a drawing office writes, and the nanometres it means.
// The inch rows are arithmetic from 1 in = 25.4 mm exactly.
func TestParseLength(t *testing.T) {
	for _, c := range []struct {
		text string
		want unit.Length
		unit unit.EntryUnit
		back string
	}{
		{"72 in", 1_828_800_000, unit.InchEntry, "72 in"},
		{"72in", 1_828_800_000, unit.InchEntry, "72 in"},
		{"72 IN", 1_828_800_000, unit.InchEntry, "72 in"},
		{"72 inches", 1_828_800_000, unit.InchEntry, "72 in"},
		{`72"`, 1_828_800_000, unit.InchEntry, "72 in"},
		{"72''", 1_828_800_000, unit.InchEntry, "72 in"},
		{"72″", 1_828_800_000, unit.InchEntry, "72 in"},
		{"72”", 1_828_800_000, unit.InchEntry, "72 in"},
		{"72 1/2 in", 1_841_500_000, unit.InchEntry, "72 1/2 in"},
		{"72-1/2 in", 1_841_500_000, unit.InchEntry, "72 1/2 in"},
		{"72½ in", 1_841_500_000, unit.InchEntry, "72 1/2 in"},
		{"72 ½ in", 1_841_500_000, unit.InchEntry, "72 1/2 in"},
		{"72-½ in", 1_841_500_000, unit.InchEntry, "72 1/2 in"},
		{"72 1⁄2 in", 1_841_500_000, unit.InchEntry, "72 1/2 in"},
		{"72.5 in", 1_841_500_000, unit.InchEntry, "72 1/2 in"},
		{"  72.50 in ", 1_841_500_000, unit.InchEntry, "72 1/2 in"},
		{"72 2/4 in", 1_841_500_000, unit.InchEntry, "72 1/2 in"},
		{"⅞ in", 22_225_000, unit.InchEntry, "7/8 in"},
		{"¼ in", 6_350_000, unit.InchEntry, "1/4 in"},
		{"¾\"", 19_050_000, unit.InchEntry, "3/4 in"},
		{"1⅛ in", 28_575_000, unit.InchEntry, "1 1/8 in"},
		{"1⅜ in", 34_925_000, unit.InchEntry, "1 3/8 in"},
		{"1⅝ in", 41_275_000, unit.InchEntry, "1 5/8 in"},
		{".5 in", 12_700_000, unit.InchEntry, "1/2 in"},
		{"5/4 in", 31_750_000, unit.InchEntry, "1 1/4 in"},
		{"1/64 in", 396_875, unit.InchEntry, "1/64 in"},
		{"0.001 in", 25_400, unit.InchEntry, "0.0254 mm"},
		{"6 ft", 1_828_800_000, unit.InchEntry, "72 in"},
		{"6'", 1_828_800_000, unit.InchEntry, "72 in"},
		{"6′", 1_828_800_000, unit.InchEntry, "72 in"},
		{"6.5 ft", 1_981_200_000, unit.InchEntry, "78 in"},
		{"1/3 ft", 101_600_000, unit.InchEntry, "4 in"},
		{"6 ft 0 1/2 in", 1_841_500_000, unit.InchEntry, "72 1/2 in"},
		{"6ft 1/2in", 1_841_500_000, unit.InchEntry, "72 1/2 in"},
		{`6' 0-1/2"`, 1_841_500_000, unit.InchEntry, "72 1/2 in"},
		{`6'-0 1/2"`, 1_841_500_000, unit.InchEntry, "72 1/2 in"},
		{`6'½"`, 1_841_500_000, unit.InchEntry, "72 1/2 in"},
		{"6 feet 2 inches", 1_879_600_000, unit.InchEntry, "74 in"},
		{"2 yd", 1_828_800_000, unit.InchEntry, "72 in"},
		{"2 yards", 1_828_800_000, unit.InchEntry, "72 in"},
		{"1828.8 mm", 1_828_800_000, unit.MetricEntry, "72 in"},
		{"182.88 cm", 1_828_800_000, unit.MetricEntry, "72 in"},
		{"1.8288 m", 1_828_800_000, unit.MetricEntry, "72 in"},
		{"1828.853 mm", 1_828_853_000, unit.MetricEntry, "1828.853 mm"},
		{"100mm", 100_000_000, unit.MetricEntry, "100 mm"},
		{"0.000001 mm", 1, unit.MetricEntry, "0.000001 mm"},
		{"0.00000100000000000000000 mm", 1, unit.MetricEntry, "0.000001 mm"},
		{strings.Repeat("0", 59) + "72 in", 1_828_800_000, unit.InchEntry, "72 in"}, // 64 bytes
		{"0 in", 0, unit.InchEntry, "0 in"},
		{".0 mm", 0, unit.MetricEntry, "0 in"},
		{"1000 m", unit.MaxEntry, unit.MetricEntry, "1000000 mm"},
	} {
		e, err := unit.ParseEntry(c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if e != (unit.LengthEntry{Text: c.text, Length: c.want, Unit: c.unit}) {
			t.Errorf("%q = %d nm (%v, text %q), want %d nm (%v)", c.text, e.Length, e.Unit, e.Text, c.want, c.unit)
		}
		if back := e.Length.String(); back != c.back {
			t.Errorf("%q prints as %q, want %q", c.text, back, c.back)
		}
	}
}

// What is refused, and that the refusal says what to write.
func TestParseLengthRefuses(t *testing.T) {
	for _, c := range []struct {
		text string
		says string
		kind error
	}{
		{"72", "no unit: write 72 in or 72 mm", nil},
		{"72 1/2", "no unit: write 72 1/2 in or 72 1/2 mm", nil},
		{"", "nothing written", nil},
		{"   ", "nothing written", nil},
		{"in", "no number at the start", nil},
		{"1,500 mm", "comma may mean thousands or decimals: write 1500 mm, or 1.5 mm", nil},
		{"1.500,5 mm", "more than one point or comma", nil},
		{"1.500.5 mm", "more than one point or comma", nil},
		{",5 mm", "write 0.5 with a decimal point", nil},
		{"1500 ,5 mm", "comma may mean", nil},
		{"1/3 in", "not a whole nanometre: the nearest 1/64 is 21/64 in", unit.ErrNotExact},
		{"1/128 in", "not a whole nanometre: the nearest 1/64 is 1/64 in", unit.ErrNotExact},
		{"6 ft 1/3 in", "the nearest 1/64 is 21/64 in", unit.ErrNotExact},
		{"0.0000001 mm", "the nearest nanometre is 0 mm", unit.ErrNotExact},
		{"1/3 mm", "the nearest nanometre is 0.333333 mm", unit.ErrNotExact},
		{"1 500 mm", "a space inside the number", nil},
		{"7 2 in", "a space inside the number", nil},
		{"72 1 /2 in", "a space inside the number", nil},
		{"½2 in", "a space inside the number", nil},
		{"7½/2 in", `unexpected "/2 in"`, nil},
		{"1/½ in", "a fraction needs digits after the stroke", nil},
		{"1/2/4 in", `unexpected "/4 in"`, nil},
		{"1/0 in", "a fraction cannot be over zero", unit.ErrDivideByZero},
		{"2 5/4 in", "the fraction of a mixed number must be less than one", nil},
		{"2 4/4 in", "the fraction of a mixed number must be less than one", nil},
		{"72.5 1/2 in", "a decimal and a fraction together", nil},
		{"72.5/2 in", "a decimal inside a fraction", nil},
		{"72. in", "a point needs digits after it", nil},
		{"72-2 in", "a dash joins a whole number only to a fraction", nil},
		{"72 - 1/2 in", `unexpected "- 1/2 in"`, nil},
		{"-72 in", "a length cannot be negative", unit.ErrNegative},
		{"\u221272 in", "a length cannot be negative", unit.ErrNegative},
		{"+72 in", "a sign where a number should be", nil},
		{"11 ga", "a gauge number is not a length: write the thickness itself, such as 0.120 in", nil},
		{"16 Gauge", "a gauge number is not a length", nil},
		{"72 km", `unknown unit "km": write in, ft, yd, mm, cm or m`, nil},
		{"1e3 mm", `unknown unit "e"`, nil},
		{"72 in 3", "only whole feet may be followed by inches", nil},
		{"72 mm 3 in", "only whole feet may be followed by inches", nil},
		{"6.5 ft 2 in", "only whole feet may be followed by inches", nil},
		{"6 ft 12 in", "inches after feet must be less than 12", nil},
		{"6 ft 2", "no unit: write in after the inches", nil},
		{"6 ft 2 ft", "feet may be followed by inches only", nil},
		{"6 ft 2 in 3", "feet may be followed by inches only", nil},
		{"6 ft, 2 in", "a comma between feet and inches: write 6 ft 2 in", nil},
		{"6 ft -2 in", "a sign where a number should be", nil},
		{"6'- 2 in", "no number at the start", nil},
		{"6'-", "no number at the start", nil},
		{"6 ft two in", "no number at the start", nil},
		{"1000.001 m", "at most 1000 m", unit.ErrOverflow},
		{"9223372036854775807 m", "length out of range", unit.ErrOverflow},
		{"9223372036854775808 mm", "number too large", unit.ErrOverflow},
		{"1/9223372036854775808 in", "number too large", unit.ErrOverflow},
		{"9223372036854775808/2 in", "number too large", unit.ErrOverflow},
		{"9223372036854775807 1/2 in", "number too large", unit.ErrOverflow},
		{"99999999999.999999999 in", "number too large", unit.ErrOverflow},
		{"0.1234567890123456789 in", "more than 18 decimals", nil},
		{"72 in\x00", "control character", nil},
		{"72\tin", "control character", nil},
		{"72\u00a0in", `unexpected`, nil},
		{"72 \xff in", "not valid UTF-8", nil},
		{strings.Repeat("0", 60) + "72 in", "longer than 64 bytes", nil},
		{strings.Repeat("1", 65) + " in", "longer than 64 bytes", nil},
		{strings.Repeat("½", 40), "longer than 64 bytes", nil},
	} {
		l, err := unit.ParseLength(c.text)
		var refusal *unit.ParseError
		if !errors.As(err, &refusal) {
			t.Errorf("%q = %v, %v; want a ParseError", c.text, l, err)
			continue
		}
		if !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q: says %q, want %q", c.text, err, c.says)
		}
		if refusal.Kind != c.kind || c.kind != nil && !errors.Is(err, c.kind) {
			t.Errorf("%q: kind %v, want %v", c.text, refusal.Kind, c.kind)
		}
		if l != 0 {
			t.Errorf("%q: a refused length is %v, want 0", c.text, l)
		}
		if len(c.text) <= 64 && refusal.Text != c.text || len(refusal.Text) > 64+len("…") {
			t.Errorf("%q: the refusal is about %q", c.text, refusal.Text)
		}
	}
}

func TestLengthTexts(t *testing.T) {
	for _, c := range []struct {
		l                               unit.Length
		text, mm, in64, in2, ft3, yards string
		exact                           bool
	}{
		{unit.Yard, "36 in", "914.4", "36", "36.00", "3.000", "1.00", true},
		{72*unit.Inch + unit.Inch/2, "72 1/2 in", "1841.5", "72 1/2", "72.50", "6.042", "2.01", true},
		{100 * unit.Millimetre, "100 mm", "100", "3 15/16", "3.94", "0.328", "0.11", false},
		{-unit.Inch / 64, "-1/64 in", "-0.396875", "-1/64", "-0.02", "-0.001", "0.00", true},
		{-3 * unit.Metre, "-3000 mm", "-3000", "-118 7/64", "-118.11", "-9.843", "-3.28", false},
		{1, "0.000001 mm", "0.000001", "0", "0.00", "0.000", "0.00", false},
		{-1, "-0.000001 mm", "-0.000001", "0", "0.00", "0.000", "0.00", false},
		{198_437, "0.198437 mm", "0.198437", "0", "0.01", "0.001", "0.00", false},
		{198_438, "0.198438 mm", "0.198438", "1/64", "0.01", "0.001", "0.00", false},
		{unit.Inch - 1, "25.399999 mm", "25.399999", "1", "1.00", "0.083", "0.03", false},
		{math.MinInt64, "-9223372036854.775808 mm", "-9223372036854.775808", "-363124883340 47/64",
			"-363124883340.74", "-30260406945.062", "-10086802315.02", false},
	} {
		in64, exact := c.l.Inches64()
		got := []string{c.l.String(), c.l.Millimetres(), in64, c.l.Inches(2), c.l.Feet(3), c.l.Yards(2)}
		want := []string{c.text, c.mm, c.in64, c.in2, c.ft3, c.yards}
		for i := range got {
			if got[i] != want[i] {
				t.Errorf("%d nm: text %d is %q, want %q", c.l, i, got[i], want[i])
			}
		}
		if exact != c.exact {
			t.Errorf("%d nm: exact in 64ths is %v", c.l, exact)
		}
	}
}

func TestDisplayDecimalsAreKeptWithinZeroAndNine(t *testing.T) {
	third := must(unit.Foot.Scale(must(unit.NewRatio(1, 3)), unit.Nearest))
	for places, want := range map[int]string{-1: "0", 0: "0", 1: "0.3", 9: "0.333333333", 10: "0.333333333"} {
		if got := third.Feet(places); got != want {
			t.Errorf("4 in as feet to %d decimals is %q, want %q", places, got, want)
		}
	}
	if got := (unit.Foot - 1).Feet(2); got != "1.00" {
		t.Errorf("1 nm less than a foot is %q ft, want 1.00", got)
	}
}

func anyLength() *rapid.Generator[unit.Length] {
	return rapid.Map(rapid.Int64(), func(v int64) unit.Length { return unit.Length(v) })
}

func TestLengthTextComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLength().Draw(t, "l")
		if rapid.Bool().Draw(t, "inches") {
			l = unit.Length(rapid.Int64Range(-1<<40, 1<<40).Draw(t, "64ths")) * (unit.Inch / 64)
		}
		back, err := unit.ParseSignedLength(l.String())
		if err != nil || back != l {
			t.Fatalf("%d nm prints as %q and reads back as %d, %v", l, l, back, err)
		}
		viaMM, err := unit.ParseSignedLength(l.Millimetres() + " mm")
		if err != nil || viaMM != l {
			t.Fatalf("%d nm is %s mm, which reads back as %d, %v", l, l.Millimetres(), viaMM, err)
		}
	})
}

func TestEnteredLengthsComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := unit.Length(rapid.Int64Range(0, int64(unit.MaxEntry)).Draw(t, "l"))
		back, err := unit.ParseLength(l.String())
		if err != nil || back != l {
			t.Fatalf("%d nm prints as %q and reads back as %d, %v", l, l, back, err)
		}
	})
}

// The nearest 64th is never further away than 1/128 in.
func TestInches64IsNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := unit.Length(rapid.Int64Range(-1<<60, 1<<60).Draw(t, "l"))
		text, exact := l.Inches64()
		near := must(unit.ParseSignedLength(text + " in"))
		off := near - l
		if off < 0 {
			off = -off
		}
		if 2*off > unit.Inch/64 || exact != (off == 0) {
			t.Fatalf("%v is said to be %s in (exact %v), off by %v", l, text, exact, off)
		}
	})
}

func FuzzParseLength(f *testing.F) {
	for _, seed := range []string{
		"72 in", "72 1/2 in", "72-½ in", `6'-0 1/2"`, "6 ft 2", "1828.853 mm", "1,500 mm", "1/3 in",
		"-1/64 in", "-9223372036854.775808 mm", "½½ in", "0.000000000000000001 m", "1/0 in", "72 in\x00", "\xff", "-", "6'-",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		l, err := unit.ParseSignedLength(text)
		e, entryErr := unit.ParseEntry(text)
		if err != nil {
			checkRefusal(t, text, err)
			if entryErr == nil {
				t.Fatalf("%q is refused signed (%v) but entered as %v", text, err, e.Length)
			}
			return
		}
		if back, err := unit.ParseSignedLength(l.String()); err != nil || back != l {
			t.Fatalf("%q is %d nm, prints as %q, reads back as %d, %v", text, l, l, back, err)
		}
		if entryErr == nil && (e.Length != l || l < 0 || l > unit.MaxEntry || e.Text != text) {
			t.Fatalf("%q is entered as %+v but read as %d nm", text, e, l)
		}
	})
}

// checkRefusal asserts that a refusal is a ParseError that names its text and
// gives a reason.
func checkRefusal(t *testing.T, text string, err error) {
	t.Helper()
	var refusal *unit.ParseError
	if !errors.As(err, &refusal) || refusal.Reason == "" || len(refusal.Text) > 64+len("…") {
		t.Fatalf("%q: poor refusal %#v", text, err)
	}
}

// The signed reader of machine text, where it differs from the entry.
func TestParseSignedLength(t *testing.T) {
	for text, want := range map[string]unit.Length{
		"-72 in": -72 * unit.Inch, "-6 ft 2 1/2 in": -(6*unit.Foot + 2*unit.Inch + unit.Inch/2), "-½ in": -unit.Inch / 2,
		"-0 in": 0, "-0.000001 mm": -1, "9223372036854.775807 mm": math.MaxInt64, "2000 m": 2 * unit.MaxEntry,
	} {
		if got, err := unit.ParseSignedLength(text); err != nil || got != want {
			t.Errorf("%q = %d nm, %v; want %d", text, got, err, want)
		}
	}
	for text, kind := range map[string]error{
		"-": nil, "- 72 in": nil, "--72 in": nil, "-6 ft -2 in": nil, "9223372036854.775808 mm": unit.ErrOverflow,
		"-9223372036.854775809 m": unit.ErrOverflow, "30260406945 ft 11 in": unit.ErrOverflow,
	} {
		got, err := unit.ParseSignedLength(text)
		var refusal *unit.ParseError
		if !errors.As(err, &refusal) || refusal.Kind != kind || got != 0 {
			t.Errorf("%q = %d nm, %v; want a refusal of kind %v", text, got, err, kind)
		}
	}
}
