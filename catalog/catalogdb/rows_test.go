package catalogdb

import (
	"errors"
	"reflect"
	"slices"
	"testing"

	"github.com/jackc/pgx/v5"

	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/demonstration"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// stored is the demonstration, stored, with a transaction's way to it.
func stored(t *testing.T, look func(s *shop, tx pgx.Tx, cat *catalog.Catalog) error) {
	t.Helper()
	s := openShop(t)
	s.store(demonstration.Files())
	s.must(func(tx pgx.Tx) error { return look(s, tx, read(t, demonstration.Files())) })
}

func TestProductRows(t *testing.T) {
	stored(t, func(s *shop, tx pgx.Tx, cat *catalog.Catalog) error {
		products, err := Products(s.ctx, tx, s.id, 1, "")
		if err != nil {
			return err
		}
		want := cat.Products.Keys()
		slices.Sort(want)
		var got []string
		for _, p := range products {
			got = append(got, p.Product)
		}
		if !slices.Equal(got, want) {
			t.Errorf("products %q, want %q", got, want)
		}
		pell, err := Products(s.ctx, tx, s.id, 1, "Pell")
		if len(pell) != 1 || pell[0] != (Product{Product: "pell-stool", Name: "Pell stool", Collection: "Pell", LeadDays: 25}) {
			t.Errorf("the Pell collection is %+v", pell)
		}
		return err
	})
}

func TestAttributeAndChoiceRows(t *testing.T) {
	stored(t, func(s *shop, tx pgx.Tx, cat *catalog.Catalog) error {
		for code, product := range cat.Products.All() {
			attributes, err := Attributes(s.ctx, tx, s.id, 1, code.Value)
			if err != nil {
				return err
			}
			if len(attributes) != product.Attributes.Len() {
				t.Errorf("%s has %d attributes, want %d", code, len(attributes), product.Attributes.Len())
				continue
			}
			for i, key := range product.Attributes.Keys() {
				if attributes[i].Attribute != key {
					t.Errorf("%s: attribute %d is %s, want %s", code, i+1, attributes[i].Attribute, key)
				}
				a, _ := product.Attributes.Get(key)
				choices, err := Choices(s.ctx, tx, s.id, 1, ChoiceFilter{Product: code.Value, Attribute: key})
				if err != nil {
					return err
				}
				var got []catalog.Option
				for _, c := range choices {
					got = append(got, catalog.Option{Code: c.Choice, Name: c.Name})
				}
				if !slices.Equal(got, a.Options()) {
					t.Errorf("%s, %s: choices %v, want %v", code, key, got, a.Options())
				}
			}
		}
		stool, err := Attributes(s.ctx, tx, s.id, 1, "pell-stool")
		if err != nil {
			return err
		}
		height := stool[0]
		if height.Kind != "length" || *height.Smallest != 16*unit.Inch || *height.Largest != 30*unit.Inch || *height.Default != "18 in" || height.Least != nil {
			t.Errorf("the stool's height is %+v", height)
		}
		return nil
	})
}

func TestWhereUsed(t *testing.T) {
	stored(t, func(s *shop, tx pgx.Tx, cat *catalog.Catalog) error {
		var want []string
		for code, product := range cat.Products.All() {
			for key, a := range product.Attributes.All() {
				for _, option := range a.Options() {
					if option.Code == "soot" {
						want = append(want, code.Value+" "+key.Value)
					}
				}
			}
		}
		slices.Sort(want)
		choices, err := Choices(s.ctx, tx, s.id, 1, ChoiceFilter{Choice: "soot"})
		var got []string
		for _, c := range choices {
			got = append(got, c.Product+" "+c.Attribute)
		}
		slices.Sort(got)
		if len(got) == 0 || !slices.Equal(got, want) {
			t.Errorf("soot is used in %q, want %q", got, want)
		}
		return err
	})
}

func TestFinishesBySpecies(t *testing.T) {
	stored(t, func(s *shop, tx pgx.Tx, cat *catalog.Catalog) error {
		for species := range cat.Species.All() {
			var want []string
			for code, finish := range cat.WoodFinishes.All() {
				if slices.ContainsFunc(finish.On, func(on source.Text) bool { return on.Value == species.Value }) {
					want = append(want, code.Value)
				}
			}
			slices.Sort(want)
			finishes, err := Finishes(s.ctx, tx, s.id, 1, FinishFilter{Species: species.Value})
			if err != nil {
				return err
			}
			var got []string
			for _, f := range finishes {
				got = append(got, f.Finish)
				if f.Kind != "wood" || !slices.Contains(f.Species, species.Value) {
					t.Errorf("on %s goes %+v", species, f)
				}
				back, err := SpeciesOf(s.ctx, tx, s.id, 1, f.Finish)
				if err != nil {
					return err
				}
				if !slices.ContainsFunc(back, func(b Species) bool { return b.Species == species.Value }) {
					t.Errorf("%s goes on %s, but not the other way about: %v", f.Finish, species, back)
				}
			}
			if !slices.Equal(got, want) {
				t.Errorf("on %s go %q, want %q", species, got, want)
			}
		}
		metal, err := Finishes(s.ctx, tx, s.id, 1, FinishFilter{Kind: "metal"})
		if len(metal) != cat.MetalFinishes.Len() {
			t.Errorf("%d metal finishes, want %d", len(metal), cat.MetalFinishes.Len())
		}
		for _, f := range metal {
			finish, _ := cat.MetalFinishes.Get(f.Finish)
			if f.Name != finish.Name || f.ClearCoat != finish.Clear || len(f.Species) != 0 {
				t.Errorf("the metal finish %s is %+v", f.Finish, f)
			}
		}
		all, err2 := SpeciesOf(s.ctx, tx, s.id, 1, "")
		if len(all) != cat.Species.Len() {
			t.Errorf("%d species, want %d", len(all), cat.Species.Len())
		}
		for _, row := range all {
			species, _ := cat.Species.Get(row.Species)
			bought := species.Blanks == "bought"
			if row.Name != species.Name || (row.Blanks == "bought") != bought || (row.Yield == nil) != bought {
				t.Errorf("the species %s is %+v", row.Species, row)
			}
			if row.Yield == nil {
				continue
			}
			if yield, err := unit.ParseRatio(*row.Yield); err != nil || yield.Cmp(species.Yield) != 0 {
				t.Errorf("the species %s has the yield %s: %v", row.Species, *row.Yield, err)
			}
		}
		if err == nil {
			err = err2
		}
		return err
	})
}

func TestFabricsByGradeAndOwner(t *testing.T) {
	stored(t, func(s *shop, tx pgx.Tx, cat *catalog.Catalog) error {
		yes, no := true, false
		for _, filter := range []FabricFilter{{}, {Own: &yes}, {Own: &no}, {Grade: "A"}, {Grade: "B", Own: &no}, {Grade: "no such grade"}} {
			var want []string
			for code, fabric := range cat.Fabrics.All() {
				if (filter.Grade == "" || fabric.Grade == filter.Grade) && (filter.Own == nil || fabric.Own == *filter.Own) {
					want = append(want, code.Value)
				}
			}
			slices.Sort(want)
			fabrics, err := Fabrics(s.ctx, tx, s.id, 1, filter)
			if err != nil {
				return err
			}
			var got []string
			for _, f := range fabrics {
				got = append(got, f.Fabric)
			}
			if !slices.Equal(got, want) {
				t.Errorf("fabrics of %+v: %q, want %q", filter, got, want)
			}
		}
		return nil
	})
}

func TestSectionRows(t *testing.T) {
	stored(t, func(s *shop, tx pgx.Tx, cat *catalog.Catalog) error {
		sections, err := Sections(s.ctx, tx, s.id, 1, "")
		if len(sections) != cat.Sections.Len() {
			t.Errorf("%d sections, want %d", len(sections), cat.Sections.Len())
		}
		for _, row := range sections {
			section, _ := cat.Sections.Get(row.Section)
			mass, err1 := section.Mass(unit.Metre)
			perimeter, err2 := section.Perimeter()
			want := Section{row.Section, section.Name, section.Shape, mass, perimeter, section.LongestBar(), row.Withdrawal}
			if err1 != nil || err2 != nil || row != want {
				t.Errorf("section %+v, want %+v", row, want)
			}
		}
		round, err2 := Sections(s.ctx, tx, s.id, 1, "round")
		if len(round) == 0 || slices.ContainsFunc(round, func(s Section) bool { return s.Shape != "round" }) {
			t.Errorf("round sections are %+v", round)
		}
		if err == nil {
			err = err2
		}
		return err
	})
}

func TestRuleAndStandardRows(t *testing.T) {
	stored(t, func(s *shop, tx pgx.Tx, cat *catalog.Catalog) error {
		rules, err := Rules(s.ctx, tx, s.id, 1, "pell-stool")
		if err != nil {
			return err
		}
		stool, _ := cat.Products.Get("pell-stool")
		if len(rules) == 0 || len(rules) != stool.Rules.Len() {
			t.Errorf("the stool has %d rules, want %d", len(rules), stool.Rules.Len())
		}
		for _, row := range rules {
			if rule, found := stool.Rules.Get(row.Rule); !found || rule.Says != row.Says {
				t.Errorf("the stool's rule %s says %q", row.Rule, row.Says)
			}
		}
		standards, err := Standards(s.ctx, tx, s.id, 1)
		values := map[string]string{}
		for _, row := range standards {
			values[row.Standard] = row.Value
			if row.Source == "" {
				t.Errorf("the standard %s has no source", row.Standard)
			}
		}
		if len(standards) != cat.Standards.Len() {
			t.Errorf("%d standards, want %d", len(standards), cat.Standards.Len())
		}
		// As written in the demonstration's standards.yaml.
		for name, want := range map[string]string{
			"saw_kerf": "1/8 in", "steel_density": "490 lb/ft3", "kerf_placement": "between pieces", "steel_cut": "up to 1/32 in",
		} {
			if values[name] != want {
				t.Errorf("the standard %s is %q, want %q", name, values[name], want)
			}
		}
		return err
	})
}

// What is withdrawn says so in its row, with its successor; the demonstration
// has some of each sort.
func TestWithdrawalsInRows(t *testing.T) {
	stored(t, func(s *shop, tx pgx.Tx, cat *catalog.Catalog) error {
		got := map[string]Withdrawal{}
		add := func(sort, code string, w Withdrawal) { got[sort+" "+code] = w }
		products, err1 := Products(s.ctx, tx, s.id, 1, "")
		for _, row := range products {
			add("product", row.Product, row.Withdrawal)
		}
		species, err2 := SpeciesOf(s.ctx, tx, s.id, 1, "")
		for _, row := range species {
			add("species", row.Species, row.Withdrawal)
		}
		finishes, err3 := Finishes(s.ctx, tx, s.id, 1, FinishFilter{})
		for _, row := range finishes {
			add(row.Kind, row.Finish, row.Withdrawal)
		}
		fabrics, err4 := Fabrics(s.ctx, tx, s.id, 1, FabricFilter{})
		for _, row := range fabrics {
			add("fabric", row.Fabric, row.Withdrawal)
		}
		sections, err5 := Sections(s.ctx, tx, s.id, 1, "")
		for _, row := range sections {
			add("section", row.Section, row.Withdrawal)
		}
		want := map[string]Withdrawal{}
		put := func(sort, code string, last *calendar.Date, successor string) {
			var w Withdrawal
			if last != nil {
				text := last.String()
				w.LastOrder = &text
			}
			w.Successor = textOrNull(successor)
			want[sort+" "+code] = w
		}
		each(cat.Products, func(_ int, code string, x *catalog.Product) { put("product", code, x.LastOrder, x.Successor) })
		each(cat.Species, func(_ int, code string, x *catalog.Species) { put("species", code, x.LastOrder, x.Successor) })
		each(cat.WoodFinishes, func(_ int, code string, x *catalog.Finish) { put("wood", code, x.LastOrder, x.Successor) })
		each(cat.MetalFinishes, func(_ int, code string, x *catalog.Finish) { put("metal", code, x.LastOrder, x.Successor) })
		each(cat.Fabrics, func(_ int, code string, x *catalog.Fabric) { put("fabric", code, x.LastOrder, x.Successor) })
		each(cat.Sections, func(_ int, code string, x *catalog.Section) { put("section", code, x.LastOrder, x.Successor) })
		withdrawn := 0
		for code, w := range want {
			if w.LastOrder != nil {
				withdrawn++
			}
			if !reflect.DeepEqual(got[code], w) {
				t.Errorf("%s is told as %+v, want %+v", code, got[code], w)
			}
		}
		if len(got) != len(want) || withdrawn == 0 {
			t.Errorf("%d rows, want %d, of which %d are withdrawn", len(got), len(want), withdrawn)
		}
		return errors.Join(err1, err2, err3, err4, err5)
	})
}
