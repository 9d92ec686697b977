// Package spelling is what is done to words whatever they say: it finds the known
// word that a mistyped one was probably meant to be, begins a text with a capital,
// cuts, joins and counts.
package spelling

import "strings"

// Nearest finds the known word that was probably meant; "" where none is near.
// The first of several equally near is taken.
func Nearest(word string, known []string) string {
	best, found := 3, "" // two slips at most
	for _, k := range known {
		if strings.EqualFold(k, word) {
			return k
		}
		// A word of one or two letters is near to everything.
		allowed := min(2, max(len(k), len(word))/3)
		if d := slips(strings.ToLower(word), strings.ToLower(k)); d <= allowed && d < best {
			best, found = d, k
		}
	}
	return found
}

// slips counts the letters to add, drop, change or swap with their neighbour
// to turn one word into the other (optimal string alignment distance).
func slips(a, b string) int {
	const far = 1000
	if len(a) > 64 || len(b) > 64 {
		return far
	}
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := last[j-1]
			if a[i-1] != b[j-1] {
				change++
			}
			row[j] = min(last[j]+1, row[j-1]+1, change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
