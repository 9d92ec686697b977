package brief

import (
	"strings"
	"time"

	"hangtrue/internal/engine/spelling"
)

// Discharge is the one sentence that the card says whatever a school enters.
// Source: US field manuals of the FM 10-450-3 class, seen in part.
const Discharge = "The charge comes with the aircraft. Discharge the hook or pendant before anybody touches it, and hold contact with it until the hook-up is done."

// briefed is a row that the school has to fill.
func briefed(label, text string) Row { return Row{Label: label, Text: text, Missing: NotBriefed} }

func (b *Brief) team(in *Input) {
	t := &in.Entered.Team
	var roles []Row
	for _, name := range []string{"Signaller", "Static discharge", "Hook-up"} {
		// The three that every hook-up has, whether or not they are entered.
		if !hasRole(t.Roles, name) {
			roles = append(roles, briefed(name, ""))
		}
	}
	var entered []Row
	for _, r := range t.Roles {
		entered = append(entered, briefed(spelling.Capital(r.Role), strings.Join(filled(r.Who, r.Does), ": ")))
	}
	roles = append(entered, roles...)
	signals := []Row{}
	for _, s := range t.Signals {
		signals = append(signals, briefed(s.Signal, s.Means))
	}
	if len(signals) == 0 {
		signals = append(signals, briefed("Signals", ""))
	}
	var emergencies []Row
	for _, e := range Emergencies() {
		emergencies = append(emergencies, briefed(e.Words(), in.Entered.Emergencies[e]))
	}
	b.Team = []Section{
		{"Who does what", roles},
		{"Discharge the hook first", []Row{
			{Label: "Always", Text: Discharge},
			briefed("Wand and earth check", t.Wand), briefed("How it is done here", t.Discharge), briefed("Protective equipment", t.Equipment),
		}},
		{"The place", []Row{
			briefed("Aircraft comes from", t.Approach), briefed("Team and aircraft leave by", t.Exit), briefed("Wind", t.Wind),
			briefed("Obstacles", t.Obstacles), briefed("Rally point", t.Rally), briefed("Night marking", t.Night),
		}},
		{"Radio and signals", append([]Row{briefed("Radio", t.Radio), briefed("Lost communications", t.LostComms)}, signals...)},
		{"Emergencies", emergencies},
	}
}

func hasRole(roles []Role, name string) bool {
	for _, r := range roles {
		if strings.EqualFold(strings.ReplaceAll(r.Role, "-", " "), strings.ReplaceAll(name, "-", " ")) {
			return true
		}
	}
	return false
}

func (b *Brief) ticks(in *Input) {
	for _, what := range Dailies() {
		t := Tick{What: what, Words: what.Words()}
		for _, d := range in.Entered.Done {
			if d.What != what {
				continue
			}
			text := d.By + " at " + d.At.Format("15:04")
			if !in.Today.IsZero() && d.At.Format(time.DateOnly) == in.Today.Format(time.DateOnly) {
				t.By, t.At = d.By, d.At.Format("15:04")
				continue
			}
			t.Past = text + " on " + d.At.Format(time.DateOnly)
		}
		b.Ticks = append(b.Ticks, t)
	}
}
