package lane

import (
	"encoding/hex"
	"fmt"

	"hangtrue/internal/engine/teach"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/sheet"
)

// Key is the key sheet of a version, for after the test: what was planted, and
// what is needed to check that it is what was committed to before.
func Key(p *Planted, v *teach.LaneVersion, made string, s sheet.Stamp) []*draw.Picture {
	f := newFlow(p.Survey.Rig, "Key: "+p.name(), notForStudents, trainingCaveat, false, s)
	f.write(fmt.Sprintf("Class %s. Load: %s.", p.Class, p.Load), look.Body.WithSize(3))
	f.head("What was planted")
	for i, x := range p.Items {
		text := x.ID
		if x.Wrong != nil {
			text = sentence(x.Wrong.Text())
		}
		f.write(fmt.Sprintf("%d. Station %d: %s", i+1, x.Station, text), look.Strong)
		f.writeAt(6, x.ID, small)
		f.y++
	}
	if v.Equal != "" {
		f.y++
		f.write("How equal the versions made with it are: "+v.Equal+".", look.Body)
	}
	for _, n := range v.Notes {
		f.write(sentence(n)+".", look.Body)
	}
	f.head("How to check that it was not changed")
	f.write(fmt.Sprintf("Before the test, on %s, this was put into the school's sealed log as record %d:", made, v.Entry), look.Body)
	mono := look.Body.WithSize(2.3)
	mono.Mono = true
	f.block("commitment, SHA-256", string(v.Commitment), mono)
	f.write("It is the SHA-256 of the 32 bytes of the secret followed by the bytes of the key:", look.Body)
	f.block("secret, 32 bytes in hexadecimal", hex.EncodeToString(v.Secret[:]), mono)
	f.block("key, its exact bytes", string(v.Key.Canonical()), mono)
	f.write("Any program that computes SHA-256 can do it. As the key was not known before and the commitment was, nothing was changed in between.", look.Body)
	return f.done()
}

// block writes letters that are to be copied exactly, broken where a line is
// full.
func (f *flow) block(name, text string, style draw.TextStyle) {
	f.y++
	f.write(name, small)
	per := int((f.area.W - 8) / style.Width("m"))
	for len(text) > 0 {
		n := min(per, len(text))
		f.need(style.LineHeight())
		f.y += f.list().TextBox(draw.Pt(f.area.X+4, f.y), f.area.W, text[:n], style)
		text = text[n:]
	}
	f.y += 1.5
}

// Slot is a group at a lane, in words.
type Slot struct{ Group, Lane, Load, Grader, From, To string }

// Rotation is who goes where and when, as a table: groups down, times across as
// they come.
func Rotation(class, day string, slots []Slot, ends, idle, bound, method string, s sheet.Stamp) []*draw.Picture {
	const caveat = "A plan of a test day. It says nothing about any load, and nothing of what is planted."
	f := newFlow(nil, "Rotation: "+class+", "+day, "", caveat, false, s)
	f.write(fmt.Sprintf("Ends at %s. Waiting between lanes, over all groups: %s. No plan can end before %s.", ends, idle, bound), look.Body.WithSize(3))
	f.y += 2
	columns := []float64{0.13, 0.13, 0.14, 0.22, 0.18, 0.20}
	row := func(values []string, style draw.TextStyle) {
		f.need(7)
		x := f.area.X
		for i, v := range values {
			w := f.area.W * columns[i]
			f.list().Text(draw.Pt(x, f.y+3.2), oneLine(v, w-2, style), style.At(draw.Start, draw.CapMiddle))
			x += w
		}
		f.y += 6.4
		f.list().Line(draw.Pt(f.area.X, f.y), draw.Pt(f.area.X+f.area.W, f.y), look.GridLine)
	}
	row([]string{"from", "to", "group", "lane", "load", "grader"}, small)
	last := ""
	for _, x := range slots {
		from := x.From
		if from != last {
			last = from
		} else {
			from = ""
		}
		row([]string{from, x.To, x.Group, x.Lane, x.Load, x.Grader}, look.Body.WithSize(3))
	}
	f.y += 3
	f.write("How it was made: "+method, small)
	return f.done()
}
