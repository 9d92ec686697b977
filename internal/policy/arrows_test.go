package policy

import (
	_ "embed"
	"os"
	"slices"
	"strings"
	"testing"
)

// arrows says who may import whom among our packages.
//
//	in F: a, b/c     the packages of ring F, as folders beneath internal (the
//	                 ring cmd and the documents lie at the root); elsewhere a package goes by
//	                 the last element of its folder, a ring by its name in
//	                 capitals
//	tests only: a    a package that only tests import
//	a < b < c        b may import a, c may import b and so also a
//	NONE < a         a imports no package of ours
//	a !< b           b never imports a, whatever else is said here
//
// A test file may import, besides what its package may, everything of its own
// ring, the rings beneath it, the data ring and the tests-only packages: tests compare
// routes and read examples.
const arrows = `
	in engine: spelling, quantity, document, statics, liquid, air,
		part, part/catalogfile, rig, rig/rigfile, rig/solution,
		rig/counts, rig/spread, rig/fault, rig/flight, rig/flown,
		lift, lift/aircraftfile, lift/conditionsfile, lift/dayfile, lift/weighingfile,
		procedure, procedure/procedurefile, brief, brief/brieffile,
		inspect, inspect/sequencefile, teach, teach/stats, teach/report,
		calendar, people, inspection, equipment, record, audit, outside;
	in engine: statics/hangs;
	in paper: draw, draw/truetype, draw/look, draw/chart, draw/running, draw/svg, draw/pdf, draw/png, draw/qr, picture, study, closeup, likeness, sheet,
		walk, whatif, lifting, placard, lesson, docket, lane, results;
	in keep: store, disk, authority;
	in face: app, cli, web;
	in data: catalog, demo, aircraft, docs, licenses, licenses/gen;
	in policy: extra;
	in cmd: hangtrue, release;
	tests only: paper/draw/proof, policy, policy/extra;

	# The engine.
	NONE < spelling, statics, record, calendar;
	spelling < quantity, stats, inspection;
	quantity < document, liquid, air, part;
	statics, liquid, air, part < rig < inspect < teach;
	rig < counts, spread, fault;
	rig, air < flight;
	rig, air < lift;
	stats, calendar < teach < report;
	calendar < people, inspection, equipment;
	rig, lift < brief;
	rig < procedure;
	statics < hangs;

	# Readers and writers of file formats. Their subjects do not know them.
	document, part < catalogfile;
	document, catalogfile, rig < rigfile;
	rig < solution;
	document, inspect < sequencefile;
	document, lift < aircraftfile, conditionsfile, dayfile, weighingfile;
	document, procedure < procedurefile;
	document, lift, brief < brieffile;
	document, flight < flown;
	document < lift;

	# The checks against the outside run every room that has some; selftest
	# prints them on a user's machine.
	hangs, statics, liquid, air, quantity, flight, fault, lift, rig, rigfile, spread, stats < outside;

	# The audit reads a rig and its solution and checks one against the other
	# by a second route.
	document, rigfile, solution < audit;

	# The paper. Drawing knows units of length and no trade; the picture of a
	# rig does.
	quantity < draw < look < chart;
	NONE < truetype;
	draw, truetype < svg, pdf, png;
	draw < qr;
	look < running;
	chart < proof;
	ENGINE, chart < picture, study, lifting;
	part, draw, look, png < closeup;
	ENGINE, closeup < likeness;
	ENGINE, picture, study, running, svg, pdf, png < sheet;
	ENGINE, picture < placard;
	ENGINE, likeness, sheet < walk, lesson;
	ENGINE, chart, picture, sheet < whatif;
	ENGINE, running, qr < docket;
	ENGINE, lesson < lane;
	ENGINE, chart, running < results;

	# Outside.
	ENGINE < store;
	NONE < disk, authority, docs, licenses, gen, policy, extra;
	ENGINE < catalog, demo, aircraft;
	ENGINE, PAPER, catalog, demo, aircraft, docs, licenses < app < cli, web;
	FACE, KEEP, DATA < hangtrue;
	licenses < release;

	# Statics is mathematics: SI numbers in, SI numbers out. A trade word or a
	# unit in it would be a second home for either.
	quantity, rig !< statics;
	# A rig that knew its own file format could not be built by anything else.
	document, rigfile, solution, catalogfile !< rig, part;
	# An audit by the code that it audits would agree with every error in it.
	statics, rig !< audit;
	# The record seals bytes. It must stay readable when the trade's types change.
	document, rig !< record;
	# A back-end that knows the trade would draw two truths in two formats.
	rig !< draw, svg, pdf, png, chart, running;
	# Two faces that share code share it through app.
	cli !< web;
	web !< cli;
	# app declares what it needs as small interfaces; only cmd knows who keeps things.
	store, disk !< app, cli, web;
	app, disk !< store;
	store !< disk;
	# Invented data reaches people through the one use case that marks it.
	demo !< cli, web, store, disk;
`

// planned lists, one a line, packages that have a rule above and no code yet.
//
//go:embed planned.txt
var planned string

func TestArrows(t *testing.T) {
	p, err := parsePolicy(arrows)
	if err != nil {
		t.Fatal(err)
	}
	sources := ourSources(t)
	list := plannedList(planned)
	if *update {
		list = stillPlanned(t, p, sources)
	}
	report(t, p.breaches(sources, list))
}

// stillPlanned takes packages that exist by now out of planned.txt.
func stillPlanned(t *testing.T, p *policy, sources []source) []string {
	t.Helper()
	exists := p.existing(sources)
	var kept strings.Builder
	for line := range strings.Lines(planned) {
		if !exists[folder(strings.TrimSpace(line))] {
			kept.WriteString(line)
		}
	}
	if err := os.WriteFile("planned.txt", []byte(kept.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	return plannedList(kept.String())
}

func plannedList(text string) []string {
	var out []string
	for line := range strings.Lines(text) {
		if line = strings.TrimSpace(line); line != "" && line[0] != '#' {
			out = append(out, line)
		}
	}
	return out
}

func TestArrows_TheRulesSayWhatTheyLookLike(t *testing.T) {
	p, err := parsePolicy(arrows)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		from, to string
		want     bool
	}{
		{"internal/engine/rig", "internal/engine/quantity", true}, // through part
		{"internal/engine/quantity", "internal/engine/rig", false},
		{"internal/engine/rig", "internal/engine/rig/rigfile", false},
		{"internal/engine/audit", "internal/engine/rig/rigfile", true},
		{"internal/engine/audit", "internal/engine/rig", false}, // refused though rigfile knows it
		{"internal/paper/sheet", "internal/engine/lift", true},
		{"internal/paper/sheet", "internal/paper/draw/proof", false}, // tests only
		{"internal/engine/lift", "internal/paper/draw", false},
		{"internal/face/web", "internal/engine/teach", true}, // through app
		{"internal/face/web", "internal/data/demo", false},
		{"internal/face/app", "internal/keep/store", false},
		{"internal/keep/disk", "internal/engine/quantity", false},
		{"cmd/hangtrue", "internal/keep/store", true},
	} {
		if got := p.mayImport(c.from, c.to); got != c.want {
			t.Errorf("%s may import %s: got %v, want %v", c.from, c.to, got, c.want)
		}
	}
}

const small = `
	in engine: low, mid, mid/high;
	in paper: draw;
	in data: demo;
	tests only: engine/probe;
	NONE < low < mid < high;
	ENGINE < draw;
	low < probe;
	NONE < demo;
	low !< draw;
`

func TestArrows_FindsEachKindOfBreach(t *testing.T) {
	imports := func(pkg string, paths ...string) string {
		text := "package " + pkg + "\n"
		for _, p := range paths {
			text += "import _ \"" + module + "/internal/" + p + "\"\n"
		}
		return text
	}
	good := map[string]string{
		"internal/engine/low/low.go":       imports("low"),
		"internal/engine/low/low_test.go":  imports("low", "engine/mid", "engine/probe", "data/demo"),
		"internal/engine/mid/mid.go":       imports("mid", "engine/low"),
		"internal/engine/mid/high/high.go": imports("high", "engine/low", "engine/mid"),
		"internal/engine/probe/probe.go":   imports("probe", "engine/low"),
		"internal/paper/draw/draw.go":      imports("draw", "engine/mid/high"),
		"internal/data/demo/demo.go":       imports("demo"),
	}
	for _, c := range []struct {
		name, file, text string
		planned, want    []string
	}{
		{name: "nothing wrong"},
		{
			name: "against the arrow", file: "internal/engine/low/x.go", text: imports("low", "engine/mid"),
			want: []string{"engine/low/x.go:2: engine/low may not import engine/mid"},
		},
		{
			name: "under another build tag", file: "internal/engine/low/x_plan9.go", text: "//go:build ignore\n\n" + imports("low", "engine/mid"),
			want: []string{"engine/low may not import engine/mid"},
		},
		{
			name: "a refusal is stronger than a path", file: "internal/paper/draw/x.go", text: imports("draw", "engine/low"),
			want: []string{"paper/draw may not import engine/low"},
		},
		{
			name: "test support in the product", file: "internal/engine/mid/x.go", text: imports("mid", "engine/probe"),
			want: []string{"engine/mid may not import engine/probe"},
		},
		{
			name: "a test reaches outwards", file: "internal/engine/mid/x_test.go", text: imports("mid", "paper/draw"),
			want: []string{"tests of engine/mid may not import paper/draw"},
		},
		{
			name: "no rule", file: "internal/engine/extra/x.go", text: imports("extra"),
			want: []string{"internal/engine/extra has no rule"},
		},
		{
			name: "planned but there", planned: []string{"engine/low"},
			want: []string{"engine/low is listed as planned and exists"},
		},
		{
			name: "planned without a rule", planned: []string{"engine/nowhere"},
			want: []string{"engine/nowhere is listed as planned and has no rule"},
		},
		{
			name: "ruled but neither there nor planned", file: "internal/data/demo/demo.go", text: "",
			want: []string{"data/demo has a rule, does not exist and is not listed as planned"},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			files := map[string]string{}
			for name, text := range good {
				files[name] = text
			}
			if c.file != "" {
				files[c.file] = c.text
			}
			if c.file != "" && c.text == "" {
				delete(files, c.file)
			}
			p, err := parsePolicy(small)
			if err != nil {
				t.Fatal(err)
			}
			mustFind(t, p.breaches(madeUp(t, files), c.planned), c.want...)
		})
	}
}

func TestParsePolicy_RefusesNonsense(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"unknown package", "in engine: a; NONE < b;", "b is no package"},
		{"unknown ring", "in engine: a; KEEP < a;", "KEEP is no ring"},
		{"a ring on the right", "in engine: a; in paper: b; a < PAPER;", "PAPER may stand only on the left"},
		{"a cycle", "in engine: a, b; a < b; b < a;", "in a circle"},
		{"no rule", "in engine: a, b; NONE < a;", "b has no rule"},
		{"twice the same name", "in engine: a, x/a;", "two packages"},
		{"no arrow", "in engine: a; a;", "neither"},
		{"a refusal of two steps", "in engine: a, b, c; NONE < a < b < c; a !< b !< c;", "one arrow"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := parsePolicy(c.text)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got error %v, want one that mentions %q", err, c.want)
			}
		})
	}
}

func TestPlannedList_SkipsRemarksAndEmptyLines(t *testing.T) {
	got := plannedList("# remark\n\nengine/a\n  face/b \n")
	if want := []string{"engine/a", "face/b"}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}
