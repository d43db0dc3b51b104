package choices

import (
	"fmt"
	"os"
	"testing"
	"time"
)

var ReadProbe func(path string) *Base

func TestProbe(t *testing.T) {
	for _, name := range []string{"berkeleydb.dimacs", "eshop-lau2006.dimacs", "pc.tbl", "renault-partial.tbl", "financial-2018-05-09.dimacs", "automotive01.dimacs"} {
		if only := os.Getenv("ONLY"); only != "" && only != name { continue }
		raw := ReadProbe("/work/shared/rules/" + name)
		begin := time.Now()
		b, err := ready(raw)
		if err != nil { t.Fatal(err) }
		t1 := time.Since(begin)
		dom := make([]uint64, b.words)
		for i := range b.fields { f := &b.fields[i]; fill(dom[f.off:f.off+f.words], f.size) }
		c := condition(b, dom, true)
		t2 := time.Since(begin)
		p := newProblem(c)
		t3 := time.Since(begin)
		d := compile(p, 2_000_000, 300_000_000)
		t4 := time.Since(begin)
		fmt.Println(name, "ready", t1, "cond", t2-t1, "problem", t3-t2, len(p.cons), "compile", t4-t3, "over", d.over, "none", d.none, "work", d.work)
		if !d.over {
			n := d.count(d.full)
			fmt.Println("   count", n, "digits", len(n.String()), d.size(), "parts", len(d.parts), time.Since(begin)-t4)
		}
	}
}
