package app_test

import (
	"bytes"
	"encoding/json"
	"testing"

	"hangtrue/internal/data/aircraft"
	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/audit"
	"hangtrue/internal/engine/brief/brieffile"
	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/lift/aircraftfile"
	"hangtrue/internal/engine/lift/conditionsfile"
	"hangtrue/internal/engine/lift/dayfile"
	"hangtrue/internal/engine/lift/weighingfile"
	"hangtrue/internal/engine/procedure/procedurefile"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/flown"
	"hangtrue/internal/engine/rig/rigfile"
	"hangtrue/internal/engine/rig/solution"
	"hangtrue/internal/face/app"
)

// fuzzed feeds a reader. Whatever comes in, there is a value or there are
// problems, never both and never neither, and each problem stands at a line that
// is there.
func fuzzed[T any](f *testing.F, read func([]byte) (*T, []document.Problem), then func(*testing.T, []byte, *T), seeds ...[]byte) {
	if len(seeds) == 0 {
		f.Fatal("no seed")
	}
	good := 0
	for _, s := range seeds {
		f.Add(s)
		if v, _ := read(s); v != nil {
			good++
		}
	}
	if good == 0 {
		f.Fatal("no seed reads well; the fuzzer would see the first refusal only")
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		value, problems := read(data)
		if (value == nil) == (len(problems) == 0) {
			t.Fatalf("%v and %d problems", value, len(problems))
		}
		lines := bytes.Count(data, []byte("\n")) + 1
		for _, p := range problems {
			if p.Line < 0 || p.Line > lines {
				t.Errorf("problem at line %d of %d: %v", p.Line, lines, p)
			}
			if p.Text == "" {
				t.Errorf("a problem without words at line %d", p.Line)
			}
		}
		if value != nil && then != nil {
			then(t, data, value)
		}
	})
}

func texts(files []demo.Rig) (out [][]byte) {
	for _, f := range files {
		out = append(out, f.Data)
	}
	return out
}

func FuzzRig(f *testing.F) { fuzzed(f, rigfile.Read, nil, texts(demo.Rigs())...) }

// A rig that reads also hangs or says why not; what is published of it is JSON,
// and the audit can read it. Small rigs only: large ones would hang as well, but
// take the fuzzer's time.
func FuzzRigHangs(f *testing.F) {
	fuzzed(f, rigfile.Read, func(t *testing.T, data []byte, r *rig.Rig) {
		if len(r.Bodies()) > 2 || len(r.Legs()) > 3 || len(data) > 1500 {
			return
		}
		a, err := rig.Hang(r)
		if err != nil {
			return
		}
		out, err := solution.Of(a).Encode()
		if err != nil {
			t.Fatalf("not published: %v", err)
		}
		if !json.Valid(out) {
			t.Fatalf("no JSON: %s", out)
		}
		if _, err := audit.Run(data, out); err != nil {
			t.Fatalf("the audit cannot read it: %v", err)
		}
	},
		[]byte("format: hangtrue.rig/1\ntitle: a\nbodies: [{id: b, mass: 1 kg, points: {p: [0 m, 0 m, 1 m]}}]\nlegs: [{id: l, to: b.p, length: 1 m, stretch: 1 % at 1 kN}]\n"),
		[]byte("format: hangtrue.rig/1\ntitle: a\nbodies:\n  - id: b\n    shape: {drum: {length: 1.6 m, diameter: 1.35 m, axis: y}}\n    mass: 100 kg\n    points: {p: [0 m, 0.5 m, 1 m], q: [0 m, -0.5 m, 1 m]}\nlegs:\n  - {id: l, to: b.p, rope: {length: 2 m, stretch: 8 % at 28 kN}, chain: {links: 88, pitch: 28 mm, stretch: 0.5 % at 28 kN}, count: 10, seat: 1, rated: 3 kN}\n  - {id: m, to: b.q, length: 3 m, stretch: 1 % at 20 kN}\nlimits: {pitch: [-1 deg, 1 deg]}\n"),
		[]byte("format: hangtrue.rig/1\ntitle: a\nbodies: [{id: b, shape: {box: [2 m, 1 m, 1 m]}, mass: 1 t, points: {p: [1 m, 0 m, 1 m], q: [-1 m, 0 m, 1 m]}}]\nlegs: [{id: l, to: [b.p, b.q], rope: {length: 2 m, stretch: 8 % at 28 kN}, chain: {links: 200, pitch: 28 mm, stretch: 0.5 % at 28 kN}, count: 10}]\n"),
	)
}

func FuzzAircraft(f *testing.F) {
	var seeds [][]byte
	for _, x := range aircraft.Files() {
		seeds = append(seeds, x.Data)
	}
	fuzzed(f, aircraftfile.Read, nil, seeds...)
}

func FuzzDay(f *testing.F) { fuzzed(f, dayfile.Read, nil, texts(demo.Days())...) }

func FuzzBrief(f *testing.F) { fuzzed(f, brieffile.Read, nil, texts(demo.Briefs())...) }

func FuzzProcedures(f *testing.F) {
	fuzzed(f, procedurefile.Read, nil, texts(demo.Registers())...)
}

func FuzzConditions(f *testing.F) {
	fuzzed(f, conditionsfile.Read, nil,
		[]byte(`format: hangtrue.conditions/1
title: Crate to the hut
pick-up: {place: valley, elevation: 620 m, qnh: 1016 hPa, temperature: 14 degC, fuel: 600 kg}
drop-off: {place: hut, elevation: 1840 m, qnh: 1016 hPa, temperature: 8 degC}
flight: 7 min
home: 6 min
hooks: {apex: front}
fitting: {kind: apex-large, inside: 60 mm, stock: 25 mm}
`))
}

func FuzzWeighing(f *testing.F) {
	fuzzed(f, weighingfile.Read, nil,
		[]byte(`format: hangtrue.weighing/1
title: Compressor trailer
on: 2026-05-04
readings:
  - {id: front, at: [1.1 m, 0 m, 0.31 m], shows: 1045 kg, give-or-take: 5 kg}
  - {id: rear, at: [-1.1 m, 0 m, 0.31 m], shows: 865 kg, give-or-take: 5 kg}
tilted: {raised: [front], shows: 955 kg, give-or-take: 5 kg, by: 15 deg, angle-give-or-take: 0.2 deg}
since:
  - {what: snow on the cover, mass: 35 kg, known: estimated, give-or-take: 20 kg, at: [0 m, 0 m, 1.5 m]}
`))
}

func FuzzFlown(f *testing.F) {
	read := func(data []byte) (*[]flown.Lift, []document.Problem) {
		lifts, problems := flown.Read(data)
		if len(problems) > 0 {
			return nil, problems
		}
		return &lifts, nil
	}
	fuzzed(f, read, nil, []byte(`format: hangtrue.flown/1
lifts:
  - date: 2026-11-20
    who: 'A. Gruber'
    version: 5f0c0ad1c2b3948576a0b1c2d3e4f5061728394a5b6c7d8e9f00112233445566
    weighed: 1450 kg
    hover: {pitch: -2 deg, roll: 0.5 deg}
    flight: {airspeed: 45 kt, pitch: -3 deg, trail: 6 deg}
    remarks: 'gusty, load turned slowly'
`))
}

func FuzzSightings(f *testing.F) {
	read := func(data []byte) (*[]app.Sighting, []document.Problem) {
		seen, problems := app.ReadSightings(data)
		if len(problems) > 0 {
			return nil, problems
		}
		return &seen, nil
	}
	fuzzed(f, read, nil, []byte("format: hangtrue.seen/1\nseen: [{id: a, date: 2026-09-01, what: a torn label}]\n"))
}

func FuzzSettings(f *testing.F) {
	f.Add([]byte(`{"format":"hangtrue.school/1","name":"A","lapses":[],"due_days":30}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := app.ReadSettings(data)
		if err == nil && s.Name == "" {
			t.Errorf("taken without a name: %q", data)
		}
	})
}

// What a reader of printed codes brings is text that anybody may have printed.
func FuzzVerifyMark(f *testing.F) {
	f.Add([]byte("{}\n"), "hangtrue-record:log:0:00")
	f.Add([]byte(""), "hangtrue-record:log:-1:00")
	f.Add([]byte("a\nb\n"), "hangtrue-record:log:99999999999999999999:00")
	f.Fuzz(func(t *testing.T, data []byte, mark string) {
		if e, err := app.VerifyMark(data, mark); err == nil && len(e.Line) == 0 {
			t.Errorf("%q is taken for an entry that is empty", mark)
		}
	})
}

// A copy of a log is refused, or else it has a head that its own lines make.
func FuzzVerifyRecords(f *testing.F) {
	f.Add([]byte("{}\n"), "log+00000000+AAAA")
	f.Fuzz(func(t *testing.T, data []byte, key string) {
		if _, err := app.VerifyRecords(data, key); err == nil {
			t.Errorf("verified without a signature: %q", data)
		}
	})
}

// The audit reads solutions that another program may have written.
func FuzzAudit(f *testing.F) {
	rigs := demo.Rigs()
	r, problems := rigfile.Read(rigs[0].Data)
	if len(problems) > 0 {
		f.Fatal(problems)
	}
	a, err := rig.Hang(r)
	if err != nil {
		f.Fatal(err)
	}
	out, err := solution.Of(a).Encode()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(out)
	f.Add([]byte(`{"format":"hangtrue.solution/1"}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		report, err := audit.Run(rigs[0].Data, data)
		if (report == nil) == (err == nil) {
			t.Fatalf("report %v and error %v", report, err)
		}
	})
}
