package api

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// parseSheet reads CSV and checks that it is UTF-8 with CRLF, that its rows are
// as long as its head and that no cell begins a formula.
func parseSheet(t interface {
	Errorf(string, ...any)
	Fatal(...any)
	Helper()
}, text []byte) [][]string {
	t.Helper()
	if !utf8.Valid(text) || bytes.Count(text, []byte("\n")) != bytes.Count(text, []byte("\r\n")) || !bytes.HasSuffix(text, []byte("\r\n")) {
		t.Errorf("not UTF-8 with CRLF: %q", text)
	}
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll() // refuses rows of another length
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows {
		for _, cell := range row {
			if first, _ := utf8.DecodeRuneInString(cell); cell != "" && strings.ContainsRune("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20", first) {
				t.Errorf("live cell %q", cell)
			}
		}
	}
	return rows
}

func TestNoCellIsAFormula(t *testing.T) {
	for _, cell := range []string{"=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "＝1", "＋1", "－1", "＠a"} {
		if got := neutral(cell); got != "'"+cell {
			t.Errorf("%q became %q", cell, got)
		}
	}
	for _, cell := range []string{"", "leg", "1-1", "a=b", " =1", "'=1", "½"} {
		if got := neutral(cell); got != cell {
			t.Errorf("%q became %q", cell, got)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		s := sheet{heads: []string{"a", "b"}}
		for range rapid.IntRange(0, 3).Draw(t, "rows") {
			s.rows = append(s.rows, []string{rapid.StringN(0, 8, -1).Draw(t, "a"), rapid.SampledFrom([]string{"=", "\r\n", "＝x", "\"", ",", "x"}).Draw(t, "b")})
		}
		text, err := s.bytes()
		if err != nil {
			t.Fatal(err)
		}
		if got := parseSheet(t, text); len(got) != len(s.rows)+1 {
			t.Errorf("%d rows of %d", len(got)-1, len(s.rows))
		}
	})
}

// A catalog whose names are formulas is harmless in a sheet and whole in JSON.
func TestNamesThatAreFormulas(t *testing.T) {
	s := openShop(t, shopSettings{files: func(files []source.File) []source.File {
		for i := range files {
			files[i].Bytes = bytes.ReplaceAll(files[i].Bytes, []byte("name: Sallow bench"), []byte(`name: '=HYPERLINK("http://x","Sallow")'`))
			files[i].Bytes = bytes.ReplaceAll(files[i].Bytes, []byte("name: Sedge stripe"), []byte(`name: '@Sedge'`))
		}
		return files
	}})
	dealer := s.key("dealer studio-tamsel")
	number := s.placed(dealer, "1", bench("A 1"))
	cloth := readSheet(t, s.ask(dealer, "GET", "/v1/orders/"+number+"/bill/cloth", "", "Accept: text/csv"))
	if !strings.Contains(strings.Join(cloth[1], "|"), "|'@Sedge|") {
		t.Errorf("cloth %q", cloth)
	}
	if got := s.ask(dealer, "GET", "/v1/orders/"+number+"/bill/cloth", ""); !strings.Contains(string(got.body), `"@Sedge"`) {
		t.Errorf("JSON %s", got.body)
	}
}

func TestDecimals(t *testing.T) {
	for _, c := range []struct {
		n, grain int64
		decimals int
		want     string
	}{
		{int64(57*unit.Inch + unit.Inch/2), int64(unit.Inch), 6, "57.5"},
		{int64(unit.Inch / 64), int64(unit.Inch), 6, "0.015625"}, // 1/64
		{int64(unit.Millimetre), int64(unit.Inch), 6, "0.03937"}, // 1/25.4 = 0.0393700787...
		{0, 7, 6, "0"}, {-15, 10, 1, "-1.5"}, {-1, 10, 1, "-0.1"}, {75, 10, 1, "7.5"}, {1, 3, 2, "0.33"}, {2, 3, 2, "0.67"}, {1, 2, 0, "1"},
		{9_000_000_000_000_000_000, 1, 6, "9000000000000000000"},
	} {
		if got := decimal(c.n, c.grain, c.decimals); got != c.want {
			t.Errorf("%d/%d: %s, want %s", c.n, c.grain, got, c.want)
		}
	}
}

func TestWhatAcceptAsksFor(t *testing.T) {
	for _, c := range []struct {
		format, accept string
		sheet          bool
	}{
		{"", "", false}, {"", "*/*", false}, {"", "application/json", false}, {"", "text/csv", true}, {"", "Text/CSV; charset=utf-8", true},
		{"", "text/csv, application/json", true}, {"", "application/json, text/csv;q=0.9", false}, {"", "text/csv;q=0", false},
		{"", "text/csv;q=0.5, */*;q=0.1", true}, {"", "text/csv;q=x", false}, {"", "text/csv;q=7", false}, {"", "text/csv;q=NaN", false},
		{"json", "text/csv", false}, {"csv", "application/json", true},
	} {
		if got := (Tabular{c.format, c.accept}).wantsSheet(); got != c.sheet {
			t.Errorf("format %q, accept %q: %t", c.format, c.accept, got)
		}
	}
}

// magnitude is the number that an exact amount begins with, in millionths; a
// mixed number such as 12 3/64 in counts as inches.
func magnitude(t testing.TB, exact string) int64 {
	t.Helper()
	if l, err := unit.ParseLength(exact); err == nil {
		return int64(l)
	}
	number, _, _ := strings.Cut(exact, " ")
	r, err := unit.ParseRatio(number)
	if err != nil {
		t.Fatal(err)
	}
	n, err := unit.MulDivRound(r.Num(), 1_000_000, r.Den(), unit.Nearest)
	if err != nil {
		t.Fatal(err)
	}
	return n
}
