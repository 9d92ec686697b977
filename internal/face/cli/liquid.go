package cli

import (
	"errors"
	"fmt"
	"strings"

	"hangtrue/internal/engine/liquid"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/face/app"
)

type liquidCommand struct {
	Name        string   `arg:"" help:"Liquid: fresh water, sea water, jet fuel, diesel, petrol, heating oil; or any name with --density-15 or --api."`
	Density15   string   `name:"density-15" placeholder:"DENSITY" help:"Its density at 15 degC, for example '804 kg/m3'."`
	API         *float64 `name:"api" placeholder:"GRAVITY" help:"Its API gravity."`
	Salinity    *float64 `placeholder:"S" help:"Practical salinity of sea water, 0 to 42; 35 by default."`
	Volume      string   `placeholder:"VOLUME" help:"How much of it, at its temperature: '900 L'."`
	Mass        string   `placeholder:"MASS" help:"What it weighs, instead of its volume: '700 kg'."`
	At          string   `required:"" placeholder:"TEMPERATURE" help:"Its temperature when it was filled: '12 degC'."`
	Hottest     string   `placeholder:"TEMPERATURE" help:"The hottest it may get before it is emptied."`
	Drum        string   `placeholder:"SIZE" help:"A drum lying on its side: its length and its diameter, '1.2 m, 0.9 m'."`
	Standing    bool     `help:"The drum stands on its end."`
	Box         string   `placeholder:"SIZE" help:"A tank like a box: its sides along x, y and z, '1 m, 1 m, 1 m'."`
	Capacity    string   `placeholder:"VOLUME" help:"What the tank holds when brim-full; by default its outline."`
	Collapsible string   `placeholder:"BOUNDS" help:"A tank of fabric: the fills between which its maker allows it to be lifted, '300 L, 900 L'; none where they are not known."`
	Show        string   `placeholder:"UNITS" help:"Units of the answer: metric or us; by default those mostly typed."`
	Out         string   `short:"o" placeholder:"FILE" help:"Also write it as a sheet, .svg, .pdf or .png."`
	JSON        bool     `name:"json" help:"Print it as data."`
}

// Help is the command's long help.
func (liquidCommand) Help() string {
	return `What a fill of liquid weighs, where its CG lies in its tank, and how much room is left for it to expand up to a hottest temperature: over-full is over a limit. A product known by name only has a tolerance, and is never printed without it.

Examples:

  hangtrue liquid 'jet fuel' --volume '900 L' --at '12 degC'
  hangtrue liquid diesel --mass '700 kg' --at '5 degC' --hottest '40 degC' --drum '1.5 m, 0.9 m' --capacity '920 L'
  hangtrue liquid 'fresh water' --volume '600 L' --at '10 degC' --collapsible '300 L, 900 L' --box '1.3 m, 1.3 m, 0.8 m'

Exit status: 0 printed, and with a tank it stays within what it holds; 1 over-full, or outside its maker's bounds; 2 bad input; 3 with a tank, whether there is room cannot be told.`
}

// Run computes one fill.
func (c *liquidCommand) Run(p *Program) error {
	format, err := ending(c.Out, app.Formats...)
	if err != nil {
		return err
	}
	e, tank, err := c.entry()
	if err != nil {
		return err
	}
	show, err := systemOf(c.Show, c.Density15, c.Volume, c.Mass, c.At, c.Hottest, c.Drum, c.Box, c.Capacity)
	if err != nil {
		return err
	}
	x, problems := app.Fill(e, tank, show)
	if len(problems) > 0 {
		var all []string
		for _, w := range problems {
			text := w.Error()
			if flag, ok := map[string]string{"at": "--at", "hottest": "--hottest", "volume": "--volume", "mass": "--mass", "capacity": "--capacity", "fill-bounds": "--collapsible"}[w.Key]; ok {
				text = flag + ": " + text
			}
			all = append(all, text)
		}
		return errors.New(strings.Join(all, "\nhangtrue: "))
	}
	if err := p.drawn(c.Out, format, x.Sheet); err != nil {
		return err
	}
	if c.JSON {
		err = p.writeJSON(x.Document())
	} else {
		err = p.write("", []byte(fillPage(x)))
	}
	if err != nil {
		return err
	}
	return outcome(x.Exit())
}

func (c *liquidCommand) entry() (e liquid.Entry, tank bool, err error) {
	fail := func(err error) (liquid.Entry, bool, error) { return e, tank, err }
	if e.Liquid, err = c.liquid(); err != nil {
		return fail(err)
	}
	at, err := flagged("--at", c.At, quantity.Temperature)
	if err != nil {
		return fail(err)
	}
	e.At = at.Value
	for _, x := range []struct {
		flag, text string
		kind       quantity.Kind
		to         **float64
	}{{"--volume", c.Volume, quantity.Volume, &e.Volume}, {"--mass", c.Mass, quantity.Mass, &e.Mass}, {"--hottest", c.Hottest, quantity.Temperature, &e.Hottest}} {
		q, err := flaggedOr(x.flag, x.text, x.kind)
		if err != nil {
			return fail(err)
		}
		*x.to = valueOf(q)
	}
	if (e.Volume == nil) == (e.Mass == nil) {
		return fail(errors.New("a fill is given by --volume or by --mass, and one of them is needed"))
	}
	tank = c.Drum != "" || c.Box != ""
	switch {
	case c.Drum != "" && c.Box != "":
		return fail(errors.New("a tank is a drum or a box; give --drum or --box"))
	case !tank && (c.Capacity != "" || c.Collapsible != "" || c.Standing || c.Hottest != ""):
		return fail(errors.New("--capacity, --collapsible, --standing and --hottest are about a tank; add --drum or --box with its size"))
	case c.Standing && c.Drum == "":
		return fail(errors.New("--standing is about a drum; add --drum with its length and diameter"))
	case c.Drum != "":
		size, err := measures("--drum", c.Drum, quantity.Length, 2)
		if err != nil {
			return fail(err)
		}
		e.Tank = liquid.Tank{Kind: liquid.Drum, Length: size[0], Diameter: size[1]}
		if c.Standing {
			e.Tank.Axis = 2
		}
	case c.Box != "":
		size, err := measures("--box", c.Box, quantity.Length, 3)
		if err != nil {
			return fail(err)
		}
		e.Tank = liquid.Tank{Kind: liquid.Box, Size: [3]float64(size)}
	}
	capacity, err := flaggedOr("--capacity", c.Capacity, quantity.Volume)
	if err != nil {
		return fail(err)
	}
	if capacity != nil {
		e.Tank.Capacity = capacity.Value
	}
	if c.Collapsible != "" {
		e.Tank.Collapsible = true
		if c.Collapsible != "none" {
			bounds, err := measures("--collapsible", c.Collapsible, quantity.Volume, 2)
			if err != nil {
				return fail(err)
			}
			e.Tank.Least, e.Tank.Most = bounds[0], bounds[1]
		}
	}
	return e, tank, nil
}

func (c *liquidCommand) liquid() (liquid.Liquid, error) {
	given := 0
	for _, is := range []bool{c.Density15 != "", c.API != nil, c.Salinity != nil} {
		if is {
			given++
		}
	}
	switch {
	case given > 1:
		return liquid.Liquid{}, errors.New("--density-15, --api and --salinity say the same thing; give one")
	case c.Density15 != "":
		q, err := flagged("--density-15", c.Density15, quantity.Density)
		if err != nil {
			return liquid.Liquid{}, err
		}
		return liquid.OfDensity(c.Name, q.Value)
	case c.API != nil:
		return liquid.OfAPI(c.Name, *c.API)
	case c.Salinity != nil:
		l, err := liquid.SeaWater(*c.Salinity)
		if err == nil {
			l.Name = c.Name
		}
		return l, err
	}
	l, err := liquid.Named(c.Name)
	if err != nil {
		if near := spelling.Nearest(c.Name, liquid.Names()); near != "" {
			return l, fmt.Errorf("no liquid is called %q here; did you mean %q?", c.Name, near)
		}
	}
	return l, err
}

// measures reads so many quantities of one kind, parted by commas.
func measures(flag, text string, kind quantity.Kind, n int) ([]float64, error) {
	parts := strings.Split(text, ",")
	if len(parts) != n {
		return nil, fmt.Errorf("%s: %q has %s; %d are needed, parted by commas", flag, text, spelling.Count(len(parts), "measure", "measures"), n)
	}
	var out []float64
	for _, part := range parts {
		q, err := flagged(flag, strings.TrimSpace(part), kind)
		if err != nil {
			return nil, err
		}
		if !(q.Value > 0) {
			return nil, fmt.Errorf("%s: %s is not above zero", flag, q)
		}
		out = append(out, q.Value)
	}
	return out, nil
}

func fillPage(x *app.Filled) string {
	f := x.Fill
	p := page{show: x.Show}
	p.WriteString(wrapped(fmt.Sprintf("%s at %s", f.Liquid.Name, p.show.Temperature(f.At)), ""))
	if x.Tank {
		p.WriteString(hanging(x.Result.Words()+": "+x.Reason, "Result: ", "        "))
	}
	weight := p.show.Mass(f.Mass)
	if f.Band > 0 {
		weight += " ± " + p.show.Mass(f.Band) + ", estimated"
	}
	volume := p.show.Volume(f.Volume)
	if b := x.VolumeBand(); b > 0 {
		volume += " ± " + p.show.Volume(b)
	}
	rows := [][]string{
		{"weight", weight},
		{"volume", volume},
		{"density there", p.show.Density(f.Density)},
		{"density at 15 degC", p.show.Density(f.Liquid.Density15)},
		{"density from", f.Liquid.Source},
	}
	if x.Tank {
		rows = append(rows, []string{"the tank holds", p.show.Volume(f.Tank.Holds())})
		if room, ok := f.Room(); ok {
			most, _ := f.Fullest()
			rows = append(rows,
				[]string{"room left at " + p.show.Temperature(*f.Hottest), p.show.Volume(room)},
				[]string{"fill at most", p.show.Volume(most) + " at " + p.show.Temperature(f.At)})
		}
		cg := f.CG([3]float64{0, 0, 1})
		if !f.Tank.Collapsible || f.Tank.Most > 0 {
			rows = append(rows, []string{"CG, standing level", fmt.Sprintf("%s above the tank's base, in the middle sideways", p.show.Length(cg[2]))})
		}
	}
	p.WriteString("\n")
	p.pairs(rows)
	var lines []string
	for _, n := range x.Findings {
		lines = append(lines, levelWord(n.Level)+n.Text)
	}
	if len(lines) > 0 {
		p.section("Findings")
		p.list(lines)
	}
	p.WriteString("\n" + wrapped(rig.Caution, ""))
	return p.String()
}

// levelWord stands before a finding.
func levelWord(l rig.Level) string {
	return [...]string{rig.Note: "", rig.Unknown: "cannot tell: ", rig.Exceeded: "OVER: "}[l]
}

// pairs prints what something is called and what it is, one pair a line.
func (p *page) pairs(rows [][]string) {
	longest := 0
	for _, r := range rows {
		longest = max(longest, len([]rune(r[0])))
	}
	for _, r := range rows {
		head := fmt.Sprintf("  %-*s  ", longest, r[0])
		p.WriteString(hanging(r[1], head, strings.Repeat(" ", longest+4)))
	}
}
