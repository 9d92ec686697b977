package equipment

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"
)

func set() Item {
	return Item{ID: "s", Serial: "S-1", Kind: Set, InService: "2026-01-31", Intervals: []Interval{{What: "yearly", Months: 12}, {What: "check", Days: 30}}}
}

func TestFold_DueDates(t *testing.T) {
	for _, c := range []struct {
		name   string
		events []Event
		want   []string
	}{
		{"never inspected", nil, []string{"check 2026-03-02", "yearly 2027-01-31"}},
		{"checked", []Event{{Kind: Inspected, What: "check", On: "2026-02-20"}}, []string{"check 2026-03-22", "yearly 2027-01-31"}},
		{"out of order", []Event{{Kind: Inspected, What: "check", On: "2026-06-01"}, {Kind: Inspected, What: "check", On: "2026-02-20"}}, []string{"check 2026-07-01", "yearly 2027-01-31"}},
	} {
		var got []string
		for _, d := range Fold(set(), c.events).Due {
			got = append(got, d.What+" "+string(d.Day))
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// It counts through the day on which it is due.
func TestBlocks_FromTheDayAfter(t *testing.T) {
	s := Fold(set(), nil)
	if got := s.Blocks("2026-03-02"); len(got) != 0 {
		t.Errorf("on the day: %v", got)
	}
	if got := s.Blocks("2026-03-03"); !slices.Equal(got, []string{"sling set S-1: check was due on 2026-03-02"}) {
		t.Errorf("the day after: %v", got)
	}
}

func TestBlocks_WhatStandsAgainstAnItem(t *testing.T) {
	item := Item{ID: "l", Serial: "L-1", Kind: Leg}
	for _, c := range []struct {
		name   string
		events []Event
		want   string
	}{
		{"nothing", nil, ""},
		{"defect", []Event{{ID: "d", Kind: DefectFound, Text: "cut strand"}}, "leg L-1 has an open defect: cut strand"},
		{"repaired", []Event{{ID: "d", Kind: DefectFound, Text: "cut"}, {Kind: Repaired, About: "d"}}, ""},
		{"another repaired", []Event{{ID: "d", Kind: DefectFound, Text: "cut"}, {ID: "e", Kind: DefectFound, Text: "rust"}, {Kind: Repaired, About: "e"}}, "leg L-1 has an open defect: cut"},
		{"out", []Event{{Kind: OutOfService, Text: "at the maker"}}, "leg L-1 is out of service: at the maker"},
		{"back", []Event{{Kind: OutOfService}, {Kind: BackInService}}, ""},
		{"lost", []Event{{Kind: Lost}}, "leg L-1 is lost"},
		{"found", []Event{{Kind: Lost}, {Kind: Found}}, ""},
		{"quarantined", []Event{{Kind: Quarantined, What: "overloaded"}}, "leg L-1 is quarantined: overloaded"},
		{"back in service is no release", []Event{{Kind: Quarantined, What: "damaged"}, {Kind: OutOfService}, {Kind: BackInService}}, "leg L-1 is quarantined: damaged"},
		{"released", []Event{{Kind: Quarantined, What: "damaged"}, {Kind: Released, Name: "N"}}, ""},
		{"lost while quarantined", []Event{{Kind: Quarantined, What: "damaged"}, {Kind: Lost}}, "leg L-1 is lost; leg L-1 is quarantined: damaged"},
		{"retired for good", []Event{{Kind: Retired, Text: "cut up"}, {Kind: BackInService}}, "leg L-1 is retired: cut up"},
	} {
		if got := strings.Join(Fold(item, c.events).Blocks("2026-01-01"), "; "); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
	item.Spoiled = true
	if got := Fold(item, []Event{{Kind: Released}, {Kind: BackInService}}).Blocks("2026-01-01"); len(got) != 1 || !strings.Contains(got[0], "never for flight") {
		t.Errorf("a spoiled part: %v", got)
	}
}

func TestInventory_ASetIsBlockedByItsParts(t *testing.T) {
	v := Take([]Item{set(), {ID: "l", Serial: "L-1", Kind: Leg, Set: "s"}, {ID: "n", Serial: "N-1", Kind: Net}},
		[]Event{{Item: "l", Kind: Quarantined, What: "shock-loaded"}})
	if got := v.Blocks([]string{"s", "n"}, "2026-02-01"); !slices.Equal(got, []string{"leg L-1 is quarantined: shock-loaded"}) {
		t.Errorf("got %v", got)
	}
	if got := v.Blocks([]string{"x"}, "2026-02-01"); len(got) != 1 {
		t.Errorf("something unknown: %v", got)
	}
	if got := v.Expand([]string{"s", "l", "n"}); !slices.Equal(got, []string{"s", "l", "n"}) {
		t.Errorf("got %v", got)
	}
	if s, ok := v.Find("", " l-1 "); !ok || s.ID != "l" {
		t.Error("not found by its serial number")
	}
	due := v.DueList("2026-03-04", "2026-12-31")
	if len(due) != 1 || due[0].Days != -2 || due[0].Due.What != "check" {
		t.Errorf("got %+v", due)
	}
}

func TestCheck_WhatCannotFollow(t *testing.T) {
	s := Fold(set(), []Event{{ID: "d", Kind: DefectFound, Text: "cut"}})
	for _, c := range []struct {
		field string
		e     Event
	}{
		{"kind", Event{Kind: "sold", On: "2026-01-01"}},
		{"what", Event{Kind: Inspected, What: "never heard of", On: "2026-01-01"}},
		{"what", Event{Kind: Quarantined, What: "ugly", On: "2026-01-01"}},
		{"name", Event{Kind: Released, On: "2026-01-01"}},
		{"kind", Event{Kind: Released, Name: "N", On: "2026-01-01"}},
		{"about", Event{Kind: Repaired, About: "x", On: "2026-01-01"}},
		{"text", Event{Kind: DefectFound, On: "2026-01-01"}},
		{"on", Event{Kind: Lost, On: "yesterday"}},
	} {
		var p *Problem
		if err := s.Check(&c.e); !errors.As(err, &p) || p.Field != c.field {
			t.Errorf("%+v: %v, want something about %s", c.e, err, c.field)
		}
	}
	if err := s.Check(&Event{Kind: Repaired, About: "d", On: "2026-01-01"}); err != nil {
		t.Error(err)
	}
}

func TestItem_Check(t *testing.T) {
	good := set()
	if err := good.Check(); err != nil {
		t.Error(err)
	}
	for field, change := range map[string]func(*Item){
		"serial":     func(i *Item) { i.Serial = "" },
		"kind":       func(i *Item) { i.Kind = "rope" },
		"in_service": func(i *Item) { i.InService = "31.1.2026" },
		"note":       func(i *Item) { i.Note = "a\nb" },
		"intervals":  func(i *Item) { i.Intervals = []Interval{{What: "x", Months: 1, Days: 1}} },
	} {
		i := set()
		change(&i)
		problems := unjoined(i.Check())
		if len(problems) != 1 || problems[0].Field != field {
			t.Errorf("%s: %v", field, problems)
		}
	}
}

func TestDerig_EverythingIsAccountedFor(t *testing.T) {
	out := []string{"a", "b", "c"}
	good := Derig{On: "2026-06-01", Parts: []Back{{Item: "a"}, {Item: "b", As: "lost"}, {Item: "c", As: "contaminated", Text: "fuel"}}, Undone: []Undone{{"mirrors", true}}}
	events, err := good.Events(out)
	if err != nil || len(events) != 3 || events[0].Kind != Returned || events[1].Kind != Lost || events[2].Kind != Quarantined || events[2].What != "contaminated" {
		t.Errorf("%+v, %v", events, err)
	}
	for name, d := range map[string]Derig{
		"one is missing":   {Parts: good.Parts[:2]},
		"one stands twice": {Parts: append(slices.Clone(good.Parts), Back{Item: "a"})},
		"another's":        {Parts: append(slices.Clone(good.Parts), Back{Item: "x"})},
		"no such way":      {Parts: []Back{{Item: "a", As: "fine"}, {Item: "b"}, {Item: "c"}}},
		"not undone":       {Parts: good.Parts, Undone: []Undone{{"mirrors", true}, {"vents", false}}},
	} {
		if _, err := d.Events(out); err == nil {
			t.Errorf("%s was taken", name)
		}
	}
}

func TestReadList_NewChangedSame(t *testing.T) {
	v := Take([]Item{set(), {ID: "n", Serial: "N-1", Kind: Net, Name: "old"}}, nil)
	text := "serial;kind;name;set;intervals;in service;last inspected;training only\r\n" +
		"N-1;Net;new;;;;;\r\n" +
		"s-1;sling set;;;yearly: 12 months; check: 30 days;2026-01-31;;\r\n"
	// The interval's semicolon splits the cell: the line has too many.
	if _, problems := ReadList([]byte(text), v); len(problems) != 1 || problems[0].Line != 3 {
		t.Errorf("got %v", problems)
	}
	text = "\ufeffserial;kind;name;set;intervals;in service;last inspected;training only\r\n" +
		"N-1;Net;new;;;;;\r\n" +
		"s-1;sling set;;;\"yearly: 12 months; check: 30 days\";2026-01-31;;\r\n" +
		"\r\n" +
		"L-9;leg;\"one, two\";S-1;;;;\r\n" +
		"T-1;leg;;S-2;;;;yes\r\n" +
		"S-2;sling set;;;yearly: 1 year;2026-01-01;2026-02-03;no\r\n"
	rows, problems := ReadList([]byte(text), v)
	if len(problems) != 0 || len(rows) != 5 {
		t.Fatalf("%v %v", rows, problems)
	}
	type seen struct {
		line              int
		id                string
		old, changed, bad bool
		set, name         string
	}
	want := []seen{
		{2, "n", true, true, false, "", "new"},
		{3, "s", true, false, false, "", ""},
		{5, "", false, true, false, "s", "one, two"},
		{6, "", false, true, true, "", ""},
		{7, "", false, true, false, "", ""},
	}
	for i, r := range rows {
		if got := (seen{r.Line, r.Item.ID, r.Old != nil, r.Changed, r.Item.Spoiled, r.Item.Set, r.Item.Name}); got != want[i] {
			t.Errorf("row %d: %+v, want %+v", i, got, want[i])
		}
	}
	if rows[4].Last != "2026-02-03" || rows[4].Item.Intervals[0].Months != 12 || rows[3].SetName != "S-2" {
		t.Errorf("got %+v", rows[3:])
	}
}

func TestReadList_ProblemsByLine(t *testing.T) {
	v := Take([]Item{{ID: "t", Serial: "T-1", Kind: Leg, Spoiled: true}}, nil)
	text := "serial,kind,in service,intervals,last inspected,training only,set\n" +
		"A,leg,,,,,\n" +
		",leg,,,,,\n" +
		"B,rope,,,,,\n" +
		"C,leg,1.2.2026,,,,\n" +
		"D,leg,2026-01-01,weekly,,,\n" +
		"E,leg,,,soon,,\n" +
		"F,leg,,,,perhaps,\n" +
		"G,leg,,,,,S-9\n" +
		"a,leg,,,,,\n" +
		"T-1,leg,,,,no,\n" +
		"H,leg,,,,,,,,\n"
	_, problems := ReadList([]byte(text), v)
	var lines []int
	for _, p := range problems {
		lines = append(lines, p.Line)
		if p.Text == "" {
			t.Errorf("%+v says nothing", p)
		}
	}
	if want := []int{3, 4, 5, 6, 7, 8, 9, 10, 11, 12}; !slices.Equal(lines, want) {
		t.Errorf("problems in lines %v, want %v: %v", lines, want, problems)
	}
	for name, text := range map[string]string{
		"empty": "", "no kind": "serial\nA\n", "unknown column": "serial,kind,colour\nA,leg,red\n", "twice": "serial,kind,kind\nA,leg,leg\n",
		"only names": "serial,kind\n", "quote": "serial,kind\n\"A,leg\n", "latin-1": "serial,kind\n\xfc,leg\n",
	} {
		if rows, problems := ReadList([]byte(text), v); len(problems) == 0 {
			t.Errorf("%s was read: %+v", name, rows)
		}
	}
}

// What is written reads back and changes nothing; a cell that a spreadsheet
// would compute does not begin with a sign that makes it.
func TestList_RoundTrip(t *testing.T) {
	v := Take([]Item{
		set(),
		{ID: "l", Serial: "=HYPERLINK(1)", Kind: Leg, Set: "s", Name: "+1", Note: "-x, \"y\""},
		{ID: "q", Serial: "'q", Kind: Net, Spoiled: true, Maker: "@m", Rating: "10 t"},
	}, []Event{{Item: "s", Kind: Inspected, What: "check", On: "2026-03-01"}})
	text := v.List()
	rows, problems := ReadList(text, v)
	if len(problems) != 0 || len(rows) != 3 {
		t.Fatalf("%v\n%s", problems, text)
	}
	for _, r := range rows {
		if r.Old == nil || r.Changed {
			t.Errorf("%+v", r)
		}
	}
	for _, bad := range []string{"\n=", ",=", ",+", ",-x", ",@"} {
		if strings.Contains(string(text), bad) {
			t.Errorf("%q stands in\n%s", bad, text)
		}
	}
}

func TestCalendar_IsWhatTheStandardAsks(t *testing.T) {
	i := set()
	i.Name = strings.Repeat("Lange Öse, schwer; ", 8)
	v := Take([]Item{i}, nil)
	text := string(Calendar(v.DueList("2026-02-01", "2026-12-31"), time.Date(2026, 2, 1, 8, 0, 0, 0, time.FixedZone("", 3600)), "School, north"))
	for _, want := range []string{
		"BEGIN:VCALENDAR\r\nVERSION:2.0\r\n", "DTSTAMP:20260201T070000Z\r\n", "DTSTART;VALUE=DATE:20260302\r\nDTEND;VALUE=DATE:20260303\r\n",
		"SUMMARY:sling set S-1: check\r\n", `School\, north`, "END:VEVENT\r\nEND:VCALENDAR\r\n",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
	folded := 0
	for line := range strings.SplitSeq(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		if len(line) > 75 || strings.Contains(line, "\n") || !strings.Contains(line, ":") && !strings.HasPrefix(line, " ") {
			t.Errorf("line %q", line)
		}
		if strings.HasPrefix(line, " ") {
			folded++
		}
	}
	if folded == 0 {
		t.Error("no line was folded")
	}
	unfolded := strings.ReplaceAll(text, "\r\n ", "")
	if !strings.Contains(unfolded, strings.Repeat(`Lange Öse\, schwer\; `, 8)) {
		t.Errorf("a folded line does not come together again:\n%s", unfolded)
	}
}

func FuzzReadList(f *testing.F) {
	f.Add([]byte("serial,kind\nA,leg\n"))
	f.Add([]byte("serial;kind;intervals\nA;net;\"x: 3 days; y: 2 years\"\n"))
	f.Add([]byte("\ufeffserial,kind,set\n\"A\nB\",sling set,A\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		v := Take([]Item{set()}, nil)
		rows, problems := ReadList(data, v)
		for _, p := range problems {
			if p.Line < 1 || p.Text == "" {
				t.Errorf("%+v", p)
			}
		}
		if len(problems) > 0 {
			return
		}
		for _, r := range rows {
			if err := r.Item.Check(); err != nil {
				t.Errorf("taken without a problem: %v", err)
			}
		}
	})
}
