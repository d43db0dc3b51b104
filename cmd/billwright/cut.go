package main

import (
	"context"
	"encoding/csv"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"time"

	"billwright/bom"
	"billwright/bom/cutting"
	"billwright/bom/saw"
)

// runCut plans a list of pieces without a service or a database. A call or a
// list that is not understood is a usage error that tells every fault; pieces
// that do not fit end with exit status 1.
func runCut(ctx context.Context, args []string, out io.Writer) error {
	flags := flag.NewFlagSet("cut", flag.ContinueOnError)
	flags.SetOutput(out)
	var call cutCall
	call.register(flags)
	given, err := parseMixed(flags, args, "PIECES.csv")
	if err != nil {
		return err
	}
	job, err := call.read(given[0])
	if err != nil {
		return err
	}
	return job.run(ctx, out)
}

// planning is a call that was understood: of bars, or of sheets.
type planning interface {
	run(ctx context.Context, out io.Writer) error
}

func (j *cutJob) run(ctx context.Context, out io.Writer) error {
	plans, err := reckonAll(ctx, j.deadline, j.lists, saw.Reckon)
	if err != nil {
		return err
	}
	if j.svg != "" {
		err := drawAll(j.svg, "bars", plans, func(p *saw.Plan) string { return p.Section }, func(w io.Writer, p *saw.Plan) error {
			return saw.Draw(w, p.Title(), []*saw.Plan{p}, j.units)
		})
		if err != nil {
			return err
		}
	}
	return j.print(out, plans)
}

// cutWork bounds the reckoning of a group without a deadline, about ten seconds of
// one core.
const cutWork = 10_000_000_000

// cutJob is a call that was understood.
type cutJob struct {
	lists    []*saw.List
	units    bom.Units
	deadline time.Duration // below 0 is none
	format   string
	svg      string
}

// reckonAll plans every group. With a deadline each has its share of the time, and
// what the groups before it left; a deadline below 0 is none.
func reckonAll[List, Plan any](ctx context.Context, deadline time.Duration, lists []*List, reckon func(*List, cutting.Options) (*Plan, error)) ([]*Plan, error) {
	begun := time.Now()
	var plans []*Plan
	var refused saw.Refused
	for i, list := range lists {
		o := cutting.Options{Work: cutWork, Stop: func() bool { return ctx.Err() != nil }}
		if deadline >= 0 {
			share := time.Duration(float64(deadline) * float64(i+1) / float64(len(lists)))
			o.Work, o.Stop = math.MaxInt64, func() bool { return ctx.Err() != nil || time.Since(begun) >= share }
		}
		plan, err := reckon(list, o)
		var no *saw.Refused
		switch {
		case errors.As(err, &no):
			refused.Faults = append(refused.Faults, no.Faults...)
		case err != nil:
			return nil, err
		default:
			plans = append(plans, plan)
		}
	}
	switch {
	case len(refused.Faults) == 0:
		return plans, nil
	case refused.NoRoom():
		return nil, fmt.Errorf("pieces do not fit:\n%s", faultLines(refused.Faults))
	}
	return nil, fmt.Errorf("%w: cut:\n%s", errUsage, faultLines(refused.Faults))
}

func faultLines(faults []saw.Fault) string {
	lines := make([]string, len(faults))
	for i := range faults {
		lines[i] = "  " + faultLine(&faults[i])
	}
	return strings.Join(lines, "\n")
}

func faultLine(f *saw.Fault) string {
	var where []string
	switch {
	case f.Of == saw.OfPieces && f.Line > 0:
		where = append(where, fmt.Sprintf("row %d", f.Line))
	case f.Line > 0:
		where = append(where, fmt.Sprintf("%s %d", f.Of, f.Line))
	}
	if f.Field != "" && f.Of == saw.OfPieces {
		where = append(where, "column "+f.Field)
	}
	if len(where) == 0 {
		return f.Said
	}
	return strings.Join(where, ", ") + ": " + f.Said
}

// drawAll writes one drawing for each group into a folder.
func drawAll[Plan any](folder, of string, plans []*Plan, group func(*Plan) string, draw func(io.Writer, *Plan) error) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return fmt.Errorf("make the folder of the drawings: %w", err)
	}
	taken := map[string]bool{}
	for _, plan := range plans {
		name := drawingName(of, group(plan), taken)
		var text strings.Builder
		if err := draw(&text, plan); err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text.String()), 0o644); err != nil {
			return fmt.Errorf("write a drawing: %w", err)
		}
	}
	return nil
}

// drawingName is a file's name for a group that nobody else has.
func drawingName(of, group string, taken map[string]bool) string {
	safe := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' {
			return r
		}
		return '-'
	}, group)
	stem := strings.TrimSuffix(of+"-"+safe, "-")
	name := stem + ".svg"
	for n := 2; taken[name]; n++ {
		name = fmt.Sprintf("%s-%d.svg", stem, n)
	}
	taken[name] = true
	return name
}

func (j *cutJob) print(out io.Writer, plans []*saw.Plan) error {
	switch j.format {
	case "json":
		return printJSON(out, j.units, plans)
	case "csv":
		rows := [][]string{saw.Heads(j.units)}
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

func printJSON[Plan any](out io.Writer, units bom.Units, plans []*Plan) error {
	document, err := bom.Document(units, struct {
		Groups []*Plan `json:"groups"`
	}{plans})
	if err == nil {
		_, err = fmt.Fprintf(out, "%s\n", document)
	}
	return err
}

func printRows(out io.Writer, rows [][]string) error {
	w := csv.NewWriter(out)
	for _, row := range rows {
		if err := w.Write(row); err != nil {
			return err
		}
	}
	w.Flush()
	return w.Error()
}
