package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/picture"
)

// rigPage shows a rig's current version, or an older one as a draft.
func (s *Server) rigPage(w http.ResponseWriter, r *http.Request) error {
	d, err := s.opened(r.PathValue("name"), r.URL.Query().Get("version"))
	if err != nil {
		return err
	}
	page, err := s.rigView(d)
	if err != nil {
		return err
	}
	if d.current != app.Version(d.data) {
		page.Notice = "Version " + app.ShortVersion(app.Version(d.data)) + " is opened. Save it to make it the current one again."
	} else if r.URL.Query().Has("saved") {
		page.Notice = "Saved as version " + app.ShortVersion(d.current) + "."
	} else {
		page.Notice = s.procedureNotice(d.name, s.solver.solve(d.data))
	}
	return s.pages.write(w, http.StatusOK, "rig", page)
}

// changeRig does what a button of the page asks and sends the page back.
func (s *Server) changeRig(w http.ResponseWriter, r *http.Request) error {
	start := time.Now()
	d, err := s.posted(r)
	if err != nil {
		return err
	}
	status, notice, saved := http.StatusOK, "", false
	what, arguments, _ := strings.Cut(r.PostFormValue("do"), " ")
	switch what {
	case "read", "": // the text alone has changed
	case "count":
		notice = s.setCount(d, arguments)
	case "undo":
		notice = d.takeBack(&d.undo, &d.redo, true)
	case "redo":
		notice = d.takeBack(&d.redo, &d.undo, false)
	case "view":
		if v, ok := picture.Named(arguments); ok {
			d.seen.Azimuth, d.seen.Elevation = v.Azimuth, v.Elevation
		}
	case "ground":
		d.seen.Ground = true
	case "hung":
		d.seen.Ground = false
	case "save":
		if err := s.admit(r, changers); err != nil {
			return err
		}
		current, ok, err := s.Keeper.Save(d.name, d.base, d.data)
		if err != nil {
			return err
		}
		d.current = current
		if saved = ok; ok {
			d.base = current
			notice = "Saved as version " + app.ShortVersion(current) + "."
			break
		}
		status = http.StatusConflict
		notice = fmt.Sprintf("Not saved: version %s was saved since this text was begun from %s. Both are kept. Save once more to put your text on top of %s.",
			app.ShortVersion(current), app.ShortVersion(d.base), app.ShortVersion(current))
		d.base = current
	default:
		return refusal{http.StatusBadRequest, "Not understood", "The page asked for something that it cannot do."}
	}
	if saved && !wantsJSON(r) {
		http.Redirect(w, r, rigURL(d.name)+"?saved", http.StatusSeeOther)
		return nil
	}
	page, err := s.rigView(d)
	if err != nil {
		return err
	}
	page.Notice, page.Reads = notice, !s.may(r, people.ChangeRigs)
	if !wantsJSON(r) {
		return s.pages.write(w, status, "rig", page)
	}
	answer, err := s.partsOf(page)
	if err != nil {
		return err
	}
	// How long the answer took here, for whoever looks at the browser's record.
	w.Header().Set("Server-Timing", "answer;dur="+strconv.FormatFloat(float64(time.Since(start).Microseconds())/1000, 'f', 3, 64))
	writeJSON(w, status, answer)
	return nil
}

// changed is what the page's script gets: the fields and the parts that differ.
type changed struct {
	Text  string            `json:"text"`
	Base  string            `json:"base"`
	Undo  string            `json:"undo"`
	Redo  string            `json:"redo"`
	Seen  map[string]any    `json:"seen"`
	Dirty bool              `json:"dirty"`
	Parts map[string]string `json:"parts"`
}

func (s *Server) partsOf(page *rigView) (*changed, error) {
	c := &changed{
		Text: page.Text, Base: page.Base, Undo: page.Undo, Redo: page.Redo, Dirty: page.Dirty,
		Seen:  map[string]any{"azimuth": page.Seen.Azimuth, "elevation": page.Seen.Elevation, "ground": page.Ground},
		Parts: map[string]string{},
	}
	for _, name := range partNames {
		text, err := s.pages.part("part-"+name, page)
		if err != nil {
			return nil, err
		}
		c.Parts[name] = text
	}
	return c, nil
}

// setCount does "FL +1", "FL -1" or "FL 11": the leg and all that go with it
// get the count. The buttons send steps and not counts, so that of two quick
// presses the second goes on from the first.
func (s *Server) setCount(d *draft, arguments string) (notice string) {
	leg, number, _ := strings.Cut(arguments, " ")
	n, err := strconv.Atoi(number)
	if err != nil {
		return "The count was not understood; nothing was changed."
	}
	solved := s.solver.solve(d.data)
	if solved.Rig == nil {
		return "The count was not changed: the text has errors, each named with its line."
	}
	l, ok := solved.Rig.Leg(leg)
	if !ok || l.Chain == nil {
		return "The count was not changed: there is no leg " + leg + " with a chain."
	}
	if number[0] == '+' || number[0] == '-' {
		if l.Count == nil {
			n = firstCount(solved.Rig)
		} else {
			n += *l.Count
		}
		n = min(max(n, 1), l.Chain.Links-1)
	}
	data, changes, err := app.SetCounts(d.data, solved.Group(leg), n)
	if err != nil {
		return "The count was not changed: " + plain(err)
	}
	d.data = data
	if len(changes) > 0 {
		d.undo, d.redo = d.undo.with(changes), nil
	}
	return ""
}

// takeBack undoes or does again the latest step.
func (d *draft) takeBack(from, into *history, back bool) (notice string) {
	if len(*from) == 0 {
		return ""
	}
	last := (*from)[len(*from)-1]
	*from = (*from)[:len(*from)-1]
	data := d.data
	for _, c := range last {
		n := c.To
		if back {
			n = c.From
		}
		var err error
		if data, _, err = app.SetCounts(data, []string{c.Leg}, n); err != nil {
			return "This step could not be taken: " + plain(err)
		}
	}
	d.data = data
	*into = into.with(last)
	return ""
}

// plain is an error without the places in the program it came through.
func plain(err error) string {
	text := err.Error()
	for _, place := range []string{"app: set count: ", "rigfile: "} {
		text = strings.ReplaceAll(text, place, "")
	}
	return text + "."
}

// drawRig sends the picture alone, for turning it.
func (s *Server) drawRig(w http.ResponseWriter, r *http.Request) error {
	d, err := s.posted(r)
	if err != nil {
		return err
	}
	text, err := drawing(s.solver.solve(d.data), d.seen)
	if err != nil {
		return err
	}
	if text == "" {
		w.WriteHeader(http.StatusNoContent)
		return nil
	}
	w.Header().Set("Content-Type", "image/svg+xml")
	_, err = w.Write([]byte(text))
	return err
}

func rigURL(name string) string { return "/rig/" + url.PathEscape(name) }
