package docket

import (
	"fmt"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/running"
)

// wrong draws all that was found wrong or could not be told, and what came of
// it.
func (r *Record) wrong(d *running.Paper) {
	d.Section("Found wrong, or could not be told", look.Space, 12)
	widths := []float64{18, 62, d.Area.W - 80}
	list := r.Wrong()
	for _, x := range list {
		d.Row(widths, []string{x.At, x.Part + "\n" + x.Question, spelling.Joined(": ", spelling.Capital(x.Answer), x.Text) + ".\n" + x.After},
			look.Body, look.Strong, look.Body)
	}
	if len(list) == 0 {
		d.Write("Nothing, by the answers given.", look.Body)
	}
}

// answers draws every question with the answer that counts, checkpoint by
// checkpoint.
func (r *Record) answers(d *running.Paper) {
	d.Section("All questions and answers", look.Space, 16)
	widths := []float64{46, 74, 20, 16, d.Area.W - 156}
	body, strong := look.Body.WithSize(2.4), look.Strong.WithSize(2.4)
	before := ""
	for i, x := range r.All() {
		if i == 0 || x.Checkpoint != before {
			before = x.Checkpoint
			d.Y++
			d.Need(12)
			d.Write(x.Checkpoint, look.Strong)
		}
		d.Row(widths, []string{x.Part, x.Question, x.Answer, x.At, x.Text}, body, body, strong, body, body)
	}
}

func (r *Record) remarks(d *running.Paper) {
	d.Section("Remarks", look.Space, 8)
	if len(r.Remarks) == 0 {
		d.Write("None.", look.Body)
		return
	}
	for _, x := range r.Remarks {
		about := x.About
		if about == "anything-else" || about == "" {
			about = "Anything else?"
		}
		d.Row([]float64{40, d.Area.W - 40}, []string{about, spelling.Joined("; ", x.Text, r.photoNumbers(x.Photos))}, look.Strong, look.Body)
	}
}

func (r *Record) photos(d *running.Paper) {
	if len(r.Photos) == 0 {
		return
	}
	d.Section("Photos, sealed by their SHA-256", look.Space, 8)
	mono := look.Figures.WithSize(2.2)
	for i, h := range r.Photos {
		d.Row([]float64{20, d.Area.W - 20}, []string{fmt.Sprintf("photo %d", i+1), h}, look.Body, mono)
	}
}

// signatures is room for names by hand: the paper's own, beside the signature in
// the log.
func signatures(d *running.Paper, c Copy, s *inspection.Sealed) {
	lines := [][2]string{{"Inspector", s.Inspector.Name}, {"Rigger", s.Rigger.Name}}
	switch c {
	case ForAircrew:
		lines = append(lines, [2]string{"Received for the aircrew", ""})
	case ForLoad:
		lines = append(lines, [2]string{"Hook-up", ""})
	case ForFile:
		lines = append(lines, [2]string{"Filed", ""})
	}
	d.Section("Signatures", look.Space, 14*float64(len(lines)))
	d.Write("For all of this record: every question and answer is listed below.", look.Body)
	for _, x := range lines {
		d.Y += 9
		l := d.List()
		l.Text(draw.Pt(d.Area.X, d.Y), spelling.Joined(": ", x[0], x[1]), look.Body)
		x0 := d.Area.X
		for _, f := range []struct {
			at, w float64
			word  string
		}{{70, 70, "signature"}, {145, d.Area.W - 145, "date and time"}} {
			l.Line(draw.Pt(x0+f.at, d.Y), draw.Pt(x0+f.at+f.w, d.Y), draw.Stroke{Paint: look.Ink, Width: 0.4})
			l.Text(draw.Pt(x0+f.at, d.Y+3), f.word, look.Small)
		}
		d.Y += 4
	}
}
