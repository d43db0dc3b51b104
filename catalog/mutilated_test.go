package catalog_test

import (
	"bytes"
	"regexp"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"billwright/catalog"
	"billwright/catalog/source"
)

var word = regexp.MustCompile(`[A-Za-z0-9_.%'-]+`)

// mutilate puts words of a catalog in the place of others, leaves lines out or
// writes them twice, as hasty editing does.
func mutilate(t *rapid.T, files []source.File) []source.File {
	var words [][]byte
	for _, f := range files {
		words = append(words, word.FindAll(f.Bytes, -1)...)
	}
	changed := slices.Clone(files)
	for range rapid.IntRange(1, 3).Draw(t, "changes") {
		f := &changed[rapid.IntRange(0, len(changed)-1).Draw(t, "file")]
		switch rapid.IntRange(0, 4).Draw(t, "how") {
		case 0:
			lines := bytes.SplitAfter(f.Bytes, []byte("\n"))
			at := rapid.IntRange(0, len(lines)-1).Draw(t, "line")
			f.Bytes = bytes.Join(slices.Delete(slices.Clone(lines), at, at+1), nil)
		default:
			places := word.FindAllIndex(f.Bytes, -1)
			at := rapid.SampledFrom(places).Draw(t, "place")
			with := rapid.SampledFrom(words).Draw(t, "word")
			f.Bytes = slices.Concat(f.Bytes[:at[0]], with, f.Bytes[at[1]:])
		}
	}
	return changed
}

// A catalog with any mistake in it is refused with faults that have a sentence,
// or it is whole: whatever is then picked is checked, priced and reckoned.
func TestMutilatedCatalogs(t *testing.T) {
	catalogs := [][]source.File{small(t), wide(t)}
	taken, refused := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		c, faults := catalog.Read(mutilate(t, catalogs[rapid.IntRange(0, 1).Draw(t, "catalog")]))
		if (c == nil) != (len(faults) > 0) {
			t.Fatalf("a catalog %v with %d faults", c != nil, len(faults))
		}
		for _, f := range faults {
			if f.Message == "" {
				t.Fatalf("a fault without a sentence at %s %s", f.Pos, f.Where)
			}
		}
		if c == nil {
			refused++
			return
		}
		taken++
		c.Warnings()
		for code := range c.Products.All() {
			for _, list := range [][]catalog.Pick{nil, picks("cloth=wool"), picks("cloth=own; own_width=1 m; finish=a wash"), with(""), picks(tenAttributes)} {
				useAll(t, c, code.Value, list)
			}
		}
	})
	if !testing.Short() && (taken == 0 || refused == 0) {
		t.Errorf("%d taken, %d refused: the changes show nothing", taken, refused)
	}
}

// useAll checks, prices and reckons; an error is well, a panic is not.
func useAll(t *rapid.T, c *catalog.Catalog, product string, list []catalog.Pick) {
	cfg, findings := c.Check(product, list, today.AddDays(rapid.IntRange(-100, 200).Draw(t, "days")))
	if (cfg == nil) != (len(findings) > 0) {
		t.Fatalf("%s %+v: a configuration %v with %+v", product, list, cfg != nil, findings)
	}
	if cfg == nil {
		return
	}
	for dealer := range c.Dealers.All() {
		quote, _ := c.Price(cfg, dealer.Value, today)
		if !quote.ToBeQuoted {
			_, _ = quote.Whole(3)
		}
	}
	for _, hold := range cfg.Holds {
		if hold.Kind == nil || hold.Says == "" {
			t.Fatalf("%s %+v: hold %+v", product, list, hold)
		}
	}
}
