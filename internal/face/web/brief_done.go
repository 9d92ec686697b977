package web

import (
	"fmt"
	"maps"
	"net/http"
	"strings"

	"hangtrue/internal/engine/brief"
	"hangtrue/internal/engine/brief/brieffile"
	paper "hangtrue/internal/paper/placard"
)

// mostDoneKept is how many daily entries a brief keeps; the oldest go, and stay
// in its older versions.
const mostDoneKept = 200

// briefDone enters that somebody held the briefing or tested a release. It
// changes the brief's version and makes no paper void.
func (s *Server) briefDone(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	m, err := s.makeBrief(r)
	if err != nil {
		return err
	}
	if m.load == nil {
		return s.unready(w, m.head)
	}
	values := map[string]string{}
	if m.text != nil {
		if _, problems := brieffile.Read(m.text); len(problems) > 0 {
			return refusal{http.StatusConflict, "Not entered", "The text of the brief has errors. Mend it first, then enter this again."}
		}
		values = maps.Clone(brieffile.Typed(m.text))
	}
	what, by, at := r.PostFormValue("what"), strings.TrimSpace(r.PostFormValue("by")), strings.TrimSpace(r.PostFormValue("at"))
	n := 0
	for n < 400 && values[fmt.Sprintf("done[%d].what", n)] != "" {
		n++
	}
	for drop := n - mostDoneKept + 1; drop > 0; drop-- {
		for _, key := range []string{"what", "by", "at"} {
			delete(values, fmt.Sprintf("done[%d].%s", drop-1, key))
		}
	}
	front := fmt.Sprintf("done[%d].", n)
	values[front+"what"], values[front+"by"], values[front+"at"] = what, by, at
	data, _ := brieffile.Write(values)
	wrong := ""
	if _, problems := brieffile.Read(data); len(problems) > 0 {
		wrong = capital(problems[0].String()) + "."
	}
	if by == "" {
		wrong = "Who did it is needed: a name."
	}
	status, saved := http.StatusUnprocessableEntity, false
	if wrong == "" {
		keeper, err := s.keeper(briefTexts)
		if err != nil {
			return err
		}
		base := ""
		if m.text != nil {
			base = m.load.Versions.Brief
		}
		if _, saved, err = keeper.Save(m.head.Name, base, data); err != nil {
			return err
		}
		if !saved {
			status, wrong = http.StatusConflict, "The brief was saved by somebody else at the same moment. Nothing was entered; press again."
		}
	}
	if saved {
		back := m.head.Address + "/brief"
		if from := r.PostFormValue("from"); from == string(paper.Team) || from == string(paper.Aircrew) {
			back += "/" + from
		}
		http.Redirect(w, r, back+"#daily", http.StatusSeeOther)
		return nil
	}
	v, err := s.briefView(m, "")
	if err != nil {
		return err
	}
	v.Problem = "Not entered: " + wrong
	for i := range v.Ticks {
		if v.Ticks[i].What == brief.Daily(what) {
			v.Ticks[i].Name, v.Ticks[i].Time = by, at
		}
	}
	return s.pages.write(w, status, "brief", v)
}
