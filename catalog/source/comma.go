package source

import (
	"fmt"
	"regexp"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Between braces a comma ends a value, so that in {movement: 0,0025} YAML reads
// the value 0 and a key 0025 that has no value; and in {pieces: max(a, b)} the
// value max(a and a key b) that has none.

var (
	endsInDigit   = regexp.MustCompile(`[0-9]$`)
	restOfNumber  = regexp.MustCompile(`^[0-9][0-9.]*( ?[%a-z/0-9"']+)?$`)
	threeAndCents = regexp.MustCompile(`^[0-9]{3}(\.[0-9]+)?( .*)?$`)
)

// partedByComma gives the key after the i-th node of a mapping, which is a key,
// when it is the rest of a number that a comma parted.
func partedByComma(n *yaml.Node, i int) *yaml.Node {
	if n.Style&yaml.FlowStyle == 0 || i+3 >= len(n.Content) {
		return nil
	}
	value, key := n.Content[i+1], n.Content[i+2]
	together := value.Kind == yaml.ScalarNode && value.Style == 0 && key.Style == 0 &&
		key.Line == value.Line && key.Column == value.Column+len([]rune(value.Value))+1
	if together && isNull(n.Content[i+3]) && endsInDigit.MatchString(value.Value) && restOfNumber.MatchString(key.Value) {
		return key
	}
	return nil
}

// commaInNumber reports a number that a comma parted.
func (d *decoder) commaInNumber(value, rest *yaml.Node) {
	hint := fmt.Sprintf("write %s.%s", value.Value, rest.Value)
	if threeAndCents.MatchString(rest.Value) && value.Value != "0" {
		hint = fmt.Sprintf("write %s%s", strings.TrimLeft(value.Value, "$€£ "), rest.Value)
	}
	d.fault(value, "a comma in the number "+quote(value.Value+","+rest.Value), hint)
}

// formulaPartedByComma gives the keys after the i-th node of a mapping, which is
// a key, when they are the rest of a text whose round brackets a comma parted.
func formulaPartedByComma(n *yaml.Node, i int) (rest []*yaml.Node) {
	if value := n.Content[i+1]; n.Style&yaml.FlowStyle == 0 || value.Kind != yaml.ScalarNode || value.Style != 0 {
		return nil
	}
	open := unclosed(n.Content[i+1].Value)
	for j := i + 2; open > 0 && j+1 < len(n.Content); j += 2 {
		key := n.Content[j]
		if key.Kind != yaml.ScalarNode || key.Style != 0 || !isNull(n.Content[j+1]) {
			return nil
		}
		open += unclosed(key.Value)
		rest = append(rest, key)
	}
	if open != 0 {
		return nil
	}
	return rest
}

// unclosed is how many round brackets a text opens more than it closes.
func unclosed(text string) int {
	return strings.Count(text, "(") - strings.Count(text, ")")
}

// commaInFormula reports a text that commas parted.
func (d *decoder) commaInFormula(value *yaml.Node, rest []*yaml.Node) {
	whole := value.Value
	for _, part := range rest {
		whole += ", " + part.Value
	}
	d.fault(value, "a comma between braces ends the value in "+quote(whole), "put the whole of it in double quotes")
}
