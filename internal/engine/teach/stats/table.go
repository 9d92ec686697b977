package stats

import (
	"fmt"
	"math"
)

// Missing stands for an answer of a person who was not asked.
const Missing int8 = -1

// Table is answers: a row for each person, a column for each item; 1 found, 0
// not found, [Missing] not asked.
type Table struct {
	Items int
	Rows  [][]int8
}

// NewTable checks the answers and makes a table of them; rows are kept, not
// copied.
func NewTable(items int, rows [][]int8) (*Table, error) {
	for i, row := range rows {
		if len(row) != items {
			return nil, fmt.Errorf("stats: person %d has %d answers, want %d", i+1, len(row), items)
		}
		for _, x := range row {
			if x < Missing || x > 1 {
				return nil, fmt.Errorf("stats: person %d has an answer %d; 1 is found, 0 not found, %d not asked", i+1, x, Missing)
			}
		}
	}
	return &Table{items, rows}, nil
}

// Found is how often an item was found by those who were asked.
func (t *Table) Found(item int) Share {
	k, n := 0, 0
	for _, row := range t.Rows {
		if x := row[item]; x != Missing {
			n++
			k += int(x)
		}
	}
	return ShareOf(k, n)
}

// score is how many a person found, and of how many.
func score(row []int8) (found, asked int) {
	for _, x := range row {
		if x != Missing {
			asked++
			found += int(x)
		}
	}
	return found, asked
}

// KR20 is the reliability of a version of a test: Kuder and Richardson's formula
// 20 with the variance divided by the number of people. People who were not
// asked everything are left out. ok is false where fewer than two people or two
// items are left or all scores are equal.
func (t *Table) KR20() (value float64, people int, ok bool) {
	var sum, squares float64
	right := make([]float64, t.Items)
	for _, row := range t.Rows {
		found, asked := score(row)
		if asked != t.Items {
			continue
		}
		people++
		sum += float64(found)
		squares += float64(found * found)
		for i, x := range row {
			right[i] += float64(x)
		}
	}
	if people < 2 || t.Items < 2 {
		return math.NaN(), people, false
	}
	n, k := float64(people), float64(t.Items)
	variance := squares/n - sum/n*sum/n
	if variance <= 0 {
		return math.NaN(), people, false
	}
	pq := 0.0
	for _, r := range right {
		pq += r / n * (1 - r/n)
	}
	return k / (k - 1) * (1 - pq/variance), people, true
}

// PointBiserial is the correlation of an item with the score of the other items
// among those who were asked everything: how well it tells people apart. ok is
// false where either does not vary.
func (t *Table) PointBiserial(item int) (value float64, people int, ok bool) {
	var sx, sy, sxx, syy, sxy float64
	for _, row := range t.Rows {
		found, asked := score(row)
		if asked != t.Items {
			continue
		}
		x := float64(row[item])
		y := float64(found) - x
		sx, sy, sxx, syy, sxy = sx+x, sy+y, sxx+x*x, syy+y*y, sxy+x*y
		people++
	}
	n := float64(people)
	vx, vy := n*sxx-sx*sx, n*syy-sy*sy
	if people < 2 || vx <= 0 || vy <= 0 {
		return math.NaN(), people, false
	}
	return (n*sxy - sx*sy) / math.Sqrt(vx*vy), people, true
}
