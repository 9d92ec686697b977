package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/face/app"
	"hangtrue/internal/face/cli"
	"hangtrue/internal/keep/store"
)

// The command gives out what the pages do, while the server has the school open.
func TestSchoolResults_WhileTheSchoolIsOpen(t *testing.T) {
	s := openSchool(t)
	ctx := s.ctx()
	load := demo.Rigs()[0]
	if _, saved, err := s.Rigs.Save(load.Name, "", load.Data); err != nil || !saved {
		t.Fatal(saved, err)
	}
	shelf, err := s.Shelves.Shelf(app.Catalogues)
	s.must(err)
	catalog, err := app.SchoolCatalogOf(shelf)
	s.must(err)
	survey, _ := inspect.Of(app.Solve(load.Data).Rig, catalog.Catalog)
	var planted []string
	for i := range 4 {
		planted = append(planted, survey.Deficiencies[7*i].ID())
	}
	class, err := s.AddClass(ctx, s.chief, teach.Class{Name: "Autumn"})
	s.must(err)
	_, err = s.ImportRoster(ctx, s.chief, class, []byte("name,group\nAda Fell,1\nBen Gill,1\n"))
	s.must(err)
	two, one, yes := 2, 1, true
	within := 20 * time.Minute
	lane, err := s.AddLane(ctx, s.chief, class, teach.LaneSetup{Title: "Crate", Rig: load.Name, Load: "Crate 7", Count: 4, Rule: teach.Rule{Found: &two, Within: &within, False: &one, FigureRight: &yes}})
	s.must(err)
	kept, err := s.store.Lane(ctx, lane)
	s.must(err)
	versions, err := s.store.AddVersions(ctx, lane, []teach.LaneVersion{{ID: s.id(), Rig: load.Name, By: s.chief.ID, Key: teach.Key{Format: teach.KeyFormat, Rig: kept.Setup.RigHash, Planted: planted}}})
	s.must(err)
	room, err := s.ClassRoom(ctx, s.chief, class)
	s.must(err)
	var events []teach.RunEvent
	for i, m := range room.Students {
		run, n := s.id(), int64(0)
		put := func(kind teach.CallKind, b teach.RunBody) {
			n++
			body, err := json.Marshal(b)
			s.must(err)
			events = append(events, teach.RunEvent{ID: s.id(), Run: run, Device: strings.Repeat("d", 26), N: n, Kind: kind, At: s.now(), Body: body})
		}
		put(teach.RunStart, teach.RunBody{Version: versions[0].ID, Student: m.Person.ID})
		for k := range 2 + i {
			put(teach.CallFound, teach.RunBody{Deficiency: planted[k], After: int64(1000 * (k + 1))})
		}
		put(teach.RunEnd, teach.RunBody{After: 60_000})
	}
	_, err = s.store.AddRunEvents(ctx, events, s.chief.ID, nil, "2026-05-31")
	s.must(err)

	file := s.file
	ask := func(args ...string) string {
		t.Helper()
		var out, wrong bytes.Buffer
		p := cli.Program{
			Args: append([]string{"school", "results", file}, args...), Stdin: strings.NewReader(""), Stdout: &out, Stderr: &wrong,
			Extra: []cli.Extra{{Name: "school", Help: "school", Run: &schoolCommand{}}},
		}
		if status := p.Run(); status != 0 {
			t.Fatalf("%v: status %d: %s", args, status, wrong.String())
		}
		return out.String()
	}
	text := ask("--class", "Autumn")
	for _, want := range []string{"INVENTED: Autumn\n", "2 of 2 runs count, of 2 students", "Too few results to name a checkpoint", "By checkpoint", "none of them ranks people"} {
		if !strings.Contains(text, want) {
			t.Errorf("it does not say %q:\n%s", want, text)
		}
	}
	rows, err := csv.NewReader(strings.NewReader(ask("--csv"))).ReadAll()
	if err != nil || len(rows) != 1+2*4 {
		t.Errorf("%d rows, %v", len(rows), err)
	}
	var statements []map[string]any
	plain := ask("--class", "Autumn", "--xapi", "--home", "https://hut-school.local")
	if err := json.Unmarshal([]byte(plain), &statements); err != nil || len(statements) != 2*5 || strings.Contains(plain, "Ada Fell") {
		t.Errorf("%d statements, %v", len(statements), err)
	}
	if named := ask("--class", "Autumn", "--xapi", "--home", "https://hut-school.local", "--names"); !strings.Contains(named, "Ada Fell") {
		t.Error("the statements have no names")
	}
	// The pages' use case writes the same.
	d, err := s.ClassExport(ctx, s.chief, class)
	s.must(err)
	var out bytes.Buffer
	s.must(d.WriteXAPI(ctx, &out, app.XAPIAsk{Origin: "https://hut-school.local"}))
	if out.String() != plain {
		t.Error("the command's statements are not those of the pages")
	}
	for name, args := range map[string][]string{"report.pdf": nil, "sheet.pdf": {"--student", "Ada Fell"}} {
		path := filepath.Join(t.TempDir(), name)
		ask(append([]string{"--class", "Autumn", "--pdf", "-o", path}, args...)...)
		if data, err := os.ReadFile(path); err != nil || !bytes.HasPrefix(data, []byte("%PDF")) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := store.OpenReader(ctx, file, store.Options{}); err != nil {
		t.Error(err)
	}
}
