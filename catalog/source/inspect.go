package source

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

// place is where in a file and below which keys the reader stands.
type place struct {
	file   string
	path   []string
	faults *faults
}

func (p *place) enter(key string) { p.path = append(p.path, key) }
func (p *place) leave()           { p.path = p.path[:len(p.path)-1] }

func (p *place) pos(n *yaml.Node) Pos { return Pos{File: p.file, Line: n.Line, Column: n.Column} }

func (p *place) where() string {
	short := make([]string, len(p.path))
	for i, key := range p.path {
		short[i] = shorten(key)
	}
	return strings.Join(short, " › ")
}

func (p *place) fault(n *yaml.Node, message, hint string) {
	if p.faults.full() {
		p.faults.dropped++
		return
	}
	p.faults.add(Fault{Pos: p.pos(n), Where: p.where(), Message: message, Hint: hint})
}

// faults collects up to MaxFaults faults and counts the rest.
type faults struct {
	list    []Fault
	dropped int
}

func (f *faults) full() bool { return len(f.list) >= MaxFaults }

func (f *faults) add(fault Fault) {
	if f.full() {
		f.dropped++
		return
	}
	f.list = append(f.list, fault)
}

// sorted gives the faults in order, and last how many more there were.
func (f *faults) sorted() []Fault {
	SortFaults(f.list)
	if f.dropped > 0 {
		f.list = append(f.list, Fault{Message: fmt.Sprintf("%d more faults are not listed", f.dropped), Hint: "mend the first ones and check again"})
	}
	return f.list
}

// inspector looks through a whole file for what is refused anywhere in it.
type inspector struct {
	place
	bangs   []spot // where a "!" stands that may be a tag, in order
	nodes   int
	tooMuch bool // too deep or too many: the file is not read further
}

// node inspects n, which stands depth levels deep; the top is 1.
func (in *inspector) node(n *yaml.Node, depth int) {
	in.nodes++
	switch {
	case in.tooMuch:
		return
	case in.nodes > MaxFileNodes:
		in.tooMuch = true
		in.faults.add(*tooManyNodes(in.file))
		return
	case depth > MaxDepth && n.Kind != yaml.ScalarNode:
		in.tooMuch = true
		in.fault(n, fmt.Sprintf("more than %d mappings and lists inside one another", MaxDepth), "")
		return
	}
	in.marks(n)
	switch n.Kind {
	case yaml.MappingNode:
		in.mapping(n, depth)
	case yaml.SequenceNode:
		for i, item := range n.Content {
			in.enter(fmt.Sprint(i + 1))
			in.node(item, depth+1)
			in.leave()
		}
	case yaml.ScalarNode:
		if i := strings.IndexFunc(n.Value, isControl); i >= 0 {
			in.fault(n, fmt.Sprintf("the text holds the control character %U", []rune(n.Value[i:])[0]), "leave the escape out")
		}
	}
}

func (in *inspector) mapping(n *yaml.Node, depth int) {
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		if isMerge(key) {
			in.fault(key, "a merge key (<<) is not read", "write the keys out")
		}
		in.node(key, depth+1)
		in.enter(key.Value)
		in.node(value, depth+1)
		in.leave()
	}
}

// marks refuses what YAML lets stand before a value: anchors and tags.
func (in *inspector) marks(n *yaml.Node) {
	switch {
	case n.Kind == yaml.AliasNode:
		in.fault(n, "the alias *"+shorten(n.Value)+" is not read", "write the value out")
	case n.Anchor != "":
		in.fault(n, "the anchor &"+shorten(n.Anchor)+" is not read", "leave it out and write the value out where it is used")
	case in.tagged(n):
		in.fault(n, "a tag (!) is not read", "leave it out, or put the text in quotes")
	}
}

// tagged tells whether a tag stands before n. The parser forgets a lone "!",
// which the text at the node's place still shows.
func (in *inspector) tagged(n *yaml.Node) bool {
	_, bang := slices.BinarySearchFunc(in.bangs, spot{int32(n.Line), int32(n.Column)}, compareSpots)
	return bang || n.Style&yaml.TaggedStyle != 0
}

// spot is a place in a text; MaxFileBytes keeps both numbers small.
type spot struct{ line, column int32 }

func compareSpots(a, b spot) int {
	return cmp.Or(cmp.Compare(a.line, b.line), cmp.Compare(a.column, b.column))
}

// findBangs lists the places of every "!" that begins a word.
func findBangs(text []byte) []spot {
	var found []spot
	if bytes.IndexByte(text, '!') < 0 {
		return nil
	}
	at, before := spot{1, 1}, ' '
	for _, r := range string(text) {
		if r == '!' && strings.ContainsRune(" \n[{,:-?", before) {
			found = append(found, at)
		}
		at.column++
		if r == '\n' {
			at = spot{at.line + 1, 1}
		}
		before = r
	}
	return found
}

// isMerge tells whether a key is YAML's "<<", which in quotes is a plain key.
func isMerge(key *yaml.Node) bool {
	return key.Kind == yaml.ScalarNode && key.Tag == "!!merge"
}

// kindOf names what a node is, as people would.
func kindOf(n *yaml.Node) string {
	switch n.Kind {
	case yaml.SequenceNode:
		return "a list"
	case yaml.MappingNode:
		return "keys and values"
	case yaml.AliasNode:
		return "an alias"
	}
	return "text"
}

// shorten cuts text that would drown the sentence around it.
func shorten(text string) string {
	const most = 60
	count := 0
	for i := range text {
		if count == most {
			return text[:i] + "…"
		}
		count++
	}
	return text
}

func quote(text string) string { return fmt.Sprintf("%q", shorten(text)) }
