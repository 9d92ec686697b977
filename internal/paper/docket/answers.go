package docket

import (
	"fmt"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// wrong draws all that was found wrong or could not be told, and what came of
// it.
func (r *Record) wrong(d *document) {
	d.heading("Found wrong, or could not be told", 12)
	widths := []float64{18, 62, d.area.W - 80}
	list := r.Wrong()
	for _, x := range list {
		d.row(widths, []string{x.At, x.Part + "\n" + x.Question, joined(": ", sentence(x.Answer), x.Text) + ".\n" + x.After},
			[]draw.TextStyle{look.Body, look.Strong, look.Body})
	}
	if len(list) == 0 {
		d.write("Nothing, by the answers given.", look.Body)
	}
	d.again = nil
}

// answers draws every question with the answer that counts, checkpoint by
// checkpoint.
func (r *Record) answers(d *document) {
	d.heading("All questions and answers", 16)
	widths := []float64{46, 74, 20, 16, d.area.W - 156}
	body, strong := look.Body.WithSize(2.4), look.Strong.WithSize(2.4)
	before := ""
	for i, x := range r.All() {
		if i == 0 || x.Checkpoint != before {
			before = x.Checkpoint
			d.y++
			d.need(12)
			d.write(x.Checkpoint, look.Strong)
		}
		d.row(widths, []string{x.Part, x.Question, x.Answer, x.At, x.Text}, []draw.TextStyle{body, body, strong, body, body})
	}
	d.again = nil
}

func (r *Record) remarks(d *document) {
	d.heading("Remarks", 8)
	if len(r.Remarks) == 0 {
		d.write("None.", look.Body)
		d.again = nil
		return
	}
	for _, x := range r.Remarks {
		about := x.About
		if about == "anything-else" || about == "" {
			about = "Anything else?"
		}
		d.row([]float64{40, d.area.W - 40}, []string{about, joined("; ", x.Text, r.photoNumbers(x.Photos))}, []draw.TextStyle{look.Strong, look.Body})
	}
	d.again = nil
}

func (r *Record) photos(d *document) {
	if len(r.Photos) == 0 {
		return
	}
	d.heading("Photos, sealed by their SHA-256", 8)
	mono := look.Figures.WithSize(2.2)
	for i, h := range r.Photos {
		d.row([]float64{20, d.area.W - 20}, []string{fmt.Sprintf("photo %d", i+1), h}, []draw.TextStyle{look.Body, mono})
	}
	d.again = nil
}

// signatures is room for names by hand: the paper's own, beside the signature in
// the log.
func signatures(d *document, c Copy, s *inspection.Sealed) {
	lines := [][2]string{{"Inspector", s.Inspector.Name}, {"Rigger", s.Rigger.Name}}
	switch c {
	case ForAircrew:
		lines = append(lines, [2]string{"Received for the aircrew", ""})
	case ForLoad:
		lines = append(lines, [2]string{"Hook-up", ""})
	case ForFile:
		lines = append(lines, [2]string{"Filed", ""})
	}
	d.heading("Signatures", 14*float64(len(lines)))
	d.write("For all of this record: every question and answer is listed below.", look.Body)
	for _, x := range lines {
		d.y += 9
		l := d.list()
		l.Text(draw.Pt(d.area.X, d.y), joined(": ", x[0], x[1]), look.Body)
		x0 := d.area.X
		for _, f := range []struct {
			at, w float64
			word  string
		}{{70, 70, "signature"}, {145, d.area.W - 145, "date and time"}} {
			l.Line(draw.Pt(x0+f.at, d.y), draw.Pt(x0+f.at+f.w, d.y), draw.Stroke{Paint: look.Ink, Width: 0.4})
			l.Text(draw.Pt(x0+f.at, d.y+3), f.word, look.Small)
		}
		d.y += 4
	}
	d.again = nil
}
