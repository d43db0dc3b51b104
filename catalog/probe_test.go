package catalog_test

import (
	"bytes"
	"fmt"
	"testing"

	"billwright/catalog"
	"billwright/catalog/source"
	"go.yaml.in/yaml/v3"
)

func TestProbe(t *testing.T) {
	for _, files := range [][]source.File{small(t), wide(t)} {
		for fi, f := range files {
			var n yaml.Node
			if err := yaml.Unmarshal(f.Bytes, &n); err != nil {
				t.Fatal(err)
			}
			var walk func(n *yaml.Node, key bool)
			walk = func(n *yaml.Node, key bool) {
				switch n.Kind {
				case yaml.ScalarNode:
					if key {
						return
					}
					lines := bytes.SplitAfter(f.Bytes, []byte("\n"))
					line := []rune(string(lines[n.Line-1]))
					at := n.Column - 1
					for _, bad := range []string{"'3??'", "12 parsecs"} {
						end := at + len([]rune(n.Value))
						if n.Style != 0 {
							end += 2
						}
						changed := string(line[:at]) + bad + string(line[end:])
						all := append([][]byte{}, lines...)
						all[n.Line-1] = []byte(changed)
						fs := append([]source.File{}, files...)
						fs[fi].Bytes = bytes.Join(all, nil)
						_, faults := catalog.Read(fs)
						if len(faults) > 1 {
							fmt.Printf("## %s:%d:%d %s -> %s\n", f.Path, n.Line, n.Column, n.Value, bad)
							for _, x := range faults {
								fmt.Println("   ", x)
							}
						}
					}
				case yaml.MappingNode:
					for i := 0; i < len(n.Content); i += 2 {
						walk(n.Content[i+1], false)
					}
				default:
					for _, c := range n.Content {
						walk(c, false)
					}
				}
			}
			walk(&n, false)
		}
	}
}
