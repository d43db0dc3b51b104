package formula

import "testing"

func benchmarkEval(b *testing.B, text string) {
	s := newShop(b)
	f := s.compile(b, text, 0)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := f.Eval(s.env); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkEvalDifference(b *testing.B) { benchmarkEval(b, "length - len('15 in')") }
func BenchmarkEvalRound(b *testing.B)      { benchmarkEval(b, "up(width / 3, len('1/16 in'))") }
func BenchmarkEvalChoice(b *testing.B) {
	benchmarkEval(b, "species == 'white-oak' && length > len('60 in') ? 4 : 3")
}
func BenchmarkEvalBand(b *testing.B) { benchmarkEval(b, "band('springs', width) * legs") }

func BenchmarkCompile(b *testing.B) {
	s := newShop(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Compile("length - len('15 in')", Length); err != nil {
			b.Fatal(err)
		}
	}
}
