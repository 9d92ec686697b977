package whatif

import (
	"fmt"
	"strings"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/fault"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/picture"
	"hangtrue/internal/paper/sheet"
)

// A card is what the sheet says of one group of faults, mm.
const (
	cardGap   = 4.0
	cardPlace = 25.0 // width of its picture
	cardTall  = 27.0
)

// Sheet is the one-fault table as A4 pages: how many faults may end in what, the
// hooks' shares where there are several, every group of faults with its worst
// drawn small, the travel of each count, and what is left out. plan is the rig
// as planned, of which t is the table. Each picture hangs its rig anew, so that
// the sheet of a rig that is slow to hang is slow.
func Sheet(plan *rig.Answer, t *fault.Table, pitch []fault.AtPitch, stamp sheet.Stamp) []*draw.Picture {
	d := &pages{plan: plan, stamp: stamp, what: "One thing gone wrong", under: []string{"As planned: " + plan.Result.Words() + ". " + spelling.Capital(plan.Reason)}}
	d.page()
	d.say(fmt.Sprintf("%s tried, one at a time, each hung and judged like the rig itself, at rest. %s.", counted(t.Tried), spelling.Capital(fault.Shock)), look.Body)
	if t.Tried < t.Listed {
		d.say(fmt.Sprintf("Interrupted: %d of %d tried. The rest is not known.", t.Tried, t.Listed), look.Strong)
	}
	groups := t.Groups()
	d.ends(plan.Rig, groups)
	d.shares(plan.Rig, pitch)
	for i := 0; i < len(groups); {
		n := i
		for n < len(groups) && groups[n].End == groups[i].End {
			n++
		}
		d.cards(plan.Rig, groups[i:n])
		i = n
	}
	d.travels(plan.Rig, t)
	d.head("What the numbers leave out", 10)
	d.points(Asides(t), look.Body)
	if len(t.Omitted) > 0 {
		d.head("Faults that this rig cannot have, or that cannot be worked out", 10)
		var list []string
		for _, o := range t.Omitted {
			list = append(list, o.What+": "+o.Why)
		}
		d.points(list, look.Body)
	}
	return d.done()
}

// ends counts what the faults may end in.
func (d *pages) ends(r *rig.Rig, groups []fault.Group) {
	var rows [][]string
	for i := 0; i < len(groups); {
		n, of := 0, i
		for ; i < len(groups) && groups[i].End == groups[of].End; i++ {
			n += len(groups[i].Rows)
		}
		words := groups[of].End.Words()
		if groups[of].End == "" {
			words = "nothing shown here"
		}
		worst := groups[of].Worst()
		rows = append(rows, []string{words, fmt.Sprint(n), worst.What, worst.Result.Words()})
	}
	d.y += look.Space
	d.table([]picture.Column{{Head: "may end so", Width: 4}, {Head: "faults", Width: 1.3, Right: true}, {Head: "worst of them", Width: 8}, {Head: "as it then hangs", Width: 4.4}}, rows)
}

// shares draws the hooks' shares over the aircraft's pitch.
func (d *pages) shares(r *rig.Rig, pitch []fault.AtPitch) {
	if len(pitch) == 0 {
		return
	}
	const h = 52.0
	d.head("How the hooks share the load as the aircraft pitches", h)
	d.put(Share(r, pitch, d.area.W, h), 0, 1)
	d.y += h + look.Unit
	var rows [][]string
	show := r.Show()
	for i, x := range pitch {
		if i%5 != 0 {
			continue
		}
		var on []string
		for _, s := range x.Share {
			on = append(on, fmt.Sprintf("%s %s (%s)", s.Hook, show.Force(s.Force), show.Percent(s.Share)))
		}
		use := "not rated"
		if x.Rated {
			use = x.Leg + " " + show.Percent(x.Use)
		}
		rows = append(rows, []string{show.Angle(x.Aircraft), strings.Join(on, ", "), use, x.Result.Words()})
	}
	d.table([]picture.Column{{Head: "aircraft", Width: 2, Right: true}, {Head: "hooks", Width: 8}, {Head: "most used leg", Width: 3}, {Head: "as it then hangs", Width: 4.4}}, rows)
}

// cards writes groups of faults that may end alike in two columns.
func (d *pages) cards(r *rig.Rig, groups []fault.Group) {
	heading := EndWords(&groups[0])
	d.head(heading, cardTall)
	w := (d.area.W - cardGap) / 2
	for i := 0; i < len(groups); i += 2 {
		pair := make([]card, 0, 2)
		h := cardTall
		for k := i; k < min(i+2, len(groups)); k++ {
			c := newCard(r, &groups[k], w)
			pair = append(pair, c)
			h = max(h, c.height)
		}
		if d.left() < h {
			d.page()
			d.head(heading+", continued", h)
		}
		for k, c := range pair {
			c.draw(d.p(), draw.Pt(d.area.X+float64(k)*(w+cardGap), d.y))
		}
		d.y += h + look.Unit
	}
}

// card is one group of faults on a sheet.
type card struct {
	picture *draw.Picture // nil where it cannot be hung any more
	texts   []string
	styles  []draw.TextStyle
	width   float64
	height  float64
}

func newCard(r *rig.Rig, g *fault.Group, width float64) card {
	c := card{width: width}
	worst := g.Worst()
	if a, err := worst.Fault.Hung(r, worst.Ran); err == nil {
		c.picture = Small(a, cardPlace, cardTall-1)
	} else if a, err := worst.Fault.Hung(r, false); err == nil {
		c.picture = Small(a, cardPlace, cardTall-1)
	}
	add := func(text string, style draw.TextStyle) {
		if text != "" {
			c.texts, c.styles = append(c.texts, text), append(c.styles, style)
		}
	}
	add(spelling.Capital(g.What(r)), look.Strong)
	if len(g.Rows) > 1 {
		add("Worst and drawn: "+worst.What, look.Small)
	}
	result := look.Body
	if worst.Result == rig.Over || worst.Result == rig.DoesNotStand {
		result = result.WithPaint(look.Over)
	}
	add(spelling.Capital(worst.Result.Words())+"; "+RowWords(r, worst), result)
	add(strings.Join(worst.Why, "; "), look.Small.WithPaint(look.Ink))
	c.height = look.Space
	for i, t := range c.texts {
		c.height += draw.TextHeight(t, width-cardPlace-look.Space, c.styles[i])
	}
	return c
}

func (c *card) draw(p *draw.Picture, at draw.Point) {
	p.Line(at, at.Add(draw.Pt(c.width, 0)), look.GridLine)
	if c.picture != nil {
		p.Embed(c.picture, at.Add(draw.Pt(0, 0.5)), 1)
	}
	y := at.Y + look.Unit
	for i, t := range c.texts {
		y += p.TextBox(draw.Pt(at.X+cardPlace+look.Space, y), c.width-cardPlace-look.Space, t, c.styles[i].At(draw.Start, draw.CapTop))
	}
}

// travels draws what each leg's count does as it goes off.
func (d *pages) travels(r *rig.Rig, t *fault.Table) {
	const h = 46.0
	first := true
	for _, l := range r.Legs() {
		p := Travel(r, t, l.ID, d.area.W, h)
		if p == nil {
			continue
		}
		if first {
			d.head("As one count goes off, all others as planned", h)
			first = false
		}
		d.need(h)
		d.put(p, 0, 1)
		d.y += h + look.Space
	}
}
