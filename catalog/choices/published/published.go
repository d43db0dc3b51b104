// Package published reads rule bases in the two plain forms that others publish
// theirs in: Boolean clauses (DIMACS CNF) and allowed tables.
package published

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"

	"billwright/catalog/choices"
)

// The values of a field read from clauses.
const (
	Off = "off"
	On  = "on"
)

// maxLine bounds a line of either form.
const maxLine = 1 << 22

// DIMACS reads clauses in the form of the DIMACS challenge of 1993: comments
// "c N name" may name variable N, "p cnf VARIABLES CLAUSES" comes first, and
// each clause is signed variables up to a 0. A variable becomes a field with the
// values Off and On, a clause a rule that forbids its opposite.
func DIMACS(in io.Reader) (*choices.Base, error) {
	d := &dimacs{names: map[int]string{}}
	lines := bufio.NewScanner(in)
	lines.Buffer(nil, maxLine)
	for lines.Scan() {
		d.line++
		if err := d.read(strings.Fields(lines.Text())); err != nil {
			return nil, fmt.Errorf("line %d: %w", d.line, err)
		}
	}
	switch {
	case lines.Err() != nil:
		return nil, fmt.Errorf("line %d: %w", d.line+1, lines.Err())
	case d.base == nil:
		return nil, fmt.Errorf("there is no line 'p cnf VARIABLES CLAUSES'")
	case len(d.clause) > 0:
		return nil, fmt.Errorf("line %d: the last clause does not end with 0", d.line)
	}
	return d.base, nil
}

type dimacs struct {
	base   *choices.Base
	names  map[int]string
	clause []int
	line   int
}

func (d *dimacs) read(words []string) error {
	switch {
	case len(words) == 0:
		return nil
	case words[0] == "c":
		if len(words) == 3 {
			if n, err := strconv.Atoi(words[1]); err == nil {
				d.names[n] = words[2]
			}
		}
		return nil
	case words[0] == "p":
		return d.head(words)
	case d.base == nil:
		return fmt.Errorf("a clause stands before the line 'p cnf VARIABLES CLAUSES'")
	}
	for _, word := range words {
		n, err := strconv.Atoi(word)
		switch {
		case err != nil:
			return fmt.Errorf("%q is no variable", word)
		case n == 0:
			d.finish()
		case max(n, -n) > len(d.base.Fields):
			return fmt.Errorf("variable %d is more than the %d announced", max(n, -n), len(d.base.Fields))
		default:
			d.clause = append(d.clause, n)
		}
	}
	return nil
}

// most is how many variables are read.
const most = 100_000

func (d *dimacs) head(words []string) error {
	if len(words) != 4 || words[1] != "cnf" || d.base != nil {
		return fmt.Errorf("%q is not the one line 'p cnf VARIABLES CLAUSES'", strings.Join(words, " "))
	}
	n, err := strconv.Atoi(words[2])
	if err != nil || n < 0 || n > most {
		return fmt.Errorf("%q is no number of variables up to %d", words[2], most)
	}
	d.base = &choices.Base{}
	used := map[string]bool{}
	for i := 1; i <= n; i++ {
		code := d.names[i]
		if code == "" || used[code] {
			code = strconv.Itoa(i)
		}
		used[code] = true
		d.base.Fields = append(d.base.Fields, choices.Field{Code: code, Values: []string{Off, On}})
	}
	return nil
}

// finish notes a clause. One that holds a variable and its opposite says
// nothing.
func (d *dimacs) finish() {
	signs := map[int]int{}
	row := choices.Row{}
	vacuous := false
	for _, n := range d.clause {
		v, value := max(n, -n), Off
		if n < 0 {
			value = On
		}
		if before, seen := signs[v]; seen {
			vacuous = vacuous || before != n
			continue
		}
		signs[v] = n
		row = append(row, choices.Term{Field: d.base.Fields[v-1].Code, Set: choices.Set{Values: []string{value}}})
	}
	d.clause = d.clause[:0]
	if !vacuous {
		d.base.Rules = append(d.base.Rules, choices.Rule{ID: fmt.Sprintf("clause %d", len(d.base.Rules)+1), Forbid: []choices.Row{row}})
	}
}
