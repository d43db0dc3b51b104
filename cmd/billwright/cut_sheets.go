package main

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"billwright/bom"
	"billwright/bom/cutting"
	"billwright/bom/saw"
)

// sheetJob is a call about sheets that was understood.
type sheetJob struct {
	lists    []*saw.SheetList
	units    bom.Units
	deadline time.Duration // below 0 is none
	format   string
	svg      string
}

func (j *sheetJob) run(ctx context.Context, out io.Writer) error {
	plans, err := reckonAll(ctx, j.deadline, j.lists, saw.ReckonSheets)
	if err != nil {
		return err
	}
	if j.svg != "" {
		err := drawAll(j.svg, "sheets", plans, func(p *saw.SheetPlan) string { return p.Item }, func(w io.Writer, p *saw.SheetPlan) error {
			return saw.DrawSheets(w, p.Title(), []*saw.SheetPlan{p}, j.units)
		})
		if err != nil {
			return err
		}
	}
	switch j.format {
	case "json":
		return printJSON(out, j.units, plans)
	case "csv":
		rows := [][]string{saw.SheetHeads(j.units)}
		for _, plan := range plans {
			rows = append(rows, plan.Rows(saw.NumberIn(j.units))...)
		}
		return printRows(out, rows)
	}
	fmt.Fprintf(out, "Saw: %s\n", j.lists[0].Saw.Text(j.units))
	for _, plan := range plans {
		if _, err := fmt.Fprint(out, "\n"+plan.Text(j.units)); err != nil {
			return err
		}
	}
	return nil
}

// readSheets reads a call about sheets and its list, or tells every fault.
func (c *cutCall) readSheets(path string) (planning, error) {
	job := &sheetJob{deadline: c.time(), format: c.format, svg: c.svg, units: bom.Inch}
	if !slices.Contains([]string{"text", "json", "csv"}, c.format) {
		c.fault("--format %q is none of text, json and csv", c.format)
	}
	if len(c.stock) > 0 {
		c.fault("--stock is of bars and --sheet of sheets: a list is cut from one of them")
	}
	if c.afterEvery || c.ends != "both" || c.lengths != 0 {
		c.fault("--after-every, --trim-ends and --lengths are of bars; a sheet is trimmed at each edge and cut between pieces")
	}
	how := saw.SheetSaw{Kerf: c.length("kerf", c.kerf), Trim: c.length("trim", c.trim), Stages: c.stages, Keep: c.length("keep", c.keep)}
	sheets := c.sheets(job)
	needs := listOf(c, path, func(from io.Reader) ([]saw.SheetNeed, []saw.Fault) { return saw.ReadSheetPieces(from, c.grain) })
	if len(needs) > 0 {
		c.shareSheets(job, needs, sheets, how)
	}
	if len(c.faults) > 0 {
		return nil, fmt.Errorf("%w: cut:\n  %s", errUsage, strings.Join(c.faults, "\n  "))
	}
	return job, nil
}

// sheets reads --sheet and --offcuts. The plan is in millimetres where the first
// sheet is.
func (c *cutCall) sheets(job *sheetJob) []grouped[saw.StockSheet] {
	var sheets []grouped[saw.StockSheet]
	for i, text := range c.sheet {
		group, size, all := groupOf(text)
		sheet, err := saw.ParseSheet(size)
		if err != nil {
			c.fault("--sheet %q: %v", text, err)
			continue
		}
		if i == 0 && metricBar(size) {
			job.units = bom.Metric
		}
		sheets = append(sheets, grouped[saw.StockSheet]{sheet, group, all, "--sheet " + text})
	}
	for _, text := range c.offcuts {
		group, list, all := groupOf(text)
		offcuts, faults := saw.ParseSheetOffcuts(list)
		for _, f := range faults {
			c.fault("--offcuts %q: %s", text, f.Said)
		}
		for _, o := range offcuts {
			sheets = append(sheets, grouped[saw.StockSheet]{saw.StockSheet{Length: o.Length, Width: o.Width, Limit: o.Count, Offcut: true}, group, all, "--offcuts " + text})
		}
	}
	return sheets
}

// shareSheets gives each group of pieces the sheets that are for it.
func (c *cutCall) shareSheets(job *sheetJob, needs []saw.SheetNeed, sheets []grouped[saw.StockSheet], how saw.SheetSaw) {
	groups := make([]string, len(needs))
	for i := range needs {
		groups[i] = needs[i].Item
	}
	limited := func(s saw.StockSheet) bool { return s.Limit != cutting.Unlimited }
	for i, stock := range shared(c, groups, sheets, limited, "sheet", `--sheet "%s: 96 in x 48 in"`) {
		job.lists = append(job.lists, &saw.SheetList{Item: needs[i].Item, Pieces: needs[i].Pieces, Stock: stock, Saw: how})
	}
}
