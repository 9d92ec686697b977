package web

import (
	"context"
	"fmt"
	"html/template"
	"net/http"

	rigspread "hangtrue/internal/engine/rig/spread"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/draw/svg"
)

// spreadView is the page that says how sure an answer is.
type spreadView struct {
	rigHead
	Form    spreadForm
	Job     *jobView
	Outcome *spreadOutcome
}

// spreadOutcome is a spread as the page shows it.
type spreadOutcome struct {
	Share      string // what the highest share is of
	Words      string
	Slack      string
	Stopped    bool
	Tolerances []string
	Seed       uint64
	Picture    template.HTML
	Rows       []spreadRow
	Effects    []effectRow
	Runs       int
	Worst      []worstRow
}

type spreadRow struct{ Name, Planned, Least, Low, Middle, High, Most string }

type effectRow struct{ Name, Use, Pitch, Roll string }

type worstRow struct{ Case, Use, About, Pitch, Roll string }

const kindSpread = "spread"

// spreadWidth and spreadHeight are the size of the picture on the page, mm.
const spreadWidth, spreadHeight = 116, 150

func (s *Server) spreadPage(w http.ResponseWriter, r *http.Request) error {
	head, solved, err := s.subpage(r, "spread")
	if err != nil {
		return err
	}
	if solved.Answer == nil {
		return s.unready(w, head)
	}
	page, err := s.spreadView(head, solved)
	if err != nil {
		return err
	}
	return s.pages.write(w, http.StatusOK, "spread", page)
}

func (s *Server) spreadView(head rigHead, solved *app.Solved) (*spreadView, error) {
	head.Script = "spread.js"
	p := &spreadView{rigHead: head, Form: firstSpreadForm(solved.Rig)}
	x := s.jobs.find(solved.Version, kindSpread)
	if x == nil {
		return p, nil
	}
	p.Form = x.asked.(spreadAsked).form
	if p.Job = viewOf(x, "Solving the spread", head.Address+"/job/"+kindSpread); p.Job != nil {
		return p, nil
	}
	result, err := x.outcome()
	done, ok := result.(*app.Spread)
	switch {
	case ok:
		p.Outcome, err = outcomeOf(done)
		return p, err
	case x.now().Stopped:
		p.Notice = "Stopped before the first case was solved."
	case err != nil:
		p.Form.Wrong = capital(said(err))
	}
	return p, nil
}

func outcomeOf(x *app.Spread) (*spreadOutcome, error) {
	sp, show := x.Spread, x.Rig.Show()
	o := &spreadOutcome{
		Words: capital(sp.Words()), Stopped: sp.Stopped, Tolerances: rigspread.InWords(x.Rig, sp.Tolerances), Seed: sp.Seed, Runs: sp.EffectRuns,
	}
	if sp.Slack > 0 {
		o.Slack = fmt.Sprintf("A leg is slack in %d of %d tried cases.", sp.Slack, sp.Cases)
	}
	row := func(name string, d rigspread.Distribution, word func(float64) string) {
		o.Rows = append(o.Rows, spreadRow{name, word(d.Planned), word(d.Least), word(d.At[1]), word(d.At[2]), word(d.At[3]), word(d.Most)})
	}
	o.Share = capital(sp.UseWords())
	row(o.Share, sp.Use, show.Percent)
	row("Pitch", sp.Pitch, show.Angle)
	row("Roll", sp.Roll, show.Angle)
	for _, e := range sp.Effects {
		o.Effects = append(o.Effects, effectRow{e.Name, show.Percent(e.Use), show.Percent(e.Pitch), show.Percent(e.Roll)})
	}
	for _, c := range sp.Worst {
		o.Worst = append(o.Worst, worstRow{fmt.Sprint(c.Index + 1), show.Percent(c.Use), c.About, show.Angle(c.Pitch), show.Angle(c.Roll)})
	}
	text, err := svg.String(x.BarePicture(spreadWidth, spreadHeight))
	o.Picture = template.HTML(text) // our own drawing, its texts escaped
	return o, err
}

// askSpread begins a spread and goes back to the page.
func (s *Server) askSpread(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	head, solved, err := s.subpage(r, "spread")
	if err != nil {
		return err
	}
	if solved.Answer == nil {
		return s.unready(w, head)
	}
	form, asked := readSpreadForm(r, solved.Rig)
	if form.Wrong != "" {
		page, err := s.spreadView(head, solved)
		if err != nil {
			return err
		}
		page.Form = form
		return s.pages.write(w, http.StatusUnprocessableEntity, "spread", page)
	}
	// The effects solve about as many cases again, which one bar shows as one.
	x, _, err := s.jobs.start(solved.Version, kindSpread, asked, func(ctx context.Context, tell progress) (any, error) {
		x, err := app.RunSpread(ctx, solved, rigspread.Options{
			Tolerances: asked.tolerances, Cases: asked.cases, Seed: asked.seed, Workers: workers(),
			Progress: func(done, total int) { tell(done, 2*total) },
			Further:  func(done, total int) { tell(asked.cases+done*asked.cases/total, 2*asked.cases) },
		})
		if err != nil {
			return nil, err
		}
		if x.Spread.Cases == 0 {
			return nil, ctx.Err()
		}
		return x, nil
	})
	if err != nil {
		return err
	}
	x.wait(patienceAtStart)
	http.Redirect(w, r, head.Address+"/spread#outcome", http.StatusSeeOther)
	return nil
}

// spreadOf is the finished spread of a rig's version, nil where there is none.
func (s *Server) spreadOf(version string) *app.Spread {
	x := s.jobs.find(version, kindSpread)
	if x == nil {
		return nil
	}
	result, _ := x.outcome()
	done, _ := result.(*app.Spread)
	return done
}

var noSpread = refusal{http.StatusNotFound, "No spread", "The spread of this version of the rig is not computed yet, or no longer remembered. Compute it on the page of the spread."}

// spreadFile sends the spread as svg, pdf, png or csv.
func (s *Server) spreadFile(w http.ResponseWriter, r *http.Request) error {
	head, solved, err := s.subpage(r, "spread")
	if err != nil {
		return err
	}
	x := s.spreadOf(solved.Version)
	if x == nil {
		return noSpread
	}
	name := fmt.Sprintf("%s-spread-seed-%d", head.Name, x.Spread.Seed)
	if r.PathValue("format") == "csv" {
		data, err := x.CSV()
		if err != nil {
			return err
		}
		return s.sendStudy(w, name, solved.Version, "csv", data)
	}
	return s.sendPicture(w, r, x.Picture(), name, solved.Version)
}

// printSpread sends the sheet of the spread and notes that it was printed.
func (s *Server) printSpread(w http.ResponseWriter, r *http.Request) error {
	head, solved, err := s.subpage(r, "spread")
	if err != nil {
		return err
	}
	x := s.spreadOf(solved.Version)
	if x == nil {
		return noSpread
	}
	data, err := x.Sheet(solved, s.studyStamp(head.Name))
	if err != nil {
		return err
	}
	s.notePrinted(head.Name, solved.Version)
	return s.sendStudy(w, head.Name+"-spread", solved.Version, "pdf", data)
}
