package web

import (
	"bytes"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/docket"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/pdf"
)

// paperOf is a signed inspection's record with words for what it names by id,
// from the versions that it names by their hashes.
func (s *Server) paperOf(r *http.Request, e *app.SealedEntry, later []app.SealedEntry, origin string) (*docket.Record, error) {
	body, err := inspection.ReadSealed(e.Body)
	if err != nil {
		return nil, err
	}
	settings, _, err := s.School.Settings()
	if err != nil {
		return nil, err
	}
	p := &docket.Record{
		School: s.School.title(), Log: origin, N: e.N, Leaf: hex.EncodeToString(e.Leaf[:]), Short: e.Short(), Mark: e.Mark(origin),
		Sealed: body, Asked: map[inspection.Task]docket.Asked{}, Zone: s.zone(&settings),
	}
	for i := range later {
		var b laterBody
		if err := json.Unmarshal(later[i].Body, &b); err != nil {
			return nil, err
		}
		p.Later = append(p.Later, docket.Later{N: later[i].N, At: later[i].At, Kind: later[i].Kind, Text: b.says(later[i].Kind), By: b.By.Name})
	}
	state := &inspection.State{Begin: body.Begin}
	d, err := s.inspected(&inspection.Summary{Rig: body.Begin.Rig, RigVersion: body.Begin.RigVersion}, state)
	if err != nil {
		return nil, err
	}
	rig := d.solved.Rig
	if rig == nil {
		return p, nil
	}
	p.Title = rig.Title()
	for _, b := range rig.Bodies() {
		p.Bodies = append(p.Bodies, joined(", ", b.ID+": "+rig.Show().Mass(b.TotalMass()), b.Known))
	}
	if x := rig.Procedure(); x != nil {
		p.Procedure = joined(", ", x.Publication, labelled("edition", x.Edition), labelled("change", x.Change), labelled("paragraph", x.Paragraph))
	}
	asked, places := d.questions(state)
	for _, q := range asked {
		a := docket.Asked{Checkpoint: places[q.At].Title}
		if q.Asks != nil {
			a.Part, a.Question, a.Planned, a.States = q.Asks.Part.Name, q.Asks.Attribute.Ask, q.Asks.Planned, map[string]string{}
			for i := range q.Asks.Attribute.States {
				a.States[q.Asks.Attribute.States[i].ID] = q.Asks.Attribute.States[i].Text
			}
		}
		p.Asked[q.Task] = a
	}
	return p, nil
}

// labelled puts a label before a text that does not begin with it.
func labelled(label, text string) string {
	if text == "" || strings.Contains(strings.ToLower(text), label) {
		return text
	}
	return label + " " + text
}

// zone is the school's own, in which its papers print times.
func (s *Server) zone(settings *app.Settings) *time.Location {
	if z, err := time.LoadLocation(settings.Zone); err == nil && settings.Zone != "" {
		return z
	}
	return s.Now().Location()
}

// sealedView words a record for its page.
func (s *Server) sealedView(r *http.Request, p *docket.Record) (*sealedView, error) {
	v := &sealedView{
		Load: p.Begin.Load, Status: capital(p.Status), Result: capital(p.Result), Facts: slices.Concat(p.LoadFacts(), p.PeopleFacts()),
		Walk: inspectURL(p.Inspection) + "/sign", Tag: tagURL(p.Begin.Rig, p.Begin.Load),
	}
	for _, x := range p.Sets {
		due := "no inspection was due"
		if x.Due != "" {
			due = "its next inspection was due on " + string(x.Due)
		}
		v.Sets = append(v.Sets, itemLink{Address: itemURL(x.ID), Words: x.Kind + " " + x.Serial, Why: due})
	}
	for _, x := range p.Wrong() {
		v.Wrong = append(v.Wrong, s.sealedAnswer(p, x))
	}
	all := p.All()
	v.Answers = len(all)
	if len(all) <= answersOnPage {
		v.Places = s.places(p, all)
	} else {
		v.All = recordURL(p.N) + "/answers"
	}
	for _, x := range p.Remarks {
		about := x.About
		if about == "" || about == "anything-else" {
			about = "Anything else?"
		}
		v.Remarks = append(v.Remarks, sealedRemark{about, x.Text, s.photoLinks(p, x.Photos)})
	}
	x, _, err := s.School.Inspection(r.Context(), personOf(r), p.Inspection)
	if errors.Is(err, fs.ErrNotExist) {
		return v, nil
	}
	if err != nil {
		return nil, told(err)
	}
	st, err := s.School.Standing(r.Context(), x)
	if err != nil {
		return nil, err
	}
	v.Counts, v.Why = st.Counts, st.Why
	if personOf(r).May(people.ManageEquipment) {
		out, err := s.School.OnLoad(r.Context(), personOf(r), p.Inspection)
		if err != nil {
			return nil, told(err)
		}
		if len(out) > 0 {
			v.Derig = derigURL(p.Inspection)
		}
	}
	return v, nil
}

func (s *Server) sealedAnswer(p *docket.Record, x docket.Said) sealedAnswer {
	return sealedAnswer{Part: x.Part, Ask: x.Question, Answer: capital(x.Answer), At: x.At, Said: x.Text, After: x.After, Photos: s.photoLinks(p, x.Photos)}
}

// places sorts answers by their checkpoints.
func (s *Server) places(p *docket.Record, all []docket.Said) []sealedPlace {
	var out []sealedPlace
	for _, x := range all {
		if n := len(out); n == 0 || out[n-1].Title != x.Checkpoint {
			out = append(out, sealedPlace{Title: x.Checkpoint})
		}
		place := &out[len(out)-1]
		place.Answers = append(place.Answers, s.sealedAnswer(p, x))
	}
	return out
}

func (s *Server) photoLinks(p *docket.Record, hashes []string) []photoLink {
	var out []photoLink
	for _, h := range hashes {
		out = append(out, photoLink{inspectURL(p.Inspection) + "/photo/" + h, slices.Index(p.Photos, h) + 1})
	}
	return out
}

// printRecord sends the record of an inspection as PDF: all three copies, or the
// one asked for.
func (s *Server) printRecord(w http.ResponseWriter, r *http.Request) error {
	n, err := recordNumber(r)
	if err != nil {
		return err
	}
	copies := docket.Copies
	if text := r.URL.Query().Get("copy"); text != "" {
		if !slices.Contains(copies, docket.Copy("for the "+text)) {
			return refusal{http.StatusBadRequest, "Not understood", "There is a copy for the load, for the aircrew and for the file."}
		}
		copies = []docket.Copy{docket.Copy("for the " + text)}
	}
	e, later, err := s.School.Record(r.Context(), personOf(r), n)
	if errors.Is(err, fs.ErrNotExist) {
		return noRecord
	}
	if err != nil {
		return told(err)
	}
	if e.Kind != app.EntryInspection {
		return refusal{http.StatusNotFound, "Nothing to print", "This record is not that of an inspection. Its page can be printed by the browser."}
	}
	_, _, origin, err := s.School.LogHead(r.Context(), personOf(r))
	if err != nil {
		return told(err)
	}
	p, err := s.paperOf(r, &e, later, origin)
	if err != nil {
		return err
	}
	pages, err := docket.Inspection(p, copies, s.docketStamp())
	if err != nil {
		return err
	}
	return s.sendPages(w, fmt.Sprintf("record-%d.pdf", n), pages)
}

func (s *Server) docketStamp() docket.Stamp {
	return docket.Stamp{Date: s.Now().Format("2006-01-02 15:04"), Tool: s.Tool}
}

// sendPages sends pages of one size as a PDF of this name.
func (s *Server) sendPages(w http.ResponseWriter, name string, pages []*draw.Picture) error {
	var b bytes.Buffer
	if err := pdf.WriteAll(&b, pages, pdf.Meta{Lang: "en", Created: s.Now()}); err != nil {
		return fmt.Errorf("web: %s: %w", name, err)
	}
	return sendAs(w, "application/pdf", name, b.Bytes())
}

// sendAs sends a file of any type to be kept, under its whole name.
func sendAs(w http.ResponseWriter, kind, name string, data []byte) error {
	h := w.Header()
	h.Set("Content-Type", kind)
	h.Set("Content-Disposition", "attachment; filename*=UTF-8''"+url.PathEscape(name))
	_, err := w.Write(data)
	return err
}
