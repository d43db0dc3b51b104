package formula

import (
	"slices"
	"strings"
)

// suggestions are at most this many, so that a sentence stays a sentence.
const maxSuggestions = 3

// didYouMean ends a sentence about an unknown word: the known words within an
// edit distance of 2 (1 for words of up to three letters), or whose last part
// is the word, nearest first. It is empty when nothing is near.
func didYouMean(word string, known []string) string {
	near := nearest(word, known)
	if len(near) == 0 {
		return ""
	}
	return "did you mean " + alternatives(near) + "?"
}

// alternatives joins words as "a, b or c".
func alternatives(words []string) string {
	if len(words) == 1 {
		return words[0]
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " or " + words[last]
}

func nearest(word string, known []string) []string {
	type candidate struct {
		word     string
		distance int
	}
	reach := 2
	if len([]rune(word)) <= 3 {
		reach = 1
	}
	folded := strings.ToLower(word)
	var found []candidate
	for _, k := range known {
		d := editDistance(folded, strings.ToLower(k))
		if d > reach && strings.HasSuffix(strings.ToLower(k), "."+folded) {
			d = reach
		}
		if d <= reach {
			found = append(found, candidate{k, d})
		}
	}
	slices.SortFunc(found, func(a, b candidate) int {
		if a.distance != b.distance {
			return a.distance - b.distance
		}
		return strings.Compare(a.word, b.word)
	})
	words := make([]string, 0, maxSuggestions)
	for _, c := range found[:min(len(found), maxSuggestions)] {
		words = append(words, c.word)
	}
	return words
}

// editDistance counts the letters inserted, dropped, changed or swapped with
// their neighbour that turn a into b (optimal string alignment). Words that
// differ by more than 2 letters in length are told apart without counting.
func editDistance(a, b string) int {
	x, y := []rune(a), []rune(b)
	if d := len(x) - len(y); d > 2 || d < -2 {
		return 3
	}
	before, above, row := make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range above {
		above[j] = j
	}
	for i := 1; i <= len(x); i++ {
		row[0] = i
		for j := 1; j <= len(y); j++ {
			change := 1
			if x[i-1] == y[j-1] {
				change = 0
			}
			row[j] = min(above[j]+1, row[j-1]+1, above[j-1]+change)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, above, row = above, row, before
	}
	return above[len(y)]
}
