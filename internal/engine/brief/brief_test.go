package brief_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/data/aircraft"
	"hangtrue/internal/engine/brief"
	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/lift/aircraftfile"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
)

// crate hangs within its limits on legs with counts; its weight is an estimate.
const crate = `format: hangtrue.rig/1
title: Crate
apex: [{id: apex, rated: 60 kN, hook: 60 kN}]
bodies:
  - id: crate
    shape: {box: [2.4 m, 1.6 m, 1.2 m]}
    mass: 1400 kg
    known: estimated
    give-or-take: 50 kg
    cg: [0.1 m, 0.02 m, 0.5 m]
    points:
      FL: {at: [1.2 m, 0.8 m, 1.2 m], rated: 30 kN}
      FR: {at: [1.2 m, -0.8 m, 1.2 m], rated: 30 kN}
      RL: {at: [-1.2 m, 0.8 m, 1.2 m], rated: 30 kN}
      RR: {at: [-1.2 m, -0.8 m, 1.2 m], rated: 30 kN}
legs:
  - {id: FL, to: crate.FL, rope: {length: 3 m, stretch: 6 % at 20 kN}, chain: {links: 80, pitch: 25 mm, stretch: 0.5 % at 20 kN}, count: 10, rated: 25 kN, clevis: none}
  - {id: FR, to: crate.FR, rope: {length: 3 m, stretch: 6 % at 20 kN}, chain: {links: 80, pitch: 25 mm, stretch: 0.5 % at 20 kN}, count: 10, rated: 25 kN, clevis: none}
  - {id: RL, to: crate.RL, rope: {length: 3 m, stretch: 6 % at 20 kN}, chain: {links: 80, pitch: 25 mm, stretch: 0.5 % at 20 kN}, count: 10, rated: 25 kN, clevis: none}
  - {id: RR, to: crate.RR, rope: {length: 3 m, stretch: 6 % at 20 kN}, chain: {links: 80, pitch: 25 mm, stretch: 0.5 % at 20 kN}, count: 10, rated: 25 kN, clevis: none}
limits: {pitch: [-8 deg, 8 deg], roll: [-8 deg, 8 deg]}
`

// procedure covers the crate in any aircraft and gives its counts.
const procedure = `procedure:
  publication: Leaflets
  edition: "2"
  change: "1"
  paragraph: leaflet 4
  covers: {weight: [1000 kg, 2000 kg], airspeed: 60 kt}
  counts: {FL: 10, FR: 10, RL: 10, RR: 10}
`

const version = "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef"

func hang(t *testing.T, text string) *rig.Answer {
	t.Helper()
	r, problems := rigfile.Read([]byte(text))
	if r == nil {
		t.Fatal(problems)
	}
	a, err := rig.Hang(r)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func twin(t *testing.T) *lift.Aircraft {
	t.Helper()
	for _, f := range aircraft.Files() {
		if f.Name == "twin" {
			a, problems := aircraftfile.Read(f.Data)
			if a == nil {
				t.Fatal(problems)
			}
			return a
		}
	}
	t.Fatal("no aircraft twin")
	return nil
}

// real is the twin as if it existed: nothing that is invented prints as final.
func real(t *testing.T) *lift.Aircraft {
	t.Helper()
	s := twin(t).Spec()
	s.Invented = false
	a, problems := lift.New(s)
	if a == nil {
		t.Fatal(problems)
	}
	return a
}

func authority() brief.Entered {
	return brief.Entered{
		Authority: brief.Authority{Name: "A. Person", Reference: "letter 12", Rig: version[:8]},
		TestLift:  brief.Record{On: time.Date(2026, 5, 3, 0, 0, 0, 0, time.UTC), By: "B. Person", Record: "log 44"},
	}
}

// says is everything on the papers, a row a line.
func says(b *brief.Brief) string {
	var out []string
	for _, s := range slices.Concat(b.Placard, b.Aircrew, b.Team) {
		for _, r := range s.Rows {
			out = append(out, s.Heading+"/"+r.Label+": "+r.Says())
		}
	}
	return strings.Join(out, "\n")
}

func TestDraft(t *testing.T) {
	covered := crate + procedure
	without := func(change func(*brief.Entered)) brief.Entered {
		e := authority()
		change(&e)
		return e
	}
	for _, tt := range []struct {
		name   string
		rig    string
		in     brief.Input
		status rig.Status
		why    string // "" is final
		before bool
	}{
		{"no procedure", crate, brief.Input{}, rig.NoProcedure, "a named authority; the authority's reference; the version of the rig", true},
		{"an authority", crate, brief.Input{Entered: authority()}, rig.NoProcedure, "", true},
		{"no name", crate, brief.Input{Entered: without(func(e *brief.Entered) { e.Authority.Name = "" })}, rig.NoProcedure, "entered: a named authority", true},
		{"no reference", crate, brief.Input{Entered: without(func(e *brief.Entered) { e.Authority.Reference = "" })}, rig.NoProcedure, "entered: the authority's reference", true},
		{"no test lift", crate, brief.Input{Entered: without(func(e *brief.Entered) { e.TestLift.Record = "" })}, rig.NoProcedure, "record of a static test lift", true},
		{"another version", crate, brief.Input{Entered: without(func(e *brief.Entered) { e.Authority.Rig = "99999999" })}, rig.NoProcedure, "allows version 99999999 of the rig, and this is 01234567", true},
		{"a procedure", covered, brief.Input{}, rig.FollowsProcedure, "", false},
		{"too heavy for it", strings.Replace(covered, "mass: 1400 kg", "mass: 2100 kg", 1), brief.Input{}, rig.OutsideProcedure, "no approved procedure in force covers", true},
		{"another count", strings.Replace(covered, "FL: 10,", "FL: 12,", 1), brief.Input{}, rig.OutsideProcedure, "no approved procedure in force covers", true},
		{"to be reviewed", covered, brief.Input{Review: "edition 3 is current"}, rig.FollowsProcedure, "edition 3 is current", true},
		{"another aircraft", strings.Replace(covered, "airspeed: 60 kt", "aircraft: Other", 1), brief.Input{}, rig.OutsideProcedure, "no approved procedure in force covers", true},
		{"its aircraft", strings.Replace(covered, "airspeed: 60 kt", "aircraft: [Other, twin-engine helicopter of the lift school]", 1), brief.Input{}, rig.FollowsProcedure, "", false},
		{"over a limit", strings.Replace(covered, "rated: 25 kN", "rated: 2 kN", 1), brief.Input{}, rig.FollowsProcedure, "over a limit", false},
		{"over a limit, and an authority", strings.Replace(crate, "rated: 25 kN", "rated: 2 kN", 1), brief.Input{Entered: authority()}, rig.NoProcedure, "over a limit", true},
		{"more than the aircraft carries", covered, brief.Input{Lift: &lift.Answer{Result: rig.Over, Governing: -1, Reason: "hover"}}, rig.FollowsProcedure, "the aircraft: over a limit: hover", false},
		{"a spacer left off", covered, brief.Input{Entered: brief.Entered{Hooks: map[string]string{"apex": "front"}, Fitting: brief.Fitting{Kind: "apex-large", Spacer: brief.SpacerLeftOff}}}, rig.FollowsProcedure, "is required on hook front and is left off", false},
		{"invented", strings.Replace(covered, "title: Crate", "title: Crate\ninvented: yes", 1), brief.Input{}, rig.FollowsProcedure, "INVENTED data is never final", false},
	} {
		in := tt.in
		in.Rig, in.Version, in.Aircraft = hang(t, tt.rig), version, real(t)
		b := brief.Of(in)
		why := strings.Join(b.Why, " | ")
		if b.Status != tt.status || b.Draft() != (tt.why != "") || !strings.Contains(why, tt.why) || (b.Before() != "") != tt.before {
			t.Errorf("%s: status %q, draft because %q, before any flight %q", tt.name, b.Status, why, b.Before())
		}
		if b.Signable() != (tt.why == "") {
			t.Errorf("%s: may be signed: %v", tt.name, b.Signable())
		}
	}
}

// A count is planned where the procedure gives it, and nowhere else.
func TestCounts_OnlyTheProceduresArePlanned(t *testing.T) {
	b := brief.Of(brief.Input{Rig: hang(t, crate)})
	if b.Approved || b.CountsHead() != "Counts of the rig file: computed or entered, not approved" || b.Counts[0].Approved || b.Counts[0].Count != "10" {
		t.Errorf("without a procedure: %q, %+v", b.CountsHead(), b.Counts[0])
	}
	if !strings.Contains(says(b), "not approved") {
		t.Error("the aircrew sheet does not say that the counts are not approved")
	}
	b = brief.Of(brief.Input{Rig: hang(t, crate+strings.Replace(procedure, "FL: 10", "FL: 12", 1))})
	if c := b.Counts[0]; !b.Approved || c.Count != "12" || c.Remark != "the rig was hung with 10" {
		t.Errorf("with another count: %+v", c)
	}
	b = brief.Of(brief.Input{Rig: hang(t, crate+strings.Replace(procedure, "FL: 10, ", "", 1))})
	if b.Approved || b.Counts[0].Approved || !b.Counts[1].Approved {
		t.Errorf("a count that the procedure leaves out: %+v", b.Counts)
	}
}

func TestSays(t *testing.T) {
	blank := says(brief.Of(brief.Input{Rig: hang(t, crate), NoLift: []string{"no aircraft is entered"}}))
	for _, want := range []string{
		"/Aircraft: not entered", "/Weight: 1400 kg ± 50.0 kg, estimated", "Published airspeed/Published airspeed: not entered", "Dangerous goods/Class: not entered",
		"Places/Jettison area: not entered", "Limits that govern/What the aircraft can carry: not worked out: no aircraft is entered",
		"Who does what/Signaller: NOT BRIEFED", "Who does what/Static discharge: NOT BRIEFED", "Who does what/Hook-up: NOT BRIEFED",
		"The place/Night marking: NOT BRIEFED", "Radio and signals/Signals: NOT BRIEFED", "Radio and signals/Lost communications: NOT BRIEFED",
		"Discharge the hook first/Always: The charge comes with the aircraft.", "hold contact",
	} {
		if !strings.Contains(blank, want) {
			t.Errorf("nothing entered: no %q in\n%s", want, blank)
		}
	}
	if n := strings.Count(blank, "Emergencies/"); n != 7 || strings.Count(blank, "Emergencies/Jettison: NOT BRIEFED") != 1 {
		t.Errorf("%d emergencies", n)
	}
	// No speed is on a paper that nobody entered.
	for _, unit := range []string{" kt", " m/s", " km/h"} {
		if strings.Contains(blank, unit) {
			t.Errorf("a speed in%s that nobody entered", unit)
		}
	}
	e := brief.Entered{
		WeighedBy: "M. Egger", WeighedOn: time.Date(2026, 5, 3, 0, 0, 0, 0, time.UTC), Hooks: map[string]string{"apex": "front"},
		Airspeed: &brief.Airspeed{Limit: quantity.SI(55, "kt"), Source: "leaflet 9"}, Goods: []brief.Goods{{Class: "none", Name: "M. Egger looked"}},
		Team:        brief.Team{Roles: []brief.Role{{Role: "Hook-up", Who: "L. Venn"}, {Role: "fire guard"}}, Signals: []brief.Signal{{Signal: "arms up", Means: "climb"}}},
		Emergencies: map[brief.Emergency]string{brief.HookStuck: "set it down"},
	}
	full := says(brief.Of(brief.Input{Rig: hang(t, crate+procedure), Aircraft: twin(t), Entered: e}))
	for _, want := range []string{
		"estimated by M. Egger on 2026-05-03", "Hook: front, carries 13.73 kN of 17.65 kN", "For this load: 55 kt – leaflet 9",
		"Published airspeed/Procedure: 60 kt – Leaflets, edition 2, change 1, leaflet 4", "Aircraft, with any external load: 90 kt – INVENTED",
		"Dangerous goods/Class: none, as entered: M. Egger looked", "Hook-up: L. Venn", "Fire guard: NOT BRIEFED", "Signaller: NOT BRIEFED", "arms up: climb",
		"Hook that will not release: set it down", "Authority/Authority: the procedure: Leaflets", "Fitting on the hook: cannot tell: not entered:", "at rest",
	} {
		if !strings.Contains(full, want) {
			t.Errorf("no %q in\n%s", want, full)
		}
	}
	if strings.Contains(full, "Hook-up: NOT BRIEFED") {
		t.Error("a role that is entered is named as not briefed")
	}
}

func TestTicks_OfTheDay(t *testing.T) {
	at := func(day, hour int) time.Time { return time.Date(2026, 5, day, hour, 30, 0, 0, time.UTC) }
	e := brief.Entered{Done: []brief.Done{
		{What: brief.ReleaseTest, By: "A", At: at(3, 7)}, {What: brief.ReleaseTest, By: "B", At: at(4, 7)}, {What: brief.DailyBriefing, By: "C", At: at(3, 8)},
	}}
	b := brief.Of(brief.Input{Rig: hang(t, crate), Entered: e, Today: at(4, 23)})
	var got []string
	for _, x := range b.Ticks {
		got = append(got, fmt.Sprintf("%s by %q at %q, past %q", x.What, x.By, x.At, x.Past))
	}
	want := []string{`briefing by "" at "", past "C at 08:30 on 2026-05-03"`, `release by "B" at "07:30", past "A at 07:30 on 2026-05-03"`, `emergency-release by "" at "", past ""`}
	if !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}
