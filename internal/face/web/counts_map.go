package web

import (
	"context"
	"fmt"
	"html/template"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/counts"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/svg"
	"hangtrue/internal/paper/picture"
	"hangtrue/internal/paper/study"
)

// Sizes in mm of the map and of the load beside it, as on a rig's page.
const (
	mapWidth, mapHeight   = 116, 112
	hungWidth, hungHeight = 110, 84
)

// mapView is the count map on the page.
type mapView struct {
	Address     string // of the count page
	Version     string
	Across, Up  axisView
	Picture     template.HTML
	Width       float64 // of the picture, mm
	Height      float64
	Left, Right float64 // of the area in which counts lie, mm
	Top, Bottom float64
	At          *atView
	Near        []nearView
	Load        string // what the neighbours' last figure is
	NoPlan      string // why the plan is no point of the map
	Stopped     string // how far it came before it was stopped
}

type axisView struct {
	Words     string
	Low, High int
	Last      int // what the axis ends at: more than High where there is one count only
}

// atView is how the load hangs at one pair of counts.
type atView struct {
	A, B                       int
	Cross                      draw.Point // where on the map it lies, mm
	Left, Right, Top, Bottom   float64
	Width, Height              float64
	Planned                    bool
	Take, Words                string
	Kind, Result, Reason       string
	Status                     string // where it differs from the plan's
	Picture                    template.HTML
	Bodies                     []bodyView
	Legs                       []legView
	Invented                   bool
	Address, Version, Standing string
}

// nearView is a pair beside the planned one.
type nearView struct {
	A, B               int
	Pitch, Roll, Use   string
	Falls, Over, Plan  bool
	See                string
	LegsA, LegsB, What string
}

// chartOf is the finished map of a rig's version, nil where there is none.
func (s *Server) chartOf(version string) *app.CountMap {
	x := s.jobs.find(version, kindMap)
	if x == nil {
		return nil
	}
	result, _ := x.outcome()
	m, _ := result.(*app.CountMap)
	return m
}

// mapView makes the map for the page, with the pair that the address names, or
// the planned one.
func (s *Server) mapView(head rigHead, solved *app.Solved, x, search *job, r *http.Request) (*mapView, error) {
	m := s.chartOf(solved.Version)
	if m == nil {
		if n := x.now(); n.Stopped {
			return &mapView{Stopped: fmt.Sprintf("Stopped after %d of %d pairs. A map is drawn when all are computed.", n.Done, n.Total)}, nil
		}
		_, err := x.outcome()
		return nil, err
	}
	p, view := m.BarePicture(s.foundCells(m, search), mapWidth, mapHeight)
	text, err := svg.String(p)
	if err != nil {
		return nil, err
	}
	v := &mapView{
		Address: head.Address + "/counts", Version: solved.Version, Picture: template.HTML(text), // our own drawing, its texts escaped
		Width: mapWidth, Height: mapHeight,
		Across: axisView{groupWords(m.Map.A), m.Map.A.Low, m.Map.A.High, max(m.Map.A.High, m.Map.A.Low+1)},
		Up:     axisView{groupWords(m.Map.B), m.Map.B.Low, m.Map.B.High, max(m.Map.B.High, m.Map.B.Low+1)},
		Left:   view.Area.X, Right: view.Area.X + view.Area.W, Top: view.Area.Y, Bottom: view.Area.Y + view.Area.H,
	}
	a, b := v.chosen(m, r.URL.Query())
	if v.At, err = s.at(head, solved, m, a, b); err != nil {
		return nil, err
	}
	v.At.place(v)
	v.neighbours(m)
	if len(v.Near) == 0 && len(solved.Open) == 0 {
		v.NoPlan = "The plan is no point of this map: the legs of one group have different counts in it. Choose other groups, such as single legs, to see it."
	}
	return v, nil
}

// chosen is the pair that the address names, held within the map; without one
// the planned pair, or the middle.
func (v *mapView) chosen(m *app.CountMap, q url.Values) (a, b int) {
	a, b = (v.Across.Low+v.Across.High)/2, (v.Up.Low+v.Up.High)/2
	if m.Plan != nil && m.Holds(m.Plan.A, m.Plan.B) {
		a, b = m.Plan.A, m.Plan.B
	}
	number := func(key string, n *int, axis axisView) {
		if x, err := strconv.Atoi(q.Get(key)); err == nil {
			*n = x
		}
		switch q.Get("do") {
		case key + "-":
			*n--
		case key + "+":
			*n++
		}
		*n = min(max(*n, axis.Low), axis.High)
	}
	number("a", &a, v.Across)
	number("b", &b, v.Up)
	return a, b
}

// place says where on the map the pair lies.
func (x *atView) place(v *mapView) {
	x.Left, x.Right, x.Top, x.Bottom, x.Width, x.Height = v.Left, v.Right, v.Top, v.Bottom, v.Width, v.Height
	x.Cross = draw.Pt(
		v.Left+(v.Right-v.Left)*float64(x.A-v.Across.Low)/float64(v.Across.Last-v.Across.Low),
		v.Bottom-(v.Bottom-v.Top)*float64(x.B-v.Up.Low)/float64(v.Up.Last-v.Up.Low),
	)
}

func (v *mapView) neighbours(m *app.CountMap) {
	if m.Plan == nil || !m.Holds(m.Plan.A, m.Plan.B) {
		return
	}
	show := m.Rig.Show()
	v.Load = capital(counts.LoadWords(m.Rig))
	for _, c := range study.Neighbours(m.Map, *m.Plan) {
		p := m.Map.At(c.A, c.B)
		x := nearView{A: c.A, B: c.B, Falls: !p.Settled || p.Falls, Over: !p.Within(), Plan: c == *m.Plan, See: fmt.Sprintf("%s?a=%d&b=%d#map", v.Address, c.A, c.B)}
		if !x.Falls {
			x.Pitch, x.Roll, x.Use = show.Angle(p.Pitch), show.Angle(p.Roll), show.Percent(p.Load())
		}
		v.Near = append(v.Near, x)
	}
}

// foundCells are the pairs that the latest search found, where it was of the
// groups of the map and in the rig's own bands, in which the map is shaded.
func (s *Server) foundCells(m *app.CountMap, search *job) []study.Cell {
	if search == nil {
		return nil
	}
	result, _ := search.outcome()
	done, ok := result.(*searched)
	own := app.WishOf(m.Rig)
	if !ok || len(done.doc.Groups) != 2 || !sameBand(own.Pitch, done.wish.Pitch) || !sameBand(own.Roll, done.wish.Roll) {
		return nil
	}
	for k, g := range []struct{ ids []string }{{m.Map.A.IDs}, {m.Map.B.IDs}} {
		if strings.Join(done.doc.Groups[k].Legs, ",") != strings.Join(g.ids, ",") {
			return nil
		}
	}
	var out []study.Cell
	for _, c := range done.doc.Found {
		out = append(out, study.Cell{A: c.Counts[0], B: c.Counts[1]})
	}
	return out
}

// sameBand compares bands of attitude to the digits that the form shows.
func sameBand(a, b *[2]float64) bool {
	if a == nil || b == nil {
		return a == b
	}
	const shown = 1e-6 * quantity.Degree
	return math.Abs(a[0]-b[0]) < shown && math.Abs(a[1]-b[1]) < shown
}

// at hangs a rig with a pair of counts of its map.
func (s *Server) at(head rigHead, solved *app.Solved, m *app.CountMap, a, b int) (*atView, error) {
	wanted := m.Counts(a, b)
	hung, err := m.Rig.WithCounts(wanted)
	if err != nil {
		return nil, err
	}
	ctx, cancel := context.WithTimeout(context.Background(), s.solver.limit)
	defer cancel()
	answer, err := rig.HangWithin(ctx, hung)
	if ctx.Err() != nil {
		return nil, refusal{http.StatusServiceUnavailable, "It takes too long", "Hanging the rig with these counts takes longer than is given to a page."}
	}
	if err != nil {
		return nil, err
	}
	x := &atView{
		A: a, B: b, Take: legCounts(wanted), Words: countsInWords(wanted), Invented: head.Invented,
		Planned: m.Plan != nil && m.Plan.A == a && m.Plan.B == b,
		Kind:    answer.Result.String(), Result: capital(answer.Result.Words()), Reason: capital(answer.Reason),
		Address: head.Address, Version: solved.Version, Standing: app.FoundWords,
	}
	if status := capital(answer.Status.String()); status != head.Status {
		x.Status = status
	}
	v := rigView{}
	v.legs(&app.Solved{Rig: hung, Answer: answer})
	x.Legs = v.Legs
	show := hung.Show()
	for i := range answer.Bodies {
		body := &answer.Bodies[i]
		bv := bodyView{ID: body.ID, Hangs: picture.AttitudeWords(show, body), Tilt: show.Angle(body.Tilt)}
		if !body.Joined {
			bv.Hangs = "stays on the ground"
		}
		x.Bodies = append(x.Bodies, bv)
	}
	text, err := svg.String(picture.Of(hung, answer, picture.Options{View: firstSeen().view(), Width: hungWidth, Height: hungHeight, Bare: true}))
	x.Picture = template.HTML(text) // our own drawing, its texts escaped
	return x, err
}

// countsAt sends how the load hangs at a pair of counts, for the script; asked
// for as a page it shows the pair on the count page.
func (s *Server) countsAt(w http.ResponseWriter, r *http.Request) error {
	start := time.Now()
	head, solved, err := s.subpage(r, "counts")
	if err != nil {
		return err
	}
	q := r.URL.Query()
	a, err1 := strconv.Atoi(q.Get("a"))
	b, err2 := strconv.Atoi(q.Get("b"))
	if err1 != nil || err2 != nil {
		return refusal{http.StatusBadRequest, "Not understood", "A pair of counts is two whole numbers."}
	}
	if !wantsJSON(r) {
		http.Redirect(w, r, fmt.Sprintf("%s/counts?a=%d&b=%d#map", head.Address, a, b), http.StatusSeeOther)
		return nil
	}
	m := s.chartOf(solved.Version)
	if m == nil || q.Get("version") != solved.Version {
		return refusal{http.StatusConflict, "The rig was changed", "The rig was changed since this map was computed. Load the page again."}
	}
	if !m.Holds(a, b) {
		return refusal{http.StatusBadRequest, "Not on the map", "This pair of counts is not on the map."}
	}
	x, err := s.at(head, solved, m, a, b)
	if err != nil {
		return err
	}
	words, err := s.pages.part("count-at-words", x)
	if err != nil {
		return err
	}
	w.Header().Set("Cache-Control", "no-store")
	w.Header().Set("Server-Timing", "answer;dur="+strconv.FormatFloat(float64(time.Since(start).Microseconds())/1000, 'f', 3, 64))
	writeJSON(w, http.StatusOK, map[string]any{"a": a, "b": b, "picture": string(x.Picture), "words": words})
	return nil
}

var noMap = refusal{http.StatusNotFound, "No map", "The count map of this version of the rig is not computed yet, or no longer remembered. Compute it on the page of the counts."}

// countMapFile sends the map as svg, pdf or csv.
func (s *Server) countMapFile(w http.ResponseWriter, r *http.Request) error {
	head, solved, err := s.subpage(r, "counts")
	if err != nil {
		return err
	}
	m := s.chartOf(solved.Version)
	if m == nil {
		return noMap
	}
	name := fmt.Sprintf("%s-counts-%s-%s", head.Name, m.Map.A.Name, m.Map.B.Name)
	if r.PathValue("format") == "csv" {
		data, err := m.CSV()
		if err != nil {
			return err
		}
		return s.sendStudy(w, name, solved.Version, "csv", data)
	}
	return s.sendPicture(w, r, m.Picture(s.foundCells(m, s.jobs.find(solved.Version, kindSearch))), name, solved.Version)
}

// printCountMap sends the sheet of the map and notes that it was printed.
func (s *Server) printCountMap(w http.ResponseWriter, r *http.Request) error {
	head, solved, err := s.subpage(r, "counts")
	if err != nil {
		return err
	}
	m := s.chartOf(solved.Version)
	if m == nil {
		return noMap
	}
	data, err := m.Sheet(solved, s.foundCells(m, s.jobs.find(solved.Version, kindSearch)), s.studyStamp(head.Name))
	if err != nil {
		return err
	}
	s.notePrinted(head.Name, solved.Version)
	return s.sendStudy(w, head.Name+"-count-map", solved.Version, "pdf", data)
}
