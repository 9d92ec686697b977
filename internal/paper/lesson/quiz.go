package lesson

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/paper/likeness"
)

// MostItems is the largest number of questions of a quiz.
const MostItems = 60

// Quiz is questions in pictures, chosen from a seed.
type Quiz struct {
	Ask   QuizAsk
	Mark  string // tells quizzes apart: a quiz and its key have the same
	Items []Item
	v     *inspect.Survey
}

// QuizAsk is what is wanted of a quiz.
type QuizAsk struct {
	Questions int     // from 1 to MostItems
	Seed      string  // any text
	Good      float64 // the share of pictures that show a part as it should be, 0 to 1
	Pairs     bool    // two pictures of one part side by side, each right or wrong
}

// Item is one question: one part, in one picture or two.
type Item struct {
	Part      *inspect.Part
	Attribute *part.Attribute
	Shown     []Shown
}

// Shown is one picture.
type Shown struct {
	Drawing *likeness.Drawing
	State   *part.State
	Wrong   *inspect.Deficiency // nil where it is as it should be
}

// drawn is a deficiency of which both it and the good state are drawn in one
// view, so that the two can be told apart by what is drawn and by nothing else.
type drawn struct {
	d           *inspect.Deficiency
	good, wrong Shown
}

// NewQuiz chooses a quiz from the deficiencies that a sequence asks about and
// that can be drawn. Parts are chosen first, spread over kinds and stations as
// in package teach, and only then which of them are drawn as they should be. It
// returns an error for an ask out of range, and where the rig has fewer
// deficiencies that can be drawn.
func NewQuiz(v *inspect.Survey, q *inspect.Sequence, ask QuizAsk) (*Quiz, error) {
	switch {
	case ask.Questions < 1 || ask.Questions > MostItems:
		return nil, fmt.Errorf("lesson: %d questions; a quiz has from 1 to %d", ask.Questions, MostItems)
	case strings.TrimSpace(ask.Seed) == "":
		return nil, fmt.Errorf("lesson: a quiz needs a seed, which is any text; the same seed gives the same quiz")
	case !(ask.Good >= 0 && ask.Good <= 1):
		return nil, fmt.Errorf("lesson: a share of %g good states; from 0 to 1", ask.Good)
	}
	list, known := drawable(v, q)
	if len(list) < ask.Questions {
		return nil, fmt.Errorf("lesson: %d questions are asked for, and %d deficiencies of this rig can be drawn; ask for at most so many", ask.Questions, len(list))
	}
	z := &Quiz{Ask: ask, v: v}
	picked, err := choose(list, known, ask)
	if err != nil {
		return nil, err
	}
	sides := 1
	if ask.Pairs {
		sides = 2
	}
	good := map[int]bool{}
	n := len(picked) * sides
	for _, i := range ask.shuffled("good", n)[:int(math.Round(ask.Good*float64(n)))] {
		good[i] = true
	}
	for i, x := range picked {
		item := Item{Part: x.d.Part, Attribute: x.d.Attribute}
		for k := range sides {
			switch {
			case good[i*sides+k]:
				item.Shown = append(item.Shown, x.good)
			case k > 0 && item.Shown[0].Wrong != nil:
				item.Shown = append(item.Shown, other(x, known, ask, i))
			default:
				item.Shown = append(item.Shown, x.wrong)
			}
		}
		z.Items = append(z.Items, item)
	}
	z.Mark = z.mark()
	return z, nil
}

// drawable lists what a quiz may show, by the deficiency's id.
func drawable(v *inspect.Survey, q *inspect.Sequence) ([]teach.Candidate, map[string]drawn) {
	of := map[string]*inspect.Deficiency{}
	for i := range v.Deficiencies {
		of[v.Deficiencies[i].ID()] = &v.Deficiencies[i]
	}
	known := map[string]drawn{}
	drawer := likeness.NewFinder(v)
	var out []teach.Candidate
	for _, c := range teach.Candidates(v, q, nil) {
		d := of[c.ID]
		g := likeness.Good(v, d.Part, d.Attribute)
		if g == nil {
			continue
		}
		good, wrong := drawer.Of(d.Part, d.Attribute, g), drawer.Of(d.Part, d.Attribute, d.State)
		if good == nil || wrong == nil || good.View != wrong.View || maps.Equal(good.Params, wrong.Params) {
			continue
		}
		known[c.ID] = drawn{d, Shown{good, g, nil}, Shown{wrong, d.State, d}}
		out = append(out, c)
	}
	return out, known
}

// atOnce is how many deficiencies are chosen together: so many can stand beside
// each other on any rig without one giving another away.
const atOnce = 8

// choose picks the deficiencies in rounds. No view of a part comes twice as long
// as there are others, and then no picture.
func choose(list []teach.Candidate, known map[string]drawn, ask QuizAsk) ([]drawn, error) {
	var out []drawn
	taken, seen := map[string]bool{}, map[string]bool{}
	for round := 0; len(out) < ask.Questions; round++ {
		var left, pictures, views []teach.Candidate
		for _, c := range list {
			if taken[c.ID] {
				continue
			}
			left = append(left, c)
			if x := known[c.ID]; !seen[x.wrong.Drawing.ID()] {
				pictures = append(pictures, c)
				if !seen[x.wrong.Drawing.View] {
					views = append(views, c)
				}
			}
		}
		switch {
		case len(views) > 0:
			left = views
		case len(pictures) > 0:
			left = pictures
		}
		n := min(ask.Questions-len(out), atOnce)
		seed := teach.Seed(ask.bytes("round", round)[:16])
		for {
			p, err := teach.Plant(teach.Ask{Candidates: left, Count: n, Seed: seed})
			if err != nil {
				if n == 1 {
					return nil, fmt.Errorf("lesson: %w", err)
				}
				n = max(1, n/2)
				continue
			}
			for _, c := range p.Versions[0].Planted {
				x := known[c.ID]
				taken[c.ID], seen[x.wrong.Drawing.ID()], seen[x.wrong.Drawing.View] = true, true, true
				out = append(out, x)
			}
			break
		}
	}
	mixed := make([]drawn, len(out))
	for i, k := range ask.shuffled("order", len(out)) {
		mixed[i] = out[k]
	}
	return mixed, nil
}

// other is a second wrong state for a pair, or the same once more where the
// attribute has no other.
func other(x drawn, known map[string]drawn, ask QuizAsk, i int) Shown {
	var all []Shown
	for _, y := range known {
		if y.d.Part == x.d.Part && y.d.Attribute == x.d.Attribute {
			all = append(all, y.wrong)
		}
	}
	slices.SortFunc(all, func(a, b Shown) int { return cmp.Compare(a.State.ID, b.State.ID) })
	return all[int(binary.BigEndian.Uint32(ask.bytes("second", i))%uint32(len(all)))]
}

// bytes are 32 bytes that follow from the seed, for one purpose and number.
func (a QuizAsk) bytes(purpose string, number int) []byte {
	sum := sha256.Sum256(fmt.Appendf(nil, "hangtrue quiz\x00%s\x00%s\x00%d", a.Seed, purpose, number))
	return sum[:]
}

// shuffled is the numbers from 0 to n−1 in an order that follows from the seed.
func (a QuizAsk) shuffled(purpose string, n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	slices.SortFunc(out, func(i, k int) int { return bytes.Compare(a.bytes(purpose, i), a.bytes(purpose, k)) })
	return out
}

func (z *Quiz) mark() string {
	h := sha256.New()
	fmt.Fprintf(h, "%q %d %g %t\n", z.Ask.Seed, z.Ask.Questions, z.Ask.Good, z.Ask.Pairs)
	for _, x := range z.Items {
		for _, s := range x.Shown {
			fmt.Fprintln(h, x.Part.ID, x.Attribute.ID, s.State.ID)
		}
	}
	return hex.EncodeToString(h.Sum(nil))[:8]
}
