package report

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/engine/teach/stats"
)

// VersionLine is what the results say of one version of a lane.
type VersionLine struct {
	Lane, Version string
	Items, Runs   int
	// Mean is the mean share found of the runs, Spread its standard deviation
	// between runs; NaN without two runs.
	Mean, Spread float64
	Low, High    float64 // 95 % interval of Mean, cut at 0 and 1
	KR20         float64 // NaN where it has no value
	KRLow        float64
	KRHigh       float64
	Points       []float64 // discrimination of each item, as [stats.Table.PointBiserial]; NaN for none
	Keys         []string  // of the items
}

// Words says how much of a version was found.
func (v *VersionLine) Words() string {
	switch {
	case v.Runs == 0 || math.IsNaN(v.Mean):
		return "no results yet"
	case v.Runs < stats.Few:
		return spelling.Count(v.Runs, "run", "runs") + ": too few to say"
	}
	return fmt.Sprintf("%.0f %% found a run (95 %% interval %.0f to %.0f %%), %d runs", 100*v.Mean, 100*v.Low, 100*v.High, v.Runs)
}

// Reliability says how well the version tells students apart.
func (v *VersionLine) Reliability() string {
	switch {
	case math.IsNaN(v.KR20):
		return "no value: it needs two items, and runs that differ"
	case v.Runs < stats.Few:
		return spelling.Count(v.Runs, "run", "runs") + ": too few to say"
	}
	return fmt.Sprintf("%.2f (95 %% interval %.2f to %.2f)", v.KR20, v.KRLow, v.KRHigh)
}

// Versions is a line for each version, in the order in which they were met.
func (s *Set) Versions() []VersionLine {
	at := map[string]int{}
	var out []VersionLine
	var sittings [][]*Sitting
	for i := range s.Sittings {
		x := &s.Sittings[i]
		if !x.counts() || len(x.Answers) == 0 {
			continue
		}
		k, ok := at[x.Version]
		if !ok {
			k = len(out)
			at[x.Version] = k
			out, sittings = append(out, VersionLine{Lane: x.Lane, Version: x.Version}), append(sittings, nil)
		}
		sittings[k] = append(sittings[k], x)
	}
	for k := range out {
		out[k].settle(s, sittings[k])
	}
	return out
}

func (v *VersionLine) settle(s *Set, runs []*Sitting) {
	type question struct{ item, place int }
	column := map[question]int{}
	for _, x := range runs {
		for _, a := range x.Answers {
			q := question{a.Item, a.Place}
			if _, ok := column[q]; !ok {
				column[q] = len(column)
				v.Keys = append(v.Keys, s.Items[a.Item].Key)
			}
		}
	}
	t := &stats.Table{Items: len(column)}
	sum, squares := 0.0, 0.0
	for _, x := range runs {
		row := make([]int8, t.Items)
		for i := range row {
			row[i] = stats.Missing
		}
		right := 0
		for _, a := range x.Answers {
			row[column[question{a.Item, a.Place}]] = 0
			if a.Found {
				row[column[question{a.Item, a.Place}]] = 1
				right++
			}
		}
		t.Rows = append(t.Rows, row)
		share := float64(right) / float64(len(x.Answers))
		sum += share
		squares += share * share
	}
	n := float64(len(runs))
	v.Items, v.Runs = t.Items, len(runs)
	v.Mean, v.Spread, v.Low, v.High = sum/n, math.NaN(), 0, 1
	if v.Runs > 1 {
		v.Spread = math.Sqrt(max(0, (squares-sum*sum/n)/(n-1)))
		reach := z95 * v.Spread / math.Sqrt(n)
		v.Low, v.High = max(0, v.Mean-reach), min(1, v.Mean+reach)
	}
	v.KRLow, v.KRHigh = math.NaN(), math.NaN()
	kr, people, ok := t.KR20()
	if v.KR20 = kr; ok {
		v.KRLow, v.KRHigh = stats.KR20Interval(kr, people, t.Items)
	}
	for i := range t.Items {
		r, _, _ := t.PointBiserial(i)
		v.Points = append(v.Points, r)
	}
}

// Equality says how far two versions of a lane differ: b − a of the mean share
// found, with its 95 % interval (Welch's variance, normal quantile).
type Equality struct {
	A, B             *VersionLine
	Value, Low, High float64
}

// Equal compares every two versions of one lane.
func Equal(list []VersionLine) []Equality {
	var out []Equality
	for i := range list {
		for k := i + 1; k < len(list); k++ {
			a, b := &list[i], &list[k]
			if a.Lane != b.Lane {
				continue
			}
			e := Equality{A: a, B: b, Value: b.Mean - a.Mean}
			reach := z95 * math.Sqrt(a.Spread*a.Spread/float64(a.Runs)+b.Spread*b.Spread/float64(b.Runs))
			e.Low, e.High = e.Value-reach, e.Value+reach
			out = append(out, e)
		}
	}
	return out
}

// Words says whether the numbers show a difference.
func (e *Equality) Words() string {
	switch {
	case e.A.Runs < stats.Few || e.B.Runs < stats.Few || math.IsNaN(e.Low):
		return "too few runs to say"
	case e.A.Spread == 0 && e.B.Spread == 0:
		return "every run of a version found the same share, so nothing tells how sure the difference is"
	case e.Low > 0:
		return fmt.Sprintf("the second is easier, by %.0f to %.0f of a hundred", 100*e.Low, 100*e.High)
	case e.High < 0:
		return fmt.Sprintf("the second is harder, by %.0f to %.0f of a hundred", -100*e.High, -100*e.Low)
	}
	return fmt.Sprintf("no difference that these numbers show (%.0f less to %.0f more of a hundred)", -100*e.Low, 100*e.High)
}
