package web

import (
	"net/http"
	"slices"

	"hangtrue/internal/engine/inspection"
)

// compareView is two inspections of one load side by side. They are never put
// together.
type compareView struct {
	frame
	Load, Rig, Status string
	Invented          bool
	Sides             [2]compareSide
	Same, Neither     int // answered alike; answered by neither
	Differ            []differenceView
}

type compareSide struct {
	Address, By, When, Phase, Result string
	Training                         bool
}

type differenceView struct {
	Part, Ask string
	Said      [2]answerView
}

func (s *Server) comparePage(w http.ResponseWriter, r *http.Request) error {
	me, ctx := personOf(r), r.Context()
	v := &compareView{frame: frame{Title: "Two inspections side by side", Result: true}}
	var x [2]inspection.Summary
	var st [2]*inspection.State
	known := map[inspection.Task]question{}
	for i, id := range []string{r.PathValue("id"), r.PathValue("other")} {
		var err error
		if x[i], st[i], err = s.School.Inspection(ctx, me, id); err != nil {
			return told(err)
		}
		called, err := s.School.Called(ctx, me, x[i].By)
		if err != nil {
			return told(err)
		}
		v.Sides[i] = compareSide{inspectURL(x[i].ID) + "/sign", called[x[i].By], s.when(st[i].Started), string(x[i].Phase), capital(st[i].Result()), x[i].Training}
		d, err := s.inspected(&x[i], st[i])
		if err != nil {
			return err
		}
		if i == 0 {
			v.Load, v.Rig, v.Status = x[i].Load, x[i].Rig, "The rig cannot be read"
			if d.solved.Rig != nil {
				v.Rig, v.Status, v.Invented = titleOf(d.solved.Rig), capital(d.solved.Rig.Status().String()), d.solved.Rig.Invented()
			}
		}
		asked, _ := d.questions(st[i])
		for _, q := range asked {
			if known[q.Task].Asks == nil {
				known[q.Task] = q
			}
		}
	}
	if !sameLoad(&x[0], &x[1]) {
		return refusal{http.StatusConflict, "Not compared", "These are not two inspections of one load at one version of its rig."}
	}
	differ := inspection.Compare(st[0], st[1])
	for _, y := range differ {
		d := differenceView{}
		for i := range st {
			reply := inspection.Reply{Task: y.Task}
			if g, ok := st[i].Current(y.Task); ok {
				reply = g.Reply
			}
			d.Said[i] = s.answerView(known[y.Task], reply, student(me))
		}
		d.Part, d.Ask = d.Said[0].Part, d.Said[0].Ask
		v.Differ = append(v.Differ, d)
	}
	for t := range known {
		a, first := st[0].Current(t)
		b, second := st[1].Current(t)
		switch {
		case !first && !second:
			v.Neither++
		case a.Answer == b.Answer && !slices.ContainsFunc(differ, func(d inspection.Difference) bool { return d.Task == t }):
			v.Same++
		}
	}
	return s.pages.write(w, http.StatusOK, "sign-compare", v)
}
