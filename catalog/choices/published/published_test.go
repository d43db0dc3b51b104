package published_test

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"billwright/catalog/choices"
	"billwright/catalog/choices/published"
)

func compile(t *testing.T, name string) *choices.Compiled {
	t.Helper()
	file, err := os.Open(filepath.Join("..", "..", "..", "testdata", "rules", name))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	read := published.DIMACS
	if strings.HasSuffix(name, ".tbl") {
		read = published.Tables
	}
	base, err := read(file)
	if err != nil {
		t.Fatal(err)
	}
	c, err := choices.Compile(base, choices.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// TestPublishedFigures holds counts, and how many options every choice or none
// has, against testdata/rules/SOURCES.md.
func TestPublishedFigures(t *testing.T) {
	t.Parallel()
	for _, x := range []struct {
		name            string
		count           string // "" where only the digits are published
		digits, on, off int
		tables          bool
	}{
		{name: "pc.tbl", count: "2729160", digits: 7, tables: true},
		{name: "eshop-lau2006.dimacs", count: "247496437923840", digits: 15, on: 50},
		{name: "berkeleydb.dimacs", count: "32", digits: 2, on: 14, off: 6},
		{name: "financial-2018-05-09.dimacs", digits: 14, on: 22},
		{name: "automotive01.dimacs", digits: 211, on: 100, off: 195},
	} {
		t.Run(x.name, func(t *testing.T) {
			t.Parallel()
			c := compile(t, x.name)
			n, err := c.Count(choices.None)
			if err != nil {
				t.Fatal(err)
			}
			if got := n.String(); len(got) != x.digits || x.count != "" && got != x.count {
				t.Errorf("%s choices, %d digits; want %s, %d digits", got, len(got), x.count, x.digits)
			}
			if x.tables {
				return
			}
			on, off := alwaysAndNever(t, c)
			if on != x.on || off != x.off {
				t.Errorf("%d always on and %d never, want %d and %d", on, off, x.on, x.off)
			}
		})
	}
}

func alwaysAndNever(t *testing.T, c *choices.Compiled) (on, off int) {
	t.Helper()
	a := c.Asker()
	defer a.Done()
	left := c.NoValues()
	if err := a.Remaining(c.Picks(), left); err != nil {
		t.Fatal(err)
	}
	for f := range int32(c.Fields()) {
		switch {
		case !c.Has(left, f, 0):
			on++
		case !c.Has(left, f, 1):
			off++
		}
	}
	return on, off
}

func TestFaultsOfTheFormsNameTheirLine(t *testing.T) {
	t.Parallel()
	for _, x := range []struct {
		read func(io.Reader) (*choices.Base, error)
		text string
		want string
	}{
		{published.DIMACS, "", "there is no line 'p cnf VARIABLES CLAUSES'"},
		{published.DIMACS, "1 2 0\n", "line 1: a clause stands before the line 'p cnf VARIABLES CLAUSES'"},
		{published.DIMACS, "p cnf 2 1\n1 x 0\n", `line 2: "x" is no variable`},
		{published.DIMACS, "p cnf 2 1\n1 3 0\n", "line 2: variable 3 is more than the 2 announced"},
		{published.DIMACS, "p cnf 2 1\n1 2\n", "line 2: the last clause does not end with 0"},
		{published.DIMACS, "p cnf 2 1\np cnf 2 1\n", "line 2: \"p cnf 2 1\" is not the one line 'p cnf VARIABLES CLAUSES'"},
		{published.DIMACS, "p cnf 9999999999 1\n", `line 1: "9999999999" is no number of variables up to 100000`},
		{published.Tables, "", "there is no field: each is declared by a line 'V name values...'"},
		{published.Tables, "V a\n", "line 1: a field has a name and at least one value"},
		{published.Tables, "V a x y\n0\n", "line 2: a row stands before the first table"},
		{published.Tables, "V a x y\nC t\n", "line 2: a table has a name and the indices of its fields"},
		{published.Tables, "V a x y\nC t 1\n", `line 2: "1" is no index of the 1 fields declared so far`},
		{published.Tables, "V a x y\nC t 0\n0 1\n", "line 3: the row has 2 places, the table 1 fields"},
		{published.Tables, "V a x y\nC t 0\n0|2\n", `line 3: "2" is no index of the 2 values of a`},
	} {
		if _, err := x.read(strings.NewReader(x.text)); err == nil || err.Error() != x.want {
			t.Errorf("%q: %v, want %s", x.text, err, x.want)
		}
	}
}

func TestOddClausesAreReadAsTheyStand(t *testing.T) {
	t.Parallel()
	base, err := published.DIMACS(strings.NewReader("c 1 door\nc 2 door\np cnf 3 4\n1 -1 2 0\n2 2 0 -3\n-2 0\n"))
	if err != nil {
		t.Fatal(err)
	}
	c, err := choices.Compile(base, choices.Options{})
	if err != nil {
		t.Fatal(err)
	}
	// The first clause is vacuous; the second says 2, the third not 3 or not 2.
	if n, err := c.Count(choices.None); err != nil || n.Int64() != 2 || c.Rules() != 2 || c.Code(0) != "door" || c.Code(1) != "2" {
		t.Errorf("%v choices %v, %d rules, fields %s and %s", n, err, c.Rules(), c.Code(0), c.Code(1))
	}
}

func FuzzReadAnything(f *testing.F) {
	f.Add("p cnf 2 2\n1 -2 0\n2 0\n", true)
	f.Add("V a x y\nV b 1 2 3\nC t 0 1\n0 1|2\n1 *\n", false)
	f.Fuzz(func(t *testing.T, text string, clauses bool) {
		read := published.Tables
		if clauses {
			read = published.DIMACS
		}
		base, err := read(strings.NewReader(text))
		if err != nil || len(base.Fields) > 12 || len(text) > 2000 {
			return
		}
		c, err := choices.Compile(base, choices.Options{Nodes: 1000, Work: 100_000})
		if err == nil {
			_, _ = c.Count(choices.None)
			c.Lint()
		}
	})
}
