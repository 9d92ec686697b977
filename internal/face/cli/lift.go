package cli

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"hangtrue/internal/engine/air"
	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/lift/conditionsfile"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/face/app"
)

type liftCommand struct {
	Rig        string   `arg:"" help:"Rig file; - for standard input."`
	Aircraft   string   `required:"" placeholder:"FILE" help:"Aircraft file, or the name of a shipped one."`
	Conditions string   `placeholder:"FILE" help:"Conditions, a file of format hangtrue.conditions/1; instead of the flags below."`
	PickUp     string   `placeholder:"WHERE" help:"Elevation, QNH, temperature and fuel over the load: '620 m, 1016 hPa, 14 degC, 700 kg'."`
	DropOff    string   `placeholder:"WHERE" help:"The same where it is set down; the fuel may be left out with --flight."`
	Flight     string   `placeholder:"TIME" help:"How long it flies from pick-up to drop-off: '7 min'."`
	Home       string   `placeholder:"TIME" help:"How long it then flies to where fuel is."`
	Hook       []string `placeholder:"HOOK" help:"The hook that it hangs on; for several apexes APEX=HOOK, once for each."`
	Fitting    string   `placeholder:"KIND" help:"Kind of the apex fitting, as the aircraft's spacer rules name it."`
	Ring       string   `placeholder:"SIZES" help:"What goes into the hook: its clear width inside and the thickness of its material, '60 mm, 25 mm'."`
	Out        string   `short:"o" placeholder:"FILE" help:"Also draw limits and altitude against temperature: .svg, .pdf or .png."`
	JSON       bool     `name:"json" help:"Print the answer as data."`
}

// Help is the command's long help.
func (liftCommand) Help() string {
	return `Can the aircraft carry this rig: hover performance, gross weight, hook, sling, net or bag, at pick-up and at drop-off with the fuel of each; which limit governs, the margin, and what to take off to go now; how hot and how high the load still goes. The rig's own limits count too. Tables are never extrapolated.

Examples:

  hangtrue lift crate.yaml --aircraft twin.yaml --conditions conditions.yaml
  hangtrue lift crate.yaml --aircraft twin --pick-up '620 m, 1016 hPa, 14 degC, 600 kg' --drop-off '1840 m, 1016 hPa, 8 degC' --flight '7 min' --hook front --ring '60 mm, 25 mm' -o lift.pdf
` + statuses + ` Not a clearance to lift.`
}

// Run asks whether an aircraft can carry a rig.
func (c *liftCommand) Run(p *Program) error {
	if err := once(c.Rig, c.Aircraft, c.Conditions); err != nil {
		return err
	}
	format, err := ending(c.Out, app.Formats...)
	if err != nil {
		return err
	}
	conditions, err := c.conditions(p)
	if err != nil {
		return err
	}
	a, err := p.aircraft(c.Aircraft)
	if err != nil {
		return err
	}
	s, err := p.hung(c.Rig)
	if err != nil {
		return err
	}
	x := app.Carry(&s, a, conditions)
	if x.Answer == nil {
		var all []string
		for _, w := range x.Problems {
			all = append(all, w.Error())
		}
		return errors.New(strings.Join(all, "\nhangtrue: "))
	}
	if err := p.drawn(c.Out, format, x.Picture); err != nil {
		return err
	}
	if c.JSON {
		err = p.writeJSON(x.Document())
	} else {
		err = p.write("", []byte(carryPage(x)))
	}
	if err != nil {
		return err
	}
	return outcome(x.Exit())
}

// conditions reads the file, or the flags in its place.
func (c *liftCommand) conditions(p *Program) (*lift.Conditions, error) {
	if c.Conditions != "" {
		if c.PickUp+c.DropOff+c.Flight+c.Home+c.Fitting+c.Ring != "" || len(c.Hook) > 0 {
			return nil, errors.New("--conditions stands instead of the flags about the flight; leave one or the other out")
		}
		data, err := p.read(c.Conditions)
		if err != nil {
			return nil, err
		}
		x, problems := conditionsfile.Read(data)
		if x == nil {
			return nil, p.wrong(c.Conditions, problems)
		}
		return x, nil
	}
	if c.PickUp == "" || c.DropOff == "" {
		return nil, errors.New("both ends are asked: give --pick-up and --drop-off, or --conditions with a file")
	}
	x := &lift.Conditions{Hooks: map[string]string{}, Fitting: lift.Fitting{Kind: c.Fitting}}
	up, fuel, err := endFlag("--pick-up", c.PickUp)
	if err != nil {
		return nil, err
	}
	if !fuel {
		return nil, errors.New("--pick-up: the fuel aboard is missing; add it, for example 700 kg")
	}
	down, fuel, err := endFlag("--drop-off", c.DropOff)
	if err != nil {
		return nil, err
	}
	x.PickUp, x.DropOff = up, down
	flight, err := flaggedOr("--flight", c.Flight, quantity.Duration)
	if err != nil {
		return nil, err
	}
	switch {
	case fuel && flight != nil:
		return nil, errors.New("--drop-off has the fuel there, and --flight says it too; leave one out")
	case !fuel && flight == nil:
		return nil, errors.New("--drop-off: the fuel there is missing; add it, or --flight with the time it flies there")
	}
	x.Flight = valueOf(flight)
	home, err := flaggedOr("--home", c.Home, quantity.Duration)
	if err != nil {
		return nil, err
	}
	if home != nil {
		x.Home = home.Value
	}
	if x.Home < 0 || flight != nil && flight.Value < 0 {
		return nil, errors.New("--flight and --home are times and cannot be negative")
	}
	if c.Ring != "" {
		sizes, err := measures("--ring", c.Ring, quantity.Length, 2)
		if err != nil {
			return nil, err
		}
		x.Fitting.Inside, x.Fitting.Stock = &sizes[0], &sizes[1]
	}
	return x, c.hooks(x)
}

// hooks reads HOOK, or APEX=HOOK for each.
func (c *liftCommand) hooks(x *lift.Conditions) error {
	for _, text := range c.Hook {
		apex, hook, both := strings.Cut(text, "=")
		if !both {
			if len(c.Hook) > 1 {
				return fmt.Errorf("--hook %s: with several hooks say which apex hangs on which, APEX=HOOK", text)
			}
			apex, hook = "", text
		}
		x.Hooks[apex] = hook
	}
	return nil
}

// endFlag reads one end of the flight: quantities parted by commas, each known
// by its unit.
func endFlag(flag, text string) (e lift.End, fuel bool, err error) {
	var elevation, qnh, temperature *float64
	for part := range strings.SplitSeq(text, ",") {
		q, err := flagged(flag, strings.TrimSpace(part), quantity.Length, quantity.Pressure, quantity.Temperature, quantity.Mass)
		if err != nil {
			return e, false, err
		}
		twice := false
		switch q.Kind {
		case quantity.Length:
			twice, elevation = elevation != nil, &q.Value
		case quantity.Pressure:
			twice, qnh = qnh != nil, &q.Value
		case quantity.Temperature:
			twice, temperature = temperature != nil, &q.Value
		case quantity.Mass:
			twice, fuel, e.Fuel = fuel, true, q.Value
		}
		if twice {
			return e, false, fmt.Errorf("%s: %s is the second of its kind; one elevation, QNH, temperature and fuel", flag, q)
		}
	}
	for _, x := range []struct {
		what, example string
		missing       bool
	}{{"the elevation", "620 m", elevation == nil}, {"the QNH", "1013 hPa", qnh == nil}, {"the temperature", "14 degC", temperature == nil}} {
		if x.missing {
			return e, false, fmt.Errorf("%s: %s is missing; add it, for example %s", flag, x.what, x.example)
		}
	}
	e.Temperature = *temperature
	if e.PressureAltitude, err = air.PressureAltitude(*elevation, *qnh); err != nil {
		return e, false, fmt.Errorf("%s: %w", flag, err)
	}
	return e, fuel, nil
}

func carryPage(x *app.Carried) string {
	a := x.Answer
	p := page{show: x.Show()}
	p.standing(x.Rig.Rig)
	if x.Invented() && !x.Rig.Rig.Invented() {
		p.WriteString("INVENTED: the aircraft or the conditions do not exist\n")
	}
	fmt.Fprintf(&p, "under %s\n", x.Aircraft.Aircraft.Spec().Title)
	p.WriteString(hanging(a.Result.Words()+": "+a.Reason, "Result: ", "        "))
	p.WriteString(hanging(x.Ask.Load.Show(p.show), "Load: ", "      "))
	switch {
	case math.IsNaN(a.Margin):
	case a.TakeOff > 0:
		p.WriteString(hanging(fmt.Sprintf("take %s off the load or out of the aircraft to be within the limit that governs", p.show.Mass(a.TakeOff)), "To go now: ", "           "))
	default:
		p.WriteString("Margin: " + p.show.Mass(a.Margin) + "\n")
	}
	p.carryLimits(x)
	p.carryEnds(x)
	p.carryHooks(x)
	p.carryWeight(x)
	if list := x.Aircraft.Aircraft.Spec().Airspeeds; len(list) > 0 {
		p.section("Airspeed with an external load, as entered for the aircraft")
		for _, s := range list {
			p.list([]string{fmt.Sprintf("%s: %s (%s)", s.What, p.show.Airspeed(s.Limit), orSource(s.Source))})
		}
	}
	var lines []string
	for _, f := range a.Findings {
		lines = append(lines, levelWord(f.Level)+f.About+": "+f.Text)
	}
	if len(lines) > 0 {
		p.section("Findings")
		p.list(lines)
	}
	p.tail(x.Rig.Rig.Status().Draft())
	return p.String()
}

// carryLimits prints every limit as the load that it allows, the least first.
func (p *page) carryLimits(x *app.Carried) {
	a := x.Answer
	p.section("What each limit allows, the least first")
	var rows [][]string
	var notes []string
	for _, i := range a.Order() {
		l := a.Allowed[i]
		row := []string{l.What, l.End, "cannot tell", none, ""}
		if l.Known {
			row[2], row[3] = p.show.Mass(math.Max(0, l.Load)), p.show.Mass(l.Load-x.Ask.Load.Mass)
		}
		if i == a.Governing {
			row[4] = "governs"
		}
		if l.Known && l.Load < x.Ask.Load.Mass*(1-1e-9) {
			row[4] = strings.TrimSpace(row[4] + " OVER")
		}
		text := l.Text
		if l.Source != "" {
			text += " (" + l.Source + ")"
		}
		k := slices.Index(notes, text)
		if k < 0 {
			k, notes = len(notes), append(notes, text)
		}
		row[4] = strings.TrimSpace(fmt.Sprintf("%s [%d]", row[4], k+1))
		rows = append(rows, row)
	}
	p.rows([]string{"limit", "where", "allows", "to spare", ""}, rows)
	for i, n := range notes {
		p.WriteString(hanging(n, fmt.Sprintf("  [%d] ", i+1), "      "))
	}
}

func (p *page) carryEnds(x *app.Carried) {
	p.section("Both ends, and how hot and how high this load still goes by the hover table")
	for i, name := range []string{"pick-up", "drop-off"} {
		e, edge := x.Answer.Ends[i], &x.Edges[i]
		if e.End.Place != "" {
			name += ", " + e.End.Place
		}
		ground := "out of ground effect"
		if e.End.InGround {
			ground = "in ground effect"
		}
		hottest, highest := edge.Words(p.show)
		hover := "cannot tell"
		if !math.IsNaN(e.Hover) {
			hover = p.show.Mass(e.Hover)
		}
		cg := "cannot tell: not every place of weight, crew, kit, fuel and hooks is entered"
		if e.CG != nil {
			cg = p.show.Length(e.CG[0]) + " forward of the datum"
			if x.Aircraft.Aircraft.Spec().Balance == nil {
				cg += "; held against nothing, no limits are entered"
			}
		}
		fmt.Fprintf(p, "  %s\n", name)
		rows := [][]string{
			{"  air", fmt.Sprintf("pressure altitude %s, %s", app.AltitudeWords(e.End.PressureAltitude), p.show.Temperature(e.End.Temperature))},
			{"  fuel", p.show.Mass(e.End.Fuel)},
			{"  weighs with the load", p.show.Mass(e.Gross)},
			{"  hovers with", hover + ", " + ground},
			{"  at this altitude", hottest},
			{"  at this temperature", highest},
			{"  aircraft's CG", cg},
		}
		p.pairs(rows)
	}
}

func (p *page) carryHooks(x *app.Carried) {
	p.section("Hook and apex fitting")
	var rows [][]string
	for _, f := range x.Fits {
		row := []string{f.Apex, f.Hook, none, "cannot tell: its kind is not entered", f.Fit.Words()}
		if f.Fit == rig.Over {
			row[4] = "does not fit"
		}
		if f.Kind != "" {
			row[3] = f.Spacer
			if f.Source != "" {
				row[3] += " (" + f.Source + ")"
			}
		}
		for _, s := range x.Ask.Shares {
			if s.Hook == f.Hook {
				row[2] = p.show.Mass(s.Force / quantity.StandardGravity)
			}
		}
		if row[2] == none && len(x.Fits) == 1 {
			row[2] = p.show.Mass(x.Ask.Load.Mass)
		}
		rows = append(rows, row)
	}
	p.rows([]string{"apex", "on hook", "carries", "spacer", "ring by sizes entered"}, rows)
}

func (p *page) carryWeight(x *app.Carried) {
	if len(x.Parts) < 2 {
		return
	}
	p.section("How the weight is made up")
	var rows [][]string
	for _, w := range x.Parts {
		rows = append(rows, []string{w.What, w.Weight.Show(p.show)})
	}
	p.rows([]string{"body", "weighs"}, rows)
}
