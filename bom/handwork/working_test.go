// Package handwork re-adds the golden bills that were worked apart from the
// program, of which it knows nothing: it reads each file's working, line by line,
// reckons every step again with exact fractions, and makes sure that every
// figure of the bill is the result of some step. What a step says is trusted
// no further than its arithmetic; whether the steps are the right ones is read
// by people, and by the golden tests of package bom, which compare the bill.
//
// The working was worked out apart from the program, from the handbook's
// formulas and the catalog's figures. Its lines are
//
//	# a remark
//	name = 72 in                                   a figure as given
//	name = 29 - 1 1/4 - 2 = 25 3/4 in              exact
//	name = pi * 3/4 = 2.356 in (within 0.0005)     within what stands behind it
//	name: 6 <= 7.42 < 8                            a comparison
//	2026-11-30 to 2026-12-04 = 5 days              Mondays to Fridays
//
// with + - * / set off by spaces (3/4 is one number, 1 1/4 too), parentheses,
// pi, ceil(x), floor(x), up(x, step) and nearest(x, step), halves upwards.
package handwork

import (
	"fmt"
	"math/big"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/tools/txtar"
)

// step is a line's result.
type step struct {
	value *big.Rat
	unit  string
}

// unitsOfMeasure is what may stand behind a figure.
var unitsOfMeasure = strings.Fields("in in2 in3 mm mm2 cm m m2 m3 lb lb/in lb/ft3 kg kg/m3 ft2 ft3 bf yd gal mL L g min h deg pcs rows class days")

// constants are the only long numbers that a step may use without an earlier
// one having come to them: 1 in3 in mL, 1 ft2 in cm2, 1 lb in g, 1 US gallon in
// mL, 1 in2 in mm2 (all exact, from the inch of 1959), the mill's weight of one
// tube in lb/ft, the movement of white oak and black cherry, and that of the
// metric workshop's elm.
var constants = strings.Fields("16.387064 929.0304 453.59237 3785.411784 645.16 1.5995 0.00365 0.00248 0.0025")

func TestEveryStepOfTheWorkingIsRight(t *testing.T) {
	files := handFiles(t)
	if len(files) < 4 {
		t.Fatalf("%d bills with a working, want at least 4", len(files))
	}
	for name, file := range files {
		t.Run(name, func(t *testing.T) {
			var results []step
			for i, line := range strings.Split(strings.TrimSpace(file["working"]), "\n") {
				result, err := readLine(line, results)
				if err != nil {
					t.Errorf("working, line %d: %q: %v", i+1, line, err)
				}
				if result != nil {
					results = append(results, *result)
				}
			}
			if len(results) < 50 {
				t.Errorf("%d results, want a working from the order to the last carton", len(results))
			}
			for section, text := range file {
				if section != "working" && section != "order.jsonl" {
					figuresAppear(t, section, text, file["working"], results)
				}
			}
		})
	}
}

// handFiles are the golden bills with a working: name, section, text.
func handFiles(t *testing.T) map[string]map[string]string {
	t.Helper()
	paths, err := filepath.Glob("../../testdata/golden/*.txtar")
	if err != nil {
		t.Fatal(err)
	}
	files := make(map[string]map[string]string)
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		sections := make(map[string]string)
		for _, file := range txtar.Parse(data).Files {
			sections[file.Name] = string(file.Data)
		}
		if _, found := sections["working"]; found {
			files[strings.TrimSuffix(filepath.Base(path), ".txtar")] = sections
		}
	}
	return files
}

// All sections that the program has must be worked by hand somewhere.
func TestTheWorkingsCoverEverySection(t *testing.T) {
	covered := make(map[string]bool)
	all := ""
	for _, file := range handFiles(t) {
		for section, text := range file {
			covered[section] = true
			all += text
		}
	}
	for _, section := range strings.Fields("lines steel wood glass stone finish routes batches cushions cloth pooled hardware cartons lifts cautions materials price promise holds") {
		if !covered[section] {
			t.Errorf("no bill worked by hand has the section %s", section)
		}
	}
	for _, must := range []string{`"straight"`, `"mitred"`, `"rolled ring"`, `"bent"`, `"hoop"`, `"scroll"`, `"drawn"`, `"upset"`, `"twisted"`, "own material", "powder", "liquid", "joined", "two persons", `"50/10"`,
		`"half boat"`, "matched", "profile", "mating", "overhang", "range", "load", "bought blank", "parcel", "Skid made to size", "elongated", "one piece", "leather", "hides", "until", "K 0.4", "plane 90", "forged square", "both ends", "pattern", "flaws", "on the bias", "contrast", "outline", "trimming", "share", " kg/m3", " m3", " L "} {
		if !strings.Contains(all, must) {
			t.Errorf("no bill worked by hand has %s", must)
		}
	}
}

var (
	within    = regexp.MustCompile(`^(.*) \(within (\d+\.\d+)\)$`)
	span      = regexp.MustCompile(`^(\d{4}-\d{2}-\d{2}) to (\d{4}-\d{2}-\d{2}) = (\d+) days$`)
	isoDate   = regexp.MustCompile(`\b\d{4}-\d{2}-\d{2}\b`)
	quotedRun = regexp.MustCompile(`"[^"]*"`)
)

// readLine checks one line of working; a remark or a comparison has no result.
func readLine(line string, earlier []step) (*step, error) {
	if line == "" || strings.HasPrefix(line, "# ") {
		return nil, nil
	}
	if days := span.FindStringSubmatch(line); days != nil {
		return readSpan(days)
	}
	if name, comparison, found := strings.Cut(line, ": "); found && !strings.Contains(name, " = ") {
		return nil, compare(comparison, earlier)
	}
	tolerance := new(big.Rat)
	if m := within.FindStringSubmatch(line); m != nil {
		line = m[1]
		tolerance.SetString(m[2])
	}
	parts := strings.Split(line, " = ")
	if len(parts) < 2 {
		return nil, fmt.Errorf("neither a remark nor a step")
	}
	result, err := readFigure(parts[len(parts)-1])
	if err != nil {
		return nil, err
	}
	for _, expression := range parts[1 : len(parts)-1] {
		got, err := evaluate(expression, earlier)
		if err != nil {
			return result, err
		}
		if off := new(big.Rat).Sub(got, result.value); off.Abs(off).Cmp(tolerance) > 0 {
			return result, fmt.Errorf("it comes to %s", got.FloatString(10))
		}
	}
	return result, nil
}

func readSpan(m []string) (*step, error) {
	from, err := time.Parse(time.DateOnly, m[1])
	if err != nil {
		return nil, err
	}
	to, err := time.Parse(time.DateOnly, m[2])
	if err != nil {
		return nil, err
	}
	n := 0
	for day := from; !day.After(to); day = day.AddDate(0, 0, 1) {
		if day.Weekday() != time.Saturday && day.Weekday() != time.Sunday {
			n++
		}
	}
	if fmt.Sprint(n) != m[3] {
		return nil, fmt.Errorf("there are %d days from Monday to Friday", n)
	}
	return &step{new(big.Rat).SetInt64(int64(n)), "days"}, nil
}

// compare checks "6 <= 7.42 < 8".
func compare(text string, earlier []step) error {
	words := strings.Fields(text)
	var sides []*big.Rat
	var signs []string
	start := 0
	for i := range len(words) + 1 {
		if i < len(words) && words[i] != "<" && words[i] != "<=" {
			continue
		}
		value, err := evaluate(strings.Join(words[start:i], " "), earlier)
		if err != nil {
			return err
		}
		sides = append(sides, value)
		if i < len(words) {
			signs = append(signs, words[i])
		}
		start = i + 1
	}
	if len(signs) == 0 {
		return fmt.Errorf("nothing is compared")
	}
	for i, sign := range signs {
		if c := sides[i].Cmp(sides[i+1]); c > 0 || c == 0 && sign == "<" {
			return fmt.Errorf("%s %s %s is wrong", sides[i].FloatString(6), sign, sides[i+1].FloatString(6))
		}
	}
	return nil
}

// readFigure reads "25 1/2 in", "3.06 ft2" or "1530.00".
func readFigure(text string) (*step, error) {
	words := strings.Fields(text)
	name := ""
	if n := len(words); n > 1 && slices.Contains(unitsOfMeasure, words[n-1]) {
		name, words = words[n-1], words[:n-1]
	}
	value, ok := number(strings.Join(words, " "))
	if !ok {
		return nil, fmt.Errorf("%q is no figure", text)
	}
	return &step{value, name}, nil
}

var numeral = regexp.MustCompile(`^(\d+ \d+/\d+|\d+/\d+|\d+\.\d+|\d+)$`)

func number(text string) (*big.Rat, bool) {
	if !numeral.MatchString(text) {
		return nil, false
	}
	whole, fraction, mixed := strings.Cut(text, " ")
	value, ok := new(big.Rat).SetString(whole)
	if !ok {
		return nil, false
	}
	if mixed {
		part, ok := new(big.Rat).SetString(fraction)
		if !ok {
			return nil, false
		}
		value.Add(value, part)
	}
	return value, true
}

// figuresAppear makes sure that each figure of a section is some step's result.
func figuresAppear(t *testing.T, section, text, working string, results []step) {
	t.Helper()
	for i, line := range strings.Split(text, "\n") {
		line = quotedRun.ReplaceAllString(line, "")
		line = regexp.MustCompile(`\bline \d+`).ReplaceAllString(line, "")
		for _, date := range isoDate.FindAllString(line, -1) {
			if !strings.Contains(working, " to "+date+" = ") {
				t.Errorf("%s, line %d: %s ends no run of working days", section, i+1, date)
			}
		}
		for _, figure := range figures(isoDate.ReplaceAllString(line, "")) {
			if !slices.ContainsFunc(results, figure.is) {
				t.Errorf("%s, line %d: no step comes to %s %s", section, i+1, figure.value.FloatString(6), figure.unit)
			}
		}
	}
}

// is tells that a step came to a bill's figure; a bare whole number is a count
// of whatever the step counts.
func (figure step) is(s step) bool {
	return s.value.Cmp(figure.value) == 0 && (s.unit == figure.unit || figure.unit == "" && figure.value.IsInt())
}

// figures are the numbers of a line with their units.
func figures(line string) (list []step) {
	// Two spaces part columns: "20  3/4 in" are two figures.
	words := strings.Fields(strings.NewReplacer("in a row", "", "  ", " | ").Replace(line))
	for i := 0; i < len(words); i++ {
		text := words[i]
		if i+1 < len(words) && numeral.MatchString(text+" "+words[i+1]) {
			i++
			text += " " + words[i]
		}
		value, ok := number(strings.TrimSuffix(text, ","))
		if !ok {
			continue
		}
		figure := step{value: value}
		if i+1 < len(words) {
			if name := strings.TrimSuffix(words[i+1], ","); slices.Contains(unitsOfMeasure, name) {
				figure.unit = name
			}
		}
		if first := i - len(strings.Fields(text)); first >= 0 && words[first] == "class" {
			figure.unit = "class"
		}
		list = append(list, figure)
	}
	return list
}

// A check that finds nothing wrong with wrong lines would be no check.
func TestWrongWorkingIsFound(t *testing.T) {
	right := []string{
		"leg length = 29 - 1 1/4 - 2 - 1/4 = 25 1/2 in", "a = 2 * (1/2 + 3) / 7 = 1", "ring = pi * (12 - 3/4) = 35.343 in (within 0.0005)",
		"n = ceil(57 / 18) + 1 = 5 pcs", "cut = up(54.2832, 1/32) = 54 5/16 in", "cut = nearest(2 1/64, 1/32) = 2 1/32 in",
		"class: 6 <= 7.42 < 8", "2026-11-30 to 2026-12-04 = 5 days", "given = 72 in", "# a remark", "x = floor(7 / 2) = 3",
	}
	earlier := []step{{big.NewRat(542832, 10000), "in"}}
	for _, line := range right {
		if _, err := readLine(line, earlier); err != nil {
			t.Errorf("%q: %v", line, err)
		}
	}
	wrong := []string{
		"leg length = 29 - 1 1/4 - 2 - 1/4 = 25 1/4 in", "a = 2 * 1/2 + 3 = 7", "ring = pi * 2 = 6.283 in", "ring = pi * 2 = 6.284 in (within 0.0005)",
		"class: 6 <= 5.99 < 8", "class: 6 <= 8 < 8", "2026-11-30 to 2026-12-05 = 6 days", "n = ceil(57 / 18 = 4", "n = 1 + = 1", "n = 1 / 0 = 1",
		"n = sqrt(4) = 2", "two in", "n = 3 + 4 = seven", "n = 12.34567 + 1 = 13.34567", "n: 3", "2026-02-30 to 2026-03-01 = 1 days",
	}
	for _, line := range wrong {
		if _, err := readLine(line, earlier); err == nil {
			t.Errorf("%q is taken", line)
		}
	}
	if list := figures(`  blank  73 in x 36 1/2 in, 3 of 4.50 lb base/leg-2 45° class 92.5  20  3/4 in`); len(list) != 7 || list[4].unit != "class" || list[5].unit != "" || list[1].value.Cmp(big.NewRat(73, 2)) != 0 || list[3].unit != "lb" {
		t.Errorf("figures read as %v", list)
	}
}
