package published

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"

	"billwright/catalog/choices"
)

// Tables reads allowed tables: "V name values..." declares a field, "C name i
// j k" a table over the fields of those indices (from 0), and each line after
// it one row: for each field the index of a value, several joined by "|", or
// "*" for any. Lines that begin with "#" are comments.
func Tables(in io.Reader) (*choices.Base, error) {
	t := &tables{base: &choices.Base{}}
	lines := bufio.NewScanner(in)
	lines.Buffer(nil, maxLine)
	line := 0
	for lines.Scan() {
		line++
		if err := t.read(strings.Fields(lines.Text())); err != nil {
			return nil, fmt.Errorf("line %d: %w", line, err)
		}
	}
	if lines.Err() != nil {
		return nil, fmt.Errorf("line %d: %w", line+1, lines.Err())
	}
	if len(t.base.Fields) == 0 {
		return nil, fmt.Errorf("there is no field: each is declared by a line 'V name values...'")
	}
	return t.base, nil
}

type tables struct {
	base  *choices.Base
	scope []int
}

func (t *tables) read(words []string) error {
	switch {
	case len(words) == 0 || strings.HasPrefix(words[0], "#"):
		return nil
	case words[0] == "V":
		if len(words) < 3 {
			return fmt.Errorf("a field has a name and at least one value")
		}
		t.base.Fields = append(t.base.Fields, choices.Field{Code: words[1], Values: words[2:]})
		return nil
	case words[0] == "C":
		return t.table(words)
	}
	return t.row(words)
}

func (t *tables) table(words []string) error {
	if len(words) < 3 {
		return fmt.Errorf("a table has a name and the indices of its fields")
	}
	t.scope = nil
	for _, word := range words[2:] {
		i, err := strconv.Atoi(word)
		if err != nil || i < 0 || i >= len(t.base.Fields) {
			return fmt.Errorf("%q is no index of the %d fields declared so far", word, len(t.base.Fields))
		}
		t.scope = append(t.scope, i)
	}
	t.base.Rules = append(t.base.Rules, choices.Rule{ID: fmt.Sprintf("%s (table %d)", words[1], len(t.base.Rules)+1), Allow: []choices.Row{}})
	return nil
}

func (t *tables) row(words []string) error {
	if len(t.base.Rules) == 0 {
		return fmt.Errorf("a row stands before the first table")
	}
	if len(words) != len(t.scope) {
		return fmt.Errorf("the row has %d places, the table %d fields", len(words), len(t.scope))
	}
	row := choices.Row{}
	for i, word := range words {
		if word == "*" {
			continue
		}
		f := &t.base.Fields[t.scope[i]]
		var set choices.Set
		for _, one := range strings.Split(word, "|") {
			v, err := strconv.Atoi(one)
			if err != nil || v < 0 || v >= len(f.Values) {
				return fmt.Errorf("%q is no index of the %d values of %s", one, len(f.Values), f.Code)
			}
			set.Values = append(set.Values, f.Values[v])
		}
		row = append(row, choices.Term{Field: f.Code, Set: set})
	}
	r := &t.base.Rules[len(t.base.Rules)-1]
	r.Allow = append(r.Allow, row)
	return nil
}
