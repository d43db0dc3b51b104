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
	plans, err := job.reckon(ctx)
	if err != nil {
		return err
	}
	if job.svg != "" {
		if err := job.draw(plans); err != nil {
			return err
		}
	}
	return job.print(out, plans)
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

// reckon plans every group. With a deadline each has its share of the time, and
// what the groups before it left.
func (j *cutJob) reckon(ctx context.Context) ([]*saw.Plan, error) {
	begun := time.Now()
	var plans []*saw.Plan
	var refused saw.Refused
	for i, list := range j.lists {
		o := cutting.Options{Work: cutWork, Stop: func() bool { return ctx.Err() != nil }}
		if j.deadline >= 0 {
			share := time.Duration(float64(j.deadline) * float64(i+1) / float64(len(j.lists)))
			o.Work, o.Stop = math.MaxInt64, func() bool { return ctx.Err() != nil || time.Since(begun) >= share }
		}
		plan, err := saw.Reckon(list, o)
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

// draw writes one drawing for each group.
func (j *cutJob) draw(plans []*saw.Plan) error {
	if err := os.MkdirAll(j.svg, 0o755); err != nil {
		return fmt.Errorf("make the folder of the drawings: %w", err)
	}
	taken := map[string]bool{}
	for _, plan := range plans {
		name := drawingName(plan.Section, taken)
		var text strings.Builder
		if err := saw.Draw(&text, plan.Title(), []*saw.Plan{plan}, j.units); err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(j.svg, name), []byte(text.String()), 0o644); err != nil {
			return fmt.Errorf("write a drawing: %w", err)
		}
	}
	return nil
}

// drawingName is a file's name for a group that nobody else has.
func drawingName(group string, taken map[string]bool) string {
	safe := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' {
			return r
		}
		return '-'
	}, group)
	stem := strings.TrimSuffix("bars-"+safe, "-")
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
		document, err := bom.Document(j.units, struct {
			Groups []*saw.Plan `json:"groups"`
		}{plans})
		if err == nil {
			_, err = fmt.Fprintf(out, "%s\n", document)
		}
		return err
	case "csv":
		return j.sheet(out, plans)
	}
	fmt.Fprintf(out, "Saw: %s\n", j.lists[0].Saw.Text(j.units))
	for _, plan := range plans {
		if _, err := fmt.Fprint(out, "\n"+plan.Text(j.units)); err != nil {
			return err
		}
	}
	return nil
}

func (j *cutJob) sheet(out io.Writer, plans []*saw.Plan) error {
	w := csv.NewWriter(out)
	rows := [][]string{saw.Heads(j.units)}
	for _, plan := range plans {
		rows = append(rows, plan.Rows(saw.NumberIn(j.units))...)
	}
	for _, row := range rows {
		if err := w.Write(row); err != nil {
			return err
		}
	}
	w.Flush()
	return w.Error()
}
