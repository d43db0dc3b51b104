package source

// Nearest finds the word in among that text most likely means: at most two
// letters wrong, missing, added or swapped with their neighbour, and fewer
// than half of them. Of words equally near the first one is taken.
func Nearest(text string, among []string) (string, bool) {
	const longest = 64 // no key is longer, and the work grows with the square
	best, least := "", 3
	if len(text) > longest {
		return "", false
	}
	for _, word := range among {
		if len(word) > longest {
			continue
		}
		if d := distance([]rune(text), []rune(word)); d < least && 2*d < len([]rune(word)) {
			best, least = word, d
		}
	}
	return best, least < 3
}

// distance is the number of letters to change, drop, add or swap with the
// next to make b out of a (optimal string alignment).
func distance(a, b []rune) int {
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := range a {
		row[0] = i + 1
		for j := range b {
			cost := 1
			if a[i] == b[j] {
				cost = 0
			}
			row[j+1] = min(last[j+1]+1, row[j]+1, last[j]+cost)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
