package bom

import (
	"fmt"
	"strings"
	"testing"
)

func TestBillsAreComparedByPositionPath(t *testing.T) {
	was := `{"revision":1,"lines":[{"line":1,"steel":[{"path":"base/leg","pieces":4},{"path":"base/rail","pieces":2}],"cautions":[{"path":"base/leg"}]}],"batches":[{"path":"batch/a/b","n":1}]}`
	is := `{"revision":2,"lines":[{"line":1,"steel":[{"path":"base/rail","pieces":2},{"path":"base/leg","pieces":6}]},{"line":2,"wood":[{"path":"top","unit":2}]}]}`
	changes, err := Compare([]byte(was), []byte(is))
	if err != nil {
		t.Fatal(err)
	}
	var said []string
	for _, c := range changes {
		said = append(said, fmt.Sprintf("%d %s %s %d %s>%s", c.Line, c.Part, c.Path, c.Unit, c.Was, c.Is))
	}
	want := `0 batches batch/a/b 0 {"path":"batch/a/b","n":1}>
1 steel base/leg 0 {"path":"base/leg","pieces":4}>{"path":"base/leg","pieces":6}
2 wood top 2 >{"path":"top","unit":2}`
	if got := strings.Join(said, "\n"); got != want {
		t.Errorf("%s\nwant\n%s", got, want)
	}
	if _, err := Compare([]byte(`x`), []byte(is)); err == nil {
		t.Error("what is no bill was compared")
	}
}
