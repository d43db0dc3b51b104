package paper

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/tools/txtar"

	"billwright/bom"
	"billwright/bom/cutting"
	"billwright/bom/order"
	"billwright/bom/saw"
	"billwright/catalog"
	"billwright/catalog/demonstration"
	"billwright/catalog/source"
)

const address = "https://desk.corrindale.example/v1/orders/7K3M-9QXD"

// shops are the demonstration and the metric workshop of the bills' tests.
var shops = sync.OnceValue(func() map[string]*catalog.Catalog {
	files, _ := source.ReadDir(os.DirFS("../testdata/metric"))
	metric, faults := catalog.Read(files)
	if metric == nil {
		panic(fmt.Sprint(faults))
	}
	demo, faults := catalog.Read(demonstration.Files())
	if demo == nil {
		panic(fmt.Sprint(faults))
	}
	return map[string]*catalog.Catalog{"": demo, "metric": metric}
})

// golden is a job of a golden order of testdata/golden.
func golden(t testing.TB, name string) *Job {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("../../testdata/golden", name+".txtar"))
	if err != nil {
		t.Fatal(err)
	}
	draft, shop, clock := &order.Draft{PO: "ST-2207", Sidemark: "Ferncote dining room", ShipTo: "Studio Tamsel, receiving dock, 14 Osier Yard, Ferncote"}, "", time.Time{}
	for i, line := range strings.Split(strings.TrimSpace(string(txtar.Parse(data).Files[0].Data)), "\n") {
		var a struct {
			Catalog, Dealer, Product, Requested string
			Clock                               time.Time
			Quantity                            int
			Configuration, Ways                 map[string]string
		}
		if err := json.Unmarshal([]byte(line), &a); err != nil {
			t.Fatal(err)
		}
		if i == 0 {
			shop, clock, draft.Dealer, draft.Requested = a.Catalog, a.Clock, a.Dealer, a.Requested
			continue
		}
		one := order.DraftLine{Product: a.Product, Quantity: fmt.Sprint(a.Quantity), Ways: a.Ways}
		for attribute, text := range a.Configuration {
			one.Picks = append(one.Picks, catalog.Pick{Attribute: attribute, Text: text})
		}
		draft.Lines = append(draft.Lines, one)
	}
	return jobOf(t, shops()[shop], draft, clock)
}

// jobOf reckons a draft and makes a job of it, all its lines released.
func jobOf(t testing.TB, cat *catalog.Catalog, draft *order.Draft, clock time.Time) *Job {
	t.Helper()
	o, findings := order.Reckon(cat, draft, clock)
	if o == nil {
		t.Fatal(findings)
	}
	o.Number, o.Version = "7K3M-9QXD", 3
	text, err := o.Bill.Document()
	if err != nil {
		t.Fatal(err)
	}
	d := o.Document(bom.Hash(text))
	d.State, d.Holds = order.Released, nil
	for i := range d.Lines {
		d.Lines[i].State = order.Released
	}
	// The stored bill is read back, as a reprint does.
	var read bom.Bill
	if err := json.Unmarshal(text, &read); err != nil {
		t.Fatal(err)
	}
	job := &Job{Document: &d, Bill: &read, Catalog: cat, Standing: 3, Layouts: o.Bill.Layouts(), Address: address}
	for _, need := range saw.OfBill(o.Number, o.Bill) {
		section, _ := cat.Sections.Get(need.Section)
		plan, err := saw.Reckon(saw.ListOf(cat, section, need.Pieces, nil), cutting.Options{Work: 1e7})
		if err != nil {
			job.NotPlanned = append(job.NotPlanned, need.Section+": "+err.Error())
			continue
		}
		job.Plans = append(job.Plans, plan)
	}
	lines := make([]bom.Line, len(o.Lines))
	for i := range o.Lines {
		lines[i] = bom.Line{Number: o.Lines[i].Number, Quantity: o.Lines[i].Quantity, Config: o.Lines[i].Config, Ways: draft.Lines[i].Ways}
	}
	_, job.Working, _ = bom.Explode(cat, lines, true)
	return job
}

// goldens are the names of all golden orders that can be made.
func goldens(t testing.TB) []string {
	t.Helper()
	paths, err := filepath.Glob("../../testdata/golden/*.txtar")
	if err != nil || len(paths) < 30 {
		t.Fatalf("%d golden orders: %v", len(paths), err)
	}
	names := make([]string, len(paths))
	for i, path := range paths {
		names[i] = strings.TrimSuffix(filepath.Base(path), ".txtar")
	}
	return names
}

// rowsOn are the rows of the bill that a paper has, as line, part and path.
func rowsOn(p *Paper) []string {
	var rows []string
	for _, s := range p.Sheets {
		for i := range s.Blocks {
			for k := range s.Blocks[i].Lines {
				for _, of := range s.Blocks[i].Lines[k].Of {
					rows = append(rows, fmt.Sprintf("%d %s %s", of.Line, of.Part, of.Path))
				}
			}
		}
	}
	slices.Sort(rows)
	return rows
}

// rowsIn are those of a bill.
func rowsIn(t testing.TB, bill *bom.Bill) []string {
	t.Helper()
	text, err := bill.Document()
	if err != nil {
		t.Fatal(err)
	}
	all, err := bom.DocumentRows(text)
	if err != nil {
		t.Fatal(err)
	}
	rows := make([]string, len(all))
	for i := range all {
		rows[i] = fmt.Sprintf("%d %s %s", all[i].Line, all[i].Part, all[i].Path)
	}
	slices.Sort(rows)
	return rows
}
