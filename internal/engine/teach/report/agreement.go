package report

import (
	"fmt"
	"math"

	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/engine/teach/stats"
)

// GraderAgreement is how far those who graded the same runs agree.
type GraderAgreement struct {
	Runs  int
	Table [2][2]int // found by the first grader: no, yes; by the second: no, yes
	stats.Agreement
	Has     bool // there is a value
	Outcome int  // runs in which both came to the same outcome
	False   int  // runs in which both counted as many false calls
}

// Agreement compares the gradings, planted deficiency by planted deficiency.
func (s *Set) Agreement() GraderAgreement {
	var g GraderAgreement
	for i := range s.Pairs {
		p := &s.Pairs[i]
		g.Runs++
		if p.First.Outcome == p.Second.Outcome {
			g.Outcome++
		}
		if p.First.False == p.Second.False {
			g.False++
		}
		type question struct{ item, place int }
		found := map[question]bool{}
		for _, a := range p.Second.Answers {
			found[question{a.Item, a.Place}] = a.Found
		}
		for _, a := range p.First.Answers {
			if two, ok := found[question{a.Item, a.Place}]; ok {
				g.Table[index(a.Found)][index(two)]++
			}
		}
	}
	a, err := stats.Agree([][]int{g.Table[0][:], g.Table[1][:]})
	g.Agreement, g.Has = a, err == nil && !math.IsNaN(a.Kappa)
	return g
}

func index(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// Words says what the agreement is worth.
func (g *GraderAgreement) Words() string {
	switch {
	case g.Runs == 0:
		return "No run was graded twice."
	case g.N < stats.Few:
		return fmt.Sprintf("Graded twice were %s in %s: too few to say.", spelling.Count(g.N, "answer", "answers"), spelling.Count(g.Runs, "run", "runs"))
	case !g.Has:
		return fmt.Sprintf("Both graders gave every one of %d answers the same class, which says nothing about agreement beyond chance.", g.N)
	}
	return fmt.Sprintf("Of %d answers in %s graded twice, %.0f %% were graded alike; Cohen’s κ %.2f (95 %% interval %.2f to %.2f).", g.N, spelling.Count(g.Runs, "run", "runs"), 100*g.Observed, g.Kappa, g.Low, g.High)
}
