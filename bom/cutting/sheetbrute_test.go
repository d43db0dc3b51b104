package cutting_test

import (
	"math"
	"math/bits"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom/cutting"
)

// fewPieces draws a problem of at most 7 pieces, large in their sheets, small
// enough to try every plan.
func fewPieces(t *rapid.T) cutting.SheetProblem {
	p := cutting.SheetProblem{
		Sheets: []cutting.Sheet{{Length: 24, Width: 20, Cost: rapid.Int64Range(1, 4).Draw(t, "cost"), Limit: cutting.Unlimited}},
		Kerf:   rapid.Int64Range(0, 2).Draw(t, "kerf"), Trim: rapid.Int64Range(0, 1).Draw(t, "trim"),
	}
	for range rapid.IntRange(0, 2).Draw(t, "more sheets") {
		p.Sheets = append(p.Sheets, cutting.Sheet{
			Length: rapid.Int64Range(10, 30).Draw(t, "length"), Width: rapid.Int64Range(10, 30).Draw(t, "width"),
			Cost: rapid.Int64Range(0, 4).Draw(t, "cost"), Limit: rapid.Int64Range(-1, 2).Draw(t, "limit"),
		})
	}
	for left := int64(7); left > 0; {
		piece := cutting.SheetPiece{
			Length: rapid.Int64Range(4, 18).Draw(t, "length"), Width: rapid.Int64Range(4, 18).Draw(t, "width"),
			Count: rapid.SampledFrom([]int64{1, 1, 1, 2}).Draw(t, "count"), Turn: rapid.Bool().Draw(t, "turn"),
		}
		p.Pieces = append(p.Pieces, piece)
		if left -= piece.Count + rapid.Int64Range(0, 1).Draw(t, "fewer"); left == 1 {
			break
		}
	}
	return p
}

// sides are the least rectangles that hold a set of pieces, kerfs between them
// included: every set is two sets beside or behind each other.
type sides struct{ length, width int64 }

func rectanglesByTrying(p *cutting.SheetProblem) [][]sides {
	var pieces []cutting.SheetPiece
	for _, piece := range p.Pieces {
		for range piece.Count {
			pieces = append(pieces, piece)
		}
	}
	all := make([][]sides, 1<<len(pieces))
	for set := 1; set < len(all); set++ {
		if bits.OnesCount(uint(set)) == 1 {
			piece := pieces[bits.TrailingZeros(uint(set))]
			all[set] = append(all[set], sides{piece.Length, piece.Width})
			if piece.Turn {
				all[set] = append(all[set], sides{piece.Width, piece.Length})
			}
		}
		for a := (set - 1) & set; a > 0; a = (a - 1) & set {
			for _, x := range all[a] {
				for _, y := range all[set&^a] {
					all[set] = append(all[set],
						sides{x.length + p.Kerf + y.length, max(x.width, y.width)},
						sides{max(x.length, y.length), x.width + p.Kerf + y.width})
				}
			}
		}
		all[set] = least(all[set])
	}
	return all
}

func least(all []sides) []sides {
	var kept []sides
	for i, x := range all {
		dominated := false
		for j, y := range all {
			if y.length <= x.length && y.width <= x.width && (y != x || j < i) {
				dominated = true
			}
		}
		if !dominated {
			kept = append(kept, x)
		}
	}
	return kept
}

// leastSheetsByTrying is the least cost over all plans: sheet after sheet of
// limited lines takes any set or none, then any number of the others.
func leastSheetsByTrying(p *cutting.SheetProblem) int64 {
	rectangles := rectanglesByTrying(p)
	const never = math.MaxInt64 / 2
	best := make([]int64, len(rectangles))
	for i := range best {
		best[i] = never
	}
	best[0] = 0
	fits := func(set int, s cutting.Sheet) bool {
		for _, r := range rectangles[set] {
			if r.length <= s.Length-2*p.Trim && r.width <= s.Width-2*p.Trim {
				return true
			}
		}
		return false
	}
	// best[set] is for having cut a set; from large sets down a sheet is used once.
	use := func(s cutting.Sheet, again bool) {
		for k := range len(best) {
			set := k
			if !again {
				set = len(best) - 1 - k
			}
			for part := set; part > 0; part = (part - 1) & set {
				if fits(part, s) {
					best[set] = min(best[set], best[set&^part]+s.Cost)
				}
			}
		}
	}
	for _, s := range p.Sheets {
		for n := int64(0); n < s.Limit; n++ {
			use(s, false)
		}
	}
	// All that is unlimited together, since a set may need several of it.
	for set := range best {
		for part := set; part > 0; part = (part - 1) & set {
			for _, s := range p.Sheets {
				if s.Limit == cutting.Unlimited && fits(part, s) {
					best[set] = min(best[set], best[set&^part]+s.Cost)
				}
			}
		}
	}
	return best[len(best)-1]
}

// TestFewPiecesByTrying holds plans and bounds of sheets against every plan.
func TestFewPiecesByTrying(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := fewPieces(t)
		if p.Check() != nil {
			t.Skip("a piece fits no sheet")
		}
		known := leastSheetsByTrying(&p)
		plan := solvedSheets(t, "drawn", p, cutting.Options{Work: 2e7})
		switch {
		case plan.Bound > known:
			t.Fatalf("bound %d, but %d is enough", plan.Bound, known)
		case plan.Cost < known:
			t.Fatalf("cost %d, but %d is the least", plan.Cost, known)
		case plan.Status != cutting.NotProved && plan.Cost != known:
			t.Fatalf("%s at %d, but %d is the least", plan.Status, plan.Cost, known)
		case plan.Status == cutting.NotProved && len(p.Sheets) == 1:
			t.Fatalf("cost %d, bound %d of %d: so few pieces are proved", plan.Cost, plan.Bound, known)
		}
	})
}

// TestOrderOfSheetLinesChangesNothing: what is proved of a list is proved of it in
// any order, and of the list with a piece more at no less.
func TestOrderOfSheetLinesChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := fewPieces(t)
		if p.Check() != nil {
			t.Skip("a piece fits no sheet")
		}
		q, more := p, p
		q.Pieces = rapid.Permutation(p.Pieces).Draw(t, "pieces")
		q.Sheets = rapid.Permutation(p.Sheets).Draw(t, "sheets")
		more.Pieces = append(slices.Clone(p.Pieces), p.Pieces[0])
		more.Pieces[len(p.Pieces)].Count = 1
		proved := func(p cutting.SheetProblem) (int64, bool) {
			plan := solvedSheets(t, "drawn", p, cutting.Options{Work: 2e7})
			return plan.Cost, plan.Status != cutting.NotProved
		}
		a, okA := proved(p)
		b, okB := proved(q)
		c, okC := proved(more)
		if okA && okB && a != b {
			t.Fatalf("%d, and %d in another order", a, b)
		}
		if okA && okC && c < a {
			t.Fatalf("%d, and %d with a piece more", a, c)
		}
	})
}
