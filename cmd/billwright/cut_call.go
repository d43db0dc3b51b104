package main

import (
	"flag"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"billwright/bom"
	"billwright/bom/cutting"
	"billwright/bom/saw"
	"billwright/catalog/unit"
)

// cutCall is a call as written. It is read after all flags are there, so that
// every fault of it is told at once.
type cutCall struct {
	stock, offcuts, sheet  []string
	kerf, trim, ends, keep string
	deadline, format, svg  string
	lengths, stages        int
	afterEvery, grain      bool
	faults                 []string
}

func (c *cutCall) register(flags *flag.FlagSet) {
	several := func(into *[]string) func(string) error {
		return func(text string) error { *into = append(*into, text); return nil }
	}
	flags.Func("stock", "a `bar` to buy, such as \"20 ft @ 41.20\" or \"20 ft\"; with \" x 3\" after it so many and no more; \"GROUP: \" before it for one group; several times", several(&c.stock))
	flags.Func("offcuts", "`lengths` on the rack, used first: \"70 in, 48 in x 3\", or of sheets sizes: \"30 in x 20 in, 48 in x 24 in x 3\"; \"GROUP: \" before them for one group; several times", several(&c.offcuts))
	flags.Func("sheet", "a `size` of sheets to buy, such as \"96 in x 48 in @ 61.50\", in place of --stock: the pieces are then rectangles, with a column width; with \" x 3\" after it so many and no more; \"GROUP: \" before it for one group; several times", several(&c.sheet))
	flags.BoolVar(&c.grain, "grain", false, "of sheets: pieces are not turned, but for those with no in a column grain")
	flags.IntVar(&c.stages, "stages", 0, "of sheets: how often the direction of cuts may change, plus one, a whole `number` from 2; 0 is no limit")
	flags.StringVar(&c.kerf, "kerf", "0 in", "`width` of a cut")
	flags.BoolVar(&c.afterEvery, "after-every", false, "the saw cuts after every piece, the last of a bar too; else only between pieces and before what is left")
	flags.StringVar(&c.trim, "trim", "0 in", "`length` cut off an end of each bar, or off each edge of a sheet")
	flags.StringVar(&c.ends, "trim-ends", "both", "which `ends` are trimmed: both, one or none")
	flags.StringVar(&c.keep, "keep", "0 in", "least leftover worth keeping, a `length`, of sheets of either side; 0 in keeps none")
	flags.IntVar(&c.lengths, "lengths", 0, "most different lengths on a bar, a whole `number`; 0 is no limit")
	flags.StringVar(&c.deadline, "deadline", "", "longest `time` to reckon, such as 5s; without it a bound on the work, about ten seconds for a group, so that every machine gives the same plan")
	flags.StringVar(&c.format, "format", "text", "`form` of the plan: text, json or csv")
	flags.StringVar(&c.svg, "svg", "", "also draw the bars or sheets of each group into this `folder`")
}

const maxPiecesFile = 64 << 20

func (c *cutCall) fault(format string, args ...any) {
	c.faults = append(c.faults, fmt.Sprintf(format, args...))
}

// read reads the call and its list, or tells every fault.
func (c *cutCall) read(path string) (planning, error) {
	if len(c.sheet) > 0 {
		return c.readSheets(path)
	}
	if c.grain || c.stages != 0 {
		c.fault("--grain and --stages are of sheets; name them by --sheet")
	}
	job := &cutJob{deadline: c.time(), format: c.format, svg: c.svg, units: bom.Inch}
	if !slices.Contains([]string{"text", "json", "csv"}, c.format) {
		c.fault("--format %q is none of text, json and csv", c.format)
	}
	how := c.saw()
	stock := c.bars(job)
	needs := c.pieces(path)
	if len(needs) > 0 {
		c.share(job, needs, stock, how)
	}
	if len(c.faults) > 0 {
		return nil, fmt.Errorf("%w: cut:\n  %s", errUsage, strings.Join(c.faults, "\n  "))
	}
	return job, nil
}

func (c *cutCall) time() time.Duration {
	if c.deadline == "" {
		return -1
	}
	d, err := time.ParseDuration(c.deadline)
	if err != nil || d < 0 {
		c.fault("--deadline %q is no time; write it as 5s or 1m30s", c.deadline)
	}
	return d
}

func (c *cutCall) length(name, text string) unit.Length {
	l, err := unit.ParseLength(strings.TrimSpace(text))
	if err != nil {
		c.fault("--%s: %v", name, err)
	}
	return l
}

func (c *cutCall) saw() saw.Saw {
	how := saw.Saw{Kerf: c.length("kerf", c.kerf), AfterEvery: c.afterEvery, Keep: c.length("keep", c.keep), Lengths: c.lengths}
	trim := c.length("trim", c.trim)
	switch c.ends {
	case "both":
		how.TrimStart, how.TrimEnd = trim, trim
	case "one":
		how.TrimStart = trim
	case "none":
	default:
		c.fault("--trim-ends %q is none of both, one and none", c.ends)
	}
	return how
}

// grouped is a bar or a sheet as it was asked for; of all groups where none is
// named.
type grouped[Stock any] struct {
	stock Stock
	group string
	all   bool
	text  string
}

// bars reads --stock and --offcuts. The plan is in millimetres where the first
// bar is.
func (c *cutCall) bars(job *cutJob) []grouped[saw.Stock] {
	var bars []grouped[saw.Stock]
	if len(c.stock)+len(c.offcuts) == 0 {
		c.fault("--stock is missing: name at least one bar, such as --stock \"20 ft @ 41.20\"")
	}
	for i, text := range c.stock {
		group, bar, all := groupOf(text)
		stock, err := saw.ParseStock(bar)
		if err != nil {
			c.fault("--stock %q: %v", text, err)
			continue
		}
		if i == 0 && metricBar(bar) {
			job.units = bom.Metric
		}
		bars = append(bars, grouped[saw.Stock]{stock, group, all, "--stock " + text})
	}
	for _, text := range c.offcuts {
		group, list, all := groupOf(text)
		offcuts, faults := saw.ParseOffcuts(list)
		for _, f := range faults {
			c.fault("--offcuts %q: %s", text, f.Said)
		}
		for _, o := range offcuts {
			bars = append(bars, grouped[saw.Stock]{saw.Stock{Length: o.Length, Limit: o.Count, Offcut: true}, group, all, "--offcuts " + text})
		}
	}
	return bars
}

func groupOf(text string) (group, rest string, all bool) {
	before, after, found := strings.Cut(text, ":")
	if !found {
		return "", strings.TrimSpace(text), true
	}
	return strings.TrimSpace(before), strings.TrimSpace(after), false
}

// metricBar tells that a bar was written in millimetres, centimetres or metres.
func metricBar(text string) bool {
	length, _, _ := strings.Cut(text, "@")
	length, _, _ = strings.Cut(length, " x ")
	entry, err := unit.ParseEntry(strings.TrimSpace(length))
	return err == nil && entry.Unit == unit.MetricEntry
}

func (c *cutCall) pieces(path string) []saw.Need {
	return listOf(c, path, saw.ReadPieces)
}

// listOf reads a list of pieces from a file, or tells every fault of it.
func listOf[Need any](c *cutCall, path string, read func(io.Reader) ([]Need, []saw.Fault)) []Need {
	file, err := os.Open(path)
	if err != nil {
		c.fault("%v", err)
		return nil
	}
	defer file.Close()
	if info, err := file.Stat(); err == nil && info.Size() > maxPiecesFile {
		c.fault("%s has %d bytes; at most %d are read", path, info.Size(), maxPiecesFile)
		return nil
	}
	needs, faults := read(io.LimitReader(file, maxPiecesFile))
	for i := range faults {
		c.fault("%s: %s", path, faultLine(&faults[i]))
	}
	return needs
}

// share gives each group of pieces the bars that are for it.
func (c *cutCall) share(job *cutJob, needs []saw.Need, bars []grouped[saw.Stock], how saw.Saw) {
	groups := make([]string, len(needs))
	for i := range needs {
		groups[i] = needs[i].Section
	}
	limited := func(s saw.Stock) bool { return s.Limit != cutting.Unlimited }
	for i, stock := range shared(c, groups, bars, limited, "bar", `--stock "%s: 20 ft"`) {
		job.lists = append(job.lists, &saw.List{Section: needs[i].Section, Pieces: needs[i].Pieces, Stock: stock, Saw: how})
	}
}

// shared gives each group what is for it, and tells of a group that has no
// pieces, of pieces that have nothing to be cut from, and of what there is only
// so much of where it is for no group in particular. Example is a call that names
// some for a group.
func shared[Stock any](c *cutCall, groups []string, all []grouped[Stock], limited func(Stock) bool, what, example string) [][]Stock {
	for _, one := range all {
		switch {
		case !one.all && !slices.Contains(groups, one.group):
			c.fault("%s: no piece is of the group %q", one.text, one.group)
		case one.all && len(groups) > 1 && limited(one.stock):
			c.fault("%s: there are %d groups of pieces; say for which these %ss are, as \"GROUP: \" before them", one.text, len(groups), what)
		}
	}
	by := make([][]Stock, len(groups))
	for i, group := range groups {
		for _, one := range all {
			if one.all || one.group == group {
				by[i] = append(by[i], one.stock)
			}
		}
		if len(by[i]) == 0 {
			c.fault("no %s is for the pieces of the group %q; name one by %s", what, group, fmt.Sprintf(example, group))
		}
	}
	return by
}
