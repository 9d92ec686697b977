package inspect

import "fmt"

// Coverage is how far a sequence asks about the deficiencies that a rig can
// have, and no more: see the package's claim.
type Coverage struct {
	Sequence  *Sequence
	Total     int     // deficiencies of the catalogue that this rig can have
	By        [][]int // per deficiency of the survey: the checkpoints that ask about it
	Uncovered []*Deficiency
	Blind     []int     // checkpoints that can see nothing on this rig
	Idle      []Unknown // looks that find no part or attribute
}

// Cover holds a sequence against a survey.
func Cover(v *Survey, q *Sequence) *Coverage {
	c := &Coverage{Sequence: q, Total: len(v.Deficiencies), By: make([][]int, len(v.Deficiencies)), Idle: v.Unknown(q)}
	sees := make([]bool, len(q.Checkpoints))
	for i := range v.Deficiencies {
		d := &v.Deficiencies[i]
		if i > 0 && d.Part == v.Deficiencies[i-1].Part && d.Attribute == v.Deficiencies[i-1].Attribute {
			c.By[i] = c.By[i-1] // one question, several answers
		} else {
			for k := range q.Checkpoints {
				if q.Checkpoints[k].Sees(d.Part, d.Attribute) {
					c.By[i] = append(c.By[i], k)
					sees[k] = true
				}
			}
		}
		if len(c.By[i]) == 0 {
			c.Uncovered = append(c.Uncovered, d)
		}
	}
	for k, s := range sees {
		if !s {
			c.Blind = append(c.Blind, k)
		}
	}
	return c
}

// Complete reports whether every deficiency of the catalogue that this rig can
// have is asked about.
func (c *Coverage) Complete() bool { return len(c.Uncovered) == 0 }

// OnlyBy returns the deficiencies of the survey that a checkpoint alone asks
// about.
func (c *Coverage) OnlyBy(v *Survey, checkpoint int) []*Deficiency {
	var out []*Deficiency
	for i, by := range c.By {
		if len(by) == 1 && by[0] == checkpoint {
			out = append(out, &v.Deficiencies[i])
		}
	}
	return out
}

// NotCovered says what no coverage can say.
const NotCovered = "Faults that are not in the catalogue, and faults looked at but not seen, are not covered."

// Claim says how far the sequence goes, and no further.
func (c *Coverage) Claim() string {
	return fmt.Sprintf("At least one checkpoint asks about %d of the %d deficiencies of the catalogue that this rig can have. %s",
		c.Total-len(c.Uncovered), c.Total, NotCovered)
}
