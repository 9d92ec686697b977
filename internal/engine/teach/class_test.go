package teach

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"
)

func TestReadRoster(t *testing.T) {
	for _, c := range []struct {
		name, text string
		rows       []RosterRow
		problems   string
	}{
		{"commas", "name,group,contact\nAda Fell,1,a@example\n", []RosterRow{{2, "Ada Fell", "1", "a@example"}}, ""},
		{"semicolons, another order, a mark of UTF-8", "\ufeffGroup;Name\n2;\"Gill; Ben\"\n", []RosterRow{{2, "Gill; Ben", "2", ""}}, ""},
		{"tabs, carriage returns, empty lines", "name\tgroup\r\n\r\n Cora   Holm \t\r\n\t\r\n", []RosterRow{{3, "Cora Holm", "", ""}}, ""},
		{"an empty text", " \n", nil, "1: it is empty; the first line names the columns: name, group, contact"},
		{"a wrong column", "nam,group\nAda,1\n", nil, `1: "nam" is no column; did you mean "name"?`},
		{"no name column", "group\n1\n", nil, "1: no column is called name"},
		{"twice a column", "name,name\nA,B\n", nil, `1: the column "name" stands twice`},
		{"no student", "name\n", nil, "1: there is no student beneath the first line"},
		{"a name is missing, one is there twice", "name,group\n,1\nAda,1\nADA,2\nBen,3\n", []RosterRow{{3, "Ada", "1", ""}, {5, "Ben", "3", ""}}, "2: the name is missing; 4: ADA stands in line 3 already; tell the two apart by their names"},
		{"too many values", "name,group\nAda,1,x\n", nil, "2: 3 values, and 2 columns are named"},
		{"a quote that is not closed", "name\nAda\n\"Ben\n", []RosterRow{{2, "Ada", "", ""}}, `3: a quotation mark is missing or too many`},
		{"no UTF-8", "name\nA\xe9\n", nil, "1: the text is not UTF-8; save it as CSV UTF-8"},
		{"a long group", "name,group\nAda,123456789012345678901\n", nil, "2: a group has at most 20 letters"},
	} {
		rows, problems := ReadRoster([]byte(c.text))
		var words []string
		for _, p := range problems {
			words = append(words, fmt.Sprintf("%d: %s", p.Line, p.Text))
		}
		if got := strings.Join(words, "; "); !slices.Equal(rows, c.rows) || got != c.problems {
			t.Errorf("%s: %+v, %s", c.name, rows, got)
		}
	}
	rows, problems := ReadRoster([]byte("name\n" + strings.Repeat("x\n", 1) + numbered(MostRoster+5)))
	if len(rows) != MostRoster || len(problems) != 1 {
		t.Errorf("%d rows, %d problems", len(rows), len(problems))
	}
}

func numbered(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "Student %d\n", i)
	}
	return b.String()
}

// FuzzReadRoster: nothing that is typed makes it panic, and every row that is
// taken has a name and a line of its own.
func FuzzReadRoster(f *testing.F) {
	for _, s := range []string{"name,group\nAda,1\n", "", "name;x\n\"", "\ufeffname\r\nA", "name\tgroup\n\t\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		rows, problems := ReadRoster(data)
		if len(rows) == 0 && len(problems) == 0 {
			t.Fatal("nothing is taken and nothing is wrong")
		}
		last := 1
		for _, r := range rows {
			if r.Name == "" || r.Line <= last {
				t.Fatalf("%+v after line %d", r, last)
			}
			last = r.Line
		}
	})
}

func TestPutBackOf_TwoDifferentPeopleForEach(t *testing.T) {
	v := &LaneVersion{ID: "v", Key: Key{Planted: []string{"a", "b"}}}
	at := func(n int) time.Time { return time.Unix(int64(n), 0) }
	for _, c := range []struct {
		name     string
		seen     []PutBack
		twice    int
		restored bool
		last     int
	}{
		{"nobody", nil, 0, false, 0},
		{"one person, often", []PutBack{{"v", "a", "p", at(1)}, {"v", "a", "p", at(2)}, {"v", "b", "p", at(3)}}, 0, false, 3},
		{"two for one", []PutBack{{"v", "a", "p", at(1)}, {"v", "a", "q", at(2)}, {"v", "b", "p", at(3)}}, 1, false, 3},
		{"two for each, not the same two", []PutBack{{"v", "a", "p", at(1)}, {"v", "a", "q", at(2)}, {"v", "b", "q", at(5)}, {"v", "b", "r", at(4)}}, 2, true, 5},
		{"what is not planted, or of another version", []PutBack{{"v", "c", "p", at(1)}, {"v", "c", "q", at(2)}, {"w", "a", "p", at(3)}, {"w", "a", "q", at(4)}}, 0, false, 0},
	} {
		x := PutBackOf(v, c.seen)
		last := int64(0)
		if !x.Last.IsZero() {
			last = x.Last.Unix()
		}
		if x.Twice != c.twice || x.Restored != c.restored || last != int64(c.last) {
			t.Errorf("%s: %+v", c.name, x)
		}
	}
}

func TestAttempt_WhatStandsAgainstTheNext(t *testing.T) {
	two := 2
	day := func(n int) time.Time { return time.Date(2026, 5, n, 0, 0, 0, 0, time.UTC) }
	missed := Result{Outcome: NotMet, Version: "1", At: day(1)}
	taught := Entry{Kind: EntryRetraining, At: day(2)}
	for _, c := range []struct {
		name    string
		a       Attempt
		setup   LaneSetup
		version string
		want    string
	}{
		{"the first", Attempt{}, LaneSetup{}, "1", ""},
		{"met", Attempt{Results: []Result{{Outcome: Met}}}, LaneSetup{Attempts: &two}, "2", "has met the rule here"},
		{"not taught again", Attempt{Results: []Result{missed}}, LaneSetup{Attempts: &two}, "2", "no retraining is recorded since the last attempt"},
		{"taught again, another version", Attempt{Results: []Result{missed}, Retrains: []Entry{taught}}, LaneSetup{Attempts: &two}, "2", ""},
		{"the same version", Attempt{Results: []Result{missed}, Retrains: []Entry{taught}}, LaneSetup{Attempts: &two}, "1", "has had this version; use another one"},
		{"the school has not said", Attempt{Results: []Result{missed}, Retrains: []Entry{taught}}, LaneSetup{}, "2", "the school has not entered how many attempts there are"},
		{"all used, taught before", Attempt{Results: []Result{missed, {Outcome: NotMet, Version: "2", At: day(3)}}, Retrains: []Entry{taught}}, LaneSetup{Attempts: &two}, "3", "has had 2 of 2 attempts; no retraining is recorded since the last attempt"},
	} {
		if got := strings.Join(c.a.Against(&c.setup, c.version), "; "); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestFoldRun_TheClockStandsStill(t *testing.T) {
	start := time.Date(2026, 5, 31, 10, 0, 0, 0, time.UTC)
	n := 0
	event := func(kind CallKind, after time.Duration, b RunBody) RunEvent {
		n++
		body, err := json.Marshal(b)
		if err != nil {
			t.Fatal(err)
		}
		return RunEvent{ID: fmt.Sprintf("event%020d", n), Run: "run", Device: "d", N: int64(n), Kind: kind, At: start.Add(after), Body: body, By: "g"}
	}
	events := []RunEvent{
		event(RunStart, 0, RunBody{Version: "v", Student: "s"}),
		event(CallTrue, time.Minute, RunBody{}),
	}
	s, err := FoldRun(events)
	if err != nil || !s.Stopped() || s.Clock(start.Add(time.Hour)) != time.Minute {
		t.Fatalf("%+v, %v", s, err)
	}
	events = append(events, event(CallPut, 5*time.Minute, RunBody{}))
	s, err = FoldRun(events)
	if err != nil || s.Stopped() || s.Clock(start.Add(6*time.Minute)) != 2*time.Minute || s.Waited != 4*time.Minute {
		t.Fatalf("%+v, %v", s, err)
	}
	// Taking the call back lets the clock go on as well.
	events = append(events[:2:2], event(CallUndone, 3*time.Minute, RunBody{Undoes: events[1].ID}))
	s, err = FoldRun(events)
	if err != nil || s.Stopped() || s.Clock(start.Add(4*time.Minute)) != 2*time.Minute {
		t.Errorf("%+v, %v", s, err)
	}
	if _, err := FoldRun(events[1:]); err == nil {
		t.Error("a run without a start")
	}
}

func TestGradeVersion_WhatIsVoidedIsNeitherFoundNorMissed(t *testing.T) {
	three, none, right, within := 3, 0, true, time.Hour
	r := Rule{Found: &three, False: &none, FigureRight: &right, Within: &within}
	ended := time.Minute
	s := &RunState{Ended: &ended, Calls: []Call{{ID: "1", Kind: CallFound, Deficiency: "a"}, {ID: "2", Kind: CallFound, Deficiency: "b"}}}
	for _, c := range []struct {
		voided        []string
		outcome       Outcome
		found, missed int
	}{
		{nil, NotMet, 2, 2},
		{[]string{"c"}, NotMet, 2, 1},      // three are left, and three are asked for
		{[]string{"c", "d"}, Met, 2, 0},    // of two, two
		{[]string{"a", "c"}, NotMet, 1, 1}, // of two, one
	} {
		g := GradeVersion(r, []string{"a", "b", "c", "d"}, c.voided, s)
		if g.Outcome != c.outcome || len(g.Found) != c.found || len(g.Missed) != c.missed || len(g.Reasons) > 0 && strings.Contains(g.Reasons[0], "not counted") {
			t.Errorf("without %v: %+v", c.voided, g)
		}
	}
	if *r.Found != 3 {
		t.Error("the lane's rule was changed")
	}
}

func TestRunEvent_WhatIsRefused(t *testing.T) {
	good := RunEvent{ID: strings.Repeat("a", 26), Run: strings.Repeat("b", 26), Device: strings.Repeat("c", 26), N: 1, Kind: CallFound, At: time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC), Body: json.RawMessage(`{"deficiency":"a/b/c","after_ms":5}`)}
	if err := good.Check(); err != nil {
		t.Fatal(err)
	}
	for name, change := range map[string]func(*RunEvent){
		"a short id":            func(e *RunEvent) { e.ID = "a" },
		"no number":             func(e *RunEvent) { e.N = 0 },
		"a clock of long ago":   func(e *RunEvent) { e.At = time.Time{} },
		"no deficiency":         func(e *RunEvent) { e.Body = json.RawMessage(`{"after_ms":5}`) },
		"a word we do not know": func(e *RunEvent) { e.Body = json.RawMessage(`{"deficiency":"a","grade":"met"}`) },
		"before the start":      func(e *RunEvent) { e.Body = json.RawMessage(`{"deficiency":"a","after_ms":-1}`) },
		"more than one body":    func(e *RunEvent) { e.Body = json.RawMessage(`{"deficiency":"a"} {}`) },
		"no body":               func(e *RunEvent) { e.Body = nil },
		"a kind we do not know": func(e *RunEvent) { e.Kind = "dance" },
		"a start of nobody":     func(e *RunEvent) { e.Kind, e.Body = RunStart, json.RawMessage(`{"version":"v"}`) },
		"an undo of nothing":    func(e *RunEvent) { e.Kind = CallUndone },
		"a text that is too long": func(e *RunEvent) {
			e.Body = json.RawMessage(`{"deficiency":"a","text":"` + strings.Repeat("x", 3000) + `"}`)
		},
	} {
		e := good
		if change(&e); e.Check() == nil {
			t.Errorf("%s is taken", name)
		}
	}
}
