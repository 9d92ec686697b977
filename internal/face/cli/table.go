package cli

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"text/tabwriter"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/solution"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/face/app"
)

// page collects the text of one answer.
type page struct {
	strings.Builder
	show quantity.System
}

// table writes an answer for a person: its standing to an approved procedure
// first and above every number, the caution last.
func table(a *rig.Answer) string {
	p := page{show: a.Rig.Show()}
	p.head(a.Rig, a.Status.String(), a.Result, a.Reason)
	p.attitude(a)
	p.legs(a)
	p.sets(a)
	p.apexes(a)
	p.contacts(a)
	p.modes(a)
	p.checks(a)
	p.findings(a)
	p.settled(a)
	p.tail(a.Status.Draft())
	return p.String()
}

// openTable writes what can be said of a rig with counts still to be found.
func openTable(s *app.Solved) string {
	p := page{show: s.Rig.Show()}
	d := solution.Undecided(s.Rig, openWords(s))
	p.head(s.Rig, d.Status, rig.CannotTell, d.Reason)
	p.tail(d.Draft)
	return p.String()
}

func (p *page) head(r *rig.Rig, status string, result rig.Result, reason string) {
	rule := strings.Repeat("=", width)
	fmt.Fprintf(p, "%s\n  %s\n%s\n", rule, strings.ToUpper(status), rule)
	if x := r.Procedure(); x != nil {
		p.WriteString(hanging(procedureWords(x), "procedure: ", "           "))
	}
	if r.Invented() {
		p.WriteString("INVENTED: demo data, not a load that exists\n")
	}
	title := r.Title()
	if title == "" {
		title = "(no title)"
	}
	p.WriteString("\n" + wrapped(title, ""))
	p.WriteString(hanging(result.Words()+": "+reason, "Result: ", "        "))
	weight := r.Weight()
	fmt.Fprintf(p, "Weight: %s, a pull of %s\n", p.show.Mass(weight/quantity.StandardGravity), p.show.Force(weight))
}

func procedureWords(x *rig.Procedure) string {
	text := x.Publication
	for _, part := range [...][2]string{{"edition", x.Edition}, {"change", x.Change}, {"paragraph", x.Paragraph}, {"airspeed", x.Airspeed}} {
		if part[1] != "" {
			text += ", " + part[0] + " " + part[1]
		}
	}
	return text
}

func (p *page) tail(draft string) {
	p.WriteString("\n")
	if draft != "" {
		p.WriteString(wrapped(spelling.Capital(draft)+".", ""))
		p.WriteString("\n")
	}
	p.WriteString(wrapped(rig.Caution, ""))
}

func (p *page) section(title string) { fmt.Fprintf(p, "\n%s\n", title) }

// rows prints a table with its heads.
func (p *page) rows(heads []string, rows [][]string) {
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 8, 2, ' ', 0)
	for _, row := range append([][]string{heads}, rows...) {
		fmt.Fprintf(w, "  %s\n", strings.Join(row, "\t"))
	}
	w.Flush()
	for line := range strings.Lines(b.String()) {
		p.WriteString(strings.TrimRight(line, " \n") + "\n")
	}
}

// list prints lines that may be longer than the page is wide.
func (p *page) list(items []string) {
	for _, x := range items {
		p.WriteString(hanging(x, "  - ", "    "))
	}
}

// level is the angle below which a body is called level, rad: what is printed
// as 0.0 deg.
const level = 0.05 * quantity.Degree

// leans says which way a body leans, in words and size: "nose down 2.1 deg".
func (p *page) leans(x float64, positive, negative string) string {
	switch {
	case math.Abs(x) < level:
		return "level"
	case x < 0:
		return negative + " " + p.show.Angle(-x)
	}
	return positive + " " + p.show.Angle(x)
}

func (p *page) attitude(a *rig.Answer) {
	p.section("How it hangs (pitch is positive nose up, roll positive right side down)")
	var rows [][]string
	for i := range a.Bodies {
		b := &a.Bodies[i]
		if !b.Joined {
			rows = append(rows, []string{b.ID, p.show.Mass(a.Rig.Bodies()[i].TotalMass()), "stays on the ground: nothing joins it to an apex"})
			continue
		}
		rows = append(rows, []string{
			b.ID, p.show.Mass(a.Rig.Bodies()[i].TotalMass()),
			p.leans(b.Pitch, "nose up", "nose down"), p.leans(b.Roll, "right side down", "left side down"),
			signed(b.Pitch), signed(b.Roll), p.show.Angle(b.Tilt),
		})
	}
	p.rows([]string{"body", "mass", "fore and aft", "sideways", "pitch deg", "roll deg", "tilt"}, rows)
}

func signed(rad float64) string {
	x := rad / quantity.Degree
	if math.Abs(x) < 0.05 {
		return "0.0"
	}
	return fmt.Sprintf("%+.1f", x)
}

const none = "-"

func (p *page) legs(a *rig.Answer) {
	if len(a.Legs) == 0 {
		return
	}
	p.section("Legs")
	var rows [][]string
	cases := map[string][]string{}
	var order []string
	for i := range a.Legs {
		x, l := &a.Legs[i], a.Rig.Legs()[i]
		row := []string{l.ID, none, p.show.Force(x.Tension), p.share(x.Use), p.show.Force(x.Worst), p.share(x.WorstUse()), p.show.Angle(x.Angle), ends(&l, len(a.Apexes) > 1)}
		if l.Count != nil {
			row[1] = fmt.Sprint(*l.Count)
		}
		if x.Slack {
			row[2], row[6] = "slack", none
		}
		if c := x.WorstCase; c != "" {
			if cases[c] == nil {
				order = append(order, c)
			}
			cases[c] = append(cases[c], l.ID)
		}
		rows = append(rows, row)
	}
	p.rows([]string{"leg", "count", "pull", "of rating", "worst", "of rating", "off vertical", "to"}, rows)
	if len(order) > 0 {
		var lines []string
		for _, c := range order {
			lines = append(lines, fmt.Sprintf("worst %s: %s", c, strings.Join(cases[c], ", ")))
		}
		p.list(lines)
	}
	p.runs(a)
}

// runs prints the strands of loops through several points.
func (p *page) runs(a *rig.Answer) {
	var lines []string
	for i := range a.Legs {
		x := &a.Legs[i]
		if len(x.Runs) == 0 {
			continue
		}
		var pulls []string
		for _, t := range x.Runs {
			if t == 0 {
				pulls = append(pulls, "slack")
				continue
			}
			pulls = append(pulls, p.show.Force(t))
		}
		lines = append(lines, fmt.Sprintf("chain of %s, run by run from the grab hook: %s", x.ID, strings.Join(pulls, ", ")))
	}
	p.list(lines)
}

// ends names the points a leg leads to and, where that is not plain, where it
// comes from.
func ends(l *rig.Leg, sayFrom bool) string {
	var to []string
	for _, r := range l.To {
		to = append(to, r.String())
	}
	text := strings.Join(to, ", ")
	if l.From != nil && (sayFrom || l.From.Point != "") {
		text += " from " + l.From.String()
	}
	return text
}

func (p *page) share(use float64) string {
	if math.IsNaN(use) {
		return none
	}
	return p.show.Percent(use)
}

func (p *page) sets(a *rig.Answer) {
	if len(a.Sets) == 0 {
		return
	}
	p.section("Sets")
	var rows [][]string
	for _, s := range a.Sets {
		// A plate is marked in units of mass.
		row := []string{s.ID, p.show.Mass(s.Load / quantity.StandardGravity), "not entered", none}
		if s.Rated > 0 {
			row[2], row[3] = p.show.Mass(s.Rated/quantity.StandardGravity), p.share(s.Load/s.Rated)
		}
		rows = append(rows, row)
	}
	p.rows([]string{"set", "weight on it", "rated", "of rating"}, rows)
}

func (p *page) apexes(a *rig.Answer) {
	p.section("Hook")
	heads := []string{"apex", "pull on the hook", "of its rating", "direction"}
	pendants := slices.ContainsFunc(a.Rig.Apexes(), func(x rig.Apex) bool { return x.Pendant != nil })
	if pendants {
		heads = append(heads, "along the pendant")
	}
	var rows [][]string
	for i := range a.Apexes {
		x, in := &a.Apexes[i], a.Rig.Apexes()[i]
		force := rig.Norm(x.Force)
		row := []string{x.ID, p.show.Force(force), none, "straight down"}
		if in.HookRated != nil {
			row[2] = p.share(force / *in.HookRated)
		}
		if aside := math.Atan2(math.Hypot(x.Force[0], x.Force[1]), -x.Force[2]); force == 0 {
			row[3] = none
		} else if aside >= level {
			row[3] = p.show.Angle(aside) + " off the vertical"
		}
		if in.Pendant != nil {
			row = append(row, p.show.Force(x.Pendant))
		} else if pendants {
			row = append(row, none)
		}
		rows = append(rows, row)
	}
	p.rows(heads, rows)
}

func (p *page) contacts(a *rig.Answer) {
	if len(a.Touches) == 0 {
		return
	}
	p.section("Bodies that press on each other")
	var rows [][]string
	for _, t := range a.Touches {
		rows = append(rows, []string{t.A, t.B, p.show.Force(t.Force)})
	}
	p.rows([]string{"body", "body", "force"}, rows)
}

func (p *page) modes(a *rig.Answer) {
	if len(a.Modes) == 0 {
		return
	}
	p.section("Small motions about this position, the hook held still")
	var rows [][]string
	for _, m := range a.Modes {
		rows = append(rows, []string{m.Shape, fmt.Sprintf("%.3g Hz", m.Frequency), fmt.Sprintf("%.3g s", 1/m.Frequency)})
	}
	p.rows([]string{"motion", "frequency", "period"}, rows)
}

// settled says how well the forces balance.
func (p *page) settled(a *rig.Answer) {
	p.section("The computation")
	words := "the position is stable"
	switch {
	case !a.Converged:
		words = "it did not settle"
	case !a.Stable:
		words = "the position is not stable"
	}
	p.list([]string{fmt.Sprintf("largest force out of balance %.2g N in %s; %s", a.Residual, spelling.Count(a.Steps, "step", "steps"), words)})
}
