package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/paper/closeup"
)

// zoneWords stand on every page of a walk.
const zoneWords = "Not in the hook-up zone and not under rotors: no step needs it there."

// inspectView is the frame of the walk. What it shows comes as a bundle, which
// the tablet keeps.
type inspectView struct {
	frame
	ID, Load string
	Zone     string
	Status   string
	Numbers  string   // of the red tags
	Tags     []string // why it cannot be signed: red tags, or one that came off after it was begun
	Invented bool
	Training bool
	Sheet    string // the printed walk, for where there is no script
}

// inspectPage is the app of one walk. It is for who walks it; others look.
func (s *Server) inspectPage(w http.ResponseWriter, r *http.Request) error {
	x, state, err := s.School.Inspection(r.Context(), personOf(r), r.PathValue("id"))
	if err != nil {
		return told(err)
	}
	if x.By != personOf(r).ID || x.Phase == inspection.Signed {
		http.Redirect(w, r, inspectURL(x.ID)+"/sign", http.StatusSeeOther)
		return nil
	}
	d, err := s.inspected(&x, state)
	if err != nil {
		return err
	}
	v := &inspectView{
		frame: frame{Title: x.Load + " – inspection", Result: true, Script: "inspect.js"}, ID: x.ID, Load: x.Load, Zone: zoneWords, Training: x.Training,
		Sheet: walkURL(x.Rig), Status: "The rig cannot be read",
	}
	if d.solved.Rig != nil {
		v.Status, v.Invented = capital(d.solved.Rig.Status().String()), d.solved.Rig.Invented()
	}
	on, err := s.School.TagsOn(r.Context())
	if err != nil {
		return err
	}
	tags, err := on.Of(r.Context(), x.Load, x.Rig, x.RigVersion)
	if err != nil {
		return err
	}
	held, err := s.School.HeldBack(r.Context(), x)
	if err != nil {
		return told(err)
	}
	for _, why := range held {
		v.Tags = append(v.Tags, capital(why)+".")
	}
	if v.Numbers = tagNumbers(tags); len(tags) > 0 && d.solved.Rig != nil {
		v.Status = capital(d.solved.Rig.Status().OfPlan())
	}
	return s.pages.write(w, http.StatusOK, "inspect", v)
}

// shell are the addresses that pages kept on a tablet need besides themselves:
// those of the scripts of walks and of grading, and of the style and fonts of all.
func (s *Server) shell() []string {
	out := []string{s.assets.url("page.css"), s.assets.url("icon.svg")}
	for _, file := range sortedKeys(s.assets.files) {
		if (strings.HasPrefix(file, "inspect") || strings.HasPrefix(file, "grade")) && strings.HasSuffix(file, ".js") {
			out = append(out, s.assets.url(file))
		}
	}
	for _, f := range pageFonts {
		out = append(out, s.assets.url(f.file))
	}
	return out
}

// worker is the script that answers for this server while it is out of reach. It
// lies at the root, so that it answers for every page, also for one that is not on
// the tablet. It has nothing of a lane in it: what says what is planted is kept by
// itself, for whoever may open it.
func (s *Server) worker(w http.ResponseWriter, _ *http.Request) error {
	shell, err := json.Marshal(s.shell())
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/javascript; charset=utf-8")
	w.Header().Set("Cache-Control", "no-cache")
	held := strings.ReplaceAll(string(s.assets.files["inspect-held.js"]), "\nexport ", "\n") // a worker is no module everywhere
	_, err = fmt.Fprintf(w, "const hash = %q;\nconst shell = %s;\nconst policy = %q;\n%s\n%s", s.assets.hash, shell, policy, held, s.assets.files["worker.js"])
	return err
}

// figure draws a part close up for whoever walks: the drawing has no number of
// links and names no state.
func (s *Server) figure(w http.ResponseWriter, r *http.Request) error {
	params := map[string]string{}
	for key, values := range r.URL.Query() {
		params[key] = values[0]
	}
	p, err := closeup.Draw(r.PathValue("figure"), params, closeup.Options{})
	if err != nil {
		return refusal{http.StatusNotFound, "Not there", "There is no such drawing."}
	}
	return writeSVG(w, p, "private, max-age=86400")
}

// figureURL is the address of the drawing that a close-up of staff shows,
// without numbers and names. Where the drawing itself is the planned count, a
// blind count has none.
func figureURL(staffURL string, blind bool) string {
	if staffURL == "" {
		return ""
	}
	u, err := url.Parse(staffURL)
	if err != nil {
		return ""
	}
	if q := u.Query(); blind && (q.Has("planned-count") || q.Has("left") || q.Has("right")) {
		return ""
	}
	return strings.Replace(staffURL, "/closeup/", "/figure/", 1)
}

// takePhoto keeps a photo that a tablet sends, and answers with its name.
func (s *Server) takePhoto(w http.ResponseWriter, r *http.Request) error {
	me := personOf(r)
	x, _, err := s.School.Inspection(r.Context(), me, r.PathValue("id"))
	if err != nil {
		return told(err)
	}
	if x.By != me.ID {
		return told(inspection.ErrOther)
	}
	data, err := readAll(r)
	if err != nil {
		return err
	}
	hash, err := s.School.AddPhoto(r.Context(), me, data)
	if err != nil {
		return told(err)
	}
	writeJSON(w, http.StatusOK, map[string]string{"photo": hash})
	return nil
}

// photo shows one photo of an inspection.
func (s *Server) photo(w http.ResponseWriter, r *http.Request) error {
	kind, data, err := s.School.Photo(r.Context(), personOf(r), r.PathValue("id"), r.PathValue("photo"))
	if err != nil {
		return told(err)
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
	w.Header().Set("Content-Disposition", "inline")
	_, err = w.Write(data)
	return err
}

// student reports whether a person learns and does not teach, inspect or rig: the
// planned figure of a blind count is never shown to them.
func student(p *people.Person) bool { return p == nil || !p.May(people.SeeRecords) }
