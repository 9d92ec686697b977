package lane

import (
	"encoding/hex"
	"fmt"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/sheet"
)

// Key is the key sheet of a version, for after the test: what was planted, and
// what is needed to check that it is what was committed to before.
func Key(p *Planted, v *teach.LaneVersion, made string, s sheet.Stamp) []*draw.Picture {
	tag, caveat := p.tag(), p.caveat()
	if p.Real && !v.Restored.IsZero() { // the load wears its tag no longer
		tag, caveat = "", rig.Caution+" For training. What was planted was confirmed put right, one by one, by two people."
	}
	f := newTagged(p.Survey.Rig, tag, "Key: "+p.name(), notForStudents, caveat, s)
	f.Write(fmt.Sprintf("Class %s. Load: %s.", p.Class, p.Load), look.Body.WithSize(3))
	f.head("What was planted")
	for i, x := range p.Items {
		text := x.ID
		if x.Wrong != nil {
			text = spelling.Capital(x.Wrong.Text())
		}
		f.Write(fmt.Sprintf("%d. Station %d: %s", i+1, x.Station, text), look.Strong)
		f.WriteIn(6, f.Area.W-6, x.ID, small)
		f.Y++
	}
	if v.Equal != "" {
		f.Y++
		f.Write("How equal the versions made with it are: "+v.Equal+".", look.Body)
	}
	for _, n := range v.Notes {
		f.Write(spelling.Capital(n)+".", look.Body)
	}
	f.head("How to check that it was not changed")
	f.Write(fmt.Sprintf("Before the test, on %s, this was put into the school's sealed log as record %d:", made, v.Entry), look.Body)
	mono := look.Body.WithSize(2.3)
	mono.Mono = true
	f.block("commitment, SHA-256", string(v.Commitment), mono)
	f.Write("It is the SHA-256 of the 32 bytes of the secret followed by the bytes of the key:", look.Body)
	f.block("secret, 32 bytes in hexadecimal", hex.EncodeToString(v.Secret[:]), mono)
	f.block("key, its exact bytes", string(v.Key.Canonical()), mono)
	f.Write("Any program that computes SHA-256 can do it. As the key was not known before and the commitment was, nothing was changed in between.", look.Body)
	return f.Done()
}

// block writes letters that are to be copied exactly, broken where a line is
// full.
func (f *flow) block(name, text string, style draw.TextStyle) {
	f.Y++
	f.Write(name, small)
	per := int((f.Area.W - 8) / style.Width("m"))
	for len(text) > 0 {
		n := min(per, len(text))
		f.Need(style.LineHeight())
		f.Y += f.List().TextBox(draw.Pt(f.Area.X+4, f.Y), f.Area.W, text[:n], style)
		text = text[n:]
	}
	f.Y += 1.5
}

// Slot is a group at a lane, in words.
type Slot struct{ Group, Lane, Load, Grader, From, To string }

// Rotation is who goes where and when, as a table: groups down, times across as
// they come.
func Rotation(class, day string, slots []Slot, ends, idle, bound, method string, s sheet.Stamp) []*draw.Picture {
	const caveat = "A plan of a test day. It says nothing about any load, and nothing of what is planted."
	f := newFlow(nil, "Rotation: "+class+", "+day, "", caveat, s)
	f.Write(fmt.Sprintf("Ends at %s. Waiting between lanes, over all groups: %s. No plan can end before %s.", ends, idle, bound), look.Body.WithSize(3))
	f.Y += 2
	columns := []float64{0.13, 0.13, 0.14, 0.22, 0.18, 0.20}
	row := func(values []string, style draw.TextStyle) {
		f.Need(7)
		x := f.Area.X
		for i, v := range values {
			w := f.Area.W * columns[i]
			f.List().Text(draw.Pt(x, f.Y+3.2), draw.OneLine(v, w-2, style), style.At(draw.Start, draw.CapMiddle))
			x += w
		}
		f.Y += 6.4
		f.Rule(look.GridLine)
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
	f.Y += 3
	f.Write("How it was made: "+method, small)
	return f.Done()
}
