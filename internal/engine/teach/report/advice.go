package report

import (
	"fmt"
	"strings"

	"hangtrue/internal/engine/teach/stats"
)

// TeachAgain says in one line which checkpoint to teach again tomorrow morning:
// the one that is found least often, with those that the numbers do not tell
// apart from it. key is that checkpoint's, "" for none. Where there are too few
// results it says so.
func (s *Set) TeachAgain() (line, key string) {
	all := s.ByCheckpoint()
	if len(all) == 0 {
		return "No result counts yet, so no checkpoint stands out.", ""
	}
	enough := all.Compared()
	if len(enough) == 0 {
		return fmt.Sprintf("Too few results to name a checkpoint: %d answers of %d students or more are needed, or more where one student’s answers are alike.", stats.Few, fewestStudents), ""
	}
	worst := enough[0]
	if worst.Found.Count == worst.Found.Of {
		return "Nothing was missed at any checkpoint with enough results.", ""
	}
	named := func(l Line) string { return named(l, several(all)) }
	var like []string
	for _, l := range enough[1:] {
		if c := stats.ChangeOf(worst.Found, l.Found); c.Low <= 0 && l.Found.Count < l.Found.Of {
			like = append(like, named(l))
		}
	}
	line = fmt.Sprintf("Teach again: %s, found %s.", named(worst), worst.Words())
	switch {
	case len(like) > 3:
		line += fmt.Sprintf(" These numbers do not tell it apart from %s and %d others.", strings.Join(like[:2], ", "), len(like)-2)
	case len(like) > 0:
		line += " These numbers do not tell it apart from " + strings.Join(like, ", ") + "."
	}
	return line, worst.Key
}

// named is a checkpoint as a sentence calls it; with its rig where there are
// several.
func named(l Line, rigs bool) string {
	rig, id, ok := strings.Cut(l.Key, "/")
	if !ok {
		rig, id = "", l.Key
	}
	if rigs && rig != "" {
		id += " of " + rig
	}
	if l.Text == "" || l.Text == l.Key {
		return id
	}
	return l.Text + " (" + id + ")"
}

// several reports whether checkpoints are of more than one rig.
func several(list Lines) bool {
	first := ""
	for _, l := range list {
		rig, _, _ := strings.Cut(l.Key, "/")
		if first == "" {
			first = rig
		}
		if rig != first {
			return true
		}
	}
	return false
}

// FalseCalls is how many false calls there were on each lane, in the order in
// which the lanes were met.
type FalseCalls struct {
	Lane string
	stats.Rate
}

// ByLane counts false calls of the runs that count.
func (s *Set) ByLane() []FalseCalls {
	at := map[string]int{}
	type counts struct{ calls, runs int }
	var lanes []string
	var all []counts
	for i := range s.Sittings {
		x := &s.Sittings[i]
		if !x.counts() {
			continue
		}
		k, ok := at[x.Lane]
		if !ok {
			k = len(all)
			at[x.Lane] = k
			all, lanes = append(all, counts{}), append(lanes, x.Lane)
		}
		all[k].calls += x.False
		all[k].runs++
	}
	var out []FalseCalls
	for k, c := range all {
		out = append(out, FalseCalls{lanes[k], stats.RateOf(c.calls, c.runs)})
	}
	return out
}
