package docket

import (
	"bytes"
	"fmt"
	"image"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/equipment"
	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/png"
	"hangtrue/internal/policy/extra"
)

var (
	chain = inspection.Task{Checkpoint: "c01", Part: "leg.FL.chain", Attribute: "count"}
	hook  = inspection.Task{Checkpoint: "c01", Part: "leg.FL.grab-hook", Attribute: "keeper"}
	tie   = inspection.Task{Checkpoint: "c02", Part: "tie.1", Attribute: "whole"}
)

func record() *Record {
	counted := 9
	photo := strings.Repeat("ab", 32)
	return &Record{
		School: "Kestmoor Lift School (INVENTED)", Log: "hangtrue-records/k3", N: 412, Leaf: strings.Repeat("3f2a", 16), Short: "3f2a 3f2a 3f2a 3f2a",
		Mark: "hangtrue-record:hangtrue-records/k3:412:" + strings.Repeat("3f2a", 16), Title: "Timber bundle for the upper hut",
		Bodies: []string{"bundle: 1400 kg, weighed"}, Procedure: "Hut supply manual, 3rd edition, change 2, paragraph 4-7",
		Zone: time.FixedZone("", 3600),
		Asked: map[inspection.Task]Asked{
			chain: {Checkpoint: "Left front corner", Part: "chain of leg FL", Question: "Which link is held?", States: map[string]string{"other": "not the planned link"}},
			hook:  {Checkpoint: "Left front corner", Part: "grab hook of leg FL", Question: "Is the keeper closed?", States: map[string]string{"open": "the keeper is bent open"}},
		},
		Sealed: inspection.Sealed{
			Inspection: "i", Status: "follows an approved procedure", Weight: "1400 kg", Known: "weighed",
			Begin: inspection.Begin{
				Load: "Timber 7", Rig: "timber", RigVersion: strings.Repeat("0c", 32), Aircraft: "K-1, tail 77", Rigger: "r", Unit: "Team 2",
				Tasks: []inspection.Task{chain, hook, tie}, Blind: true,
			},
			Rigger: inspection.Signer{Name: "R. Rigger"}, Inspector: inspection.Signer{Name: "I. Inspector", Qualification: "inspector", Scope: "nets and slings", Authority: "the school's board", Until: "2027-01-31"},
			Sets:    []inspection.Set{{Kind: "sling set", Serial: "S-12", Due: "2027-02-01"}},
			Started: "2026-11-25T09:00:00Z", Finished: "2026-11-25T09:40:00Z", SignedAt: "2026-11-25T09:42:10Z", ClockOff: 75, Pauses: 1,
			Result: "no deficiency found open; 1 question could not be told",
			Answers: []inspection.SealedReply{
				{Reply: inspection.Reply{Task: chain, Answer: inspection.Wrong, State: "other", Count: &counted, Do: "put-right", Text: "one link off", Photos: []string{photo}}, At: "2026-11-25T09:05:00Z", Over: true},
				{Reply: inspection.Reply{Task: chain, Answer: inspection.Right}, At: "2026-11-25T09:12:00Z"},
				{Reply: inspection.Reply{Task: hook, Answer: inspection.Right}, At: "2026-11-25T09:06:00Z"},
				{Reply: inspection.Reply{Task: tie, Answer: inspection.CannotTell, Text: "under snow"}, At: "2026-11-25T09:08:00Z"},
			},
			Remarks: []inspection.Remark{{About: "anything-else", Text: "Ice on the upper side."}}, Photos: []string{photo},
		},
	}
}

// said is all text of some pages.
func said(pages ...*draw.Picture) string {
	var b strings.Builder
	var walk func([]draw.Item)
	walk = func(items []draw.Item) {
		for _, i := range items {
			switch i := i.(type) {
			case draw.Text:
				b.WriteString(i.Content() + " ")
			case *draw.Group:
				walk(i.Items)
			}
		}
	}
	for _, p := range pages {
		walk(p.Items)
	}
	return b.String()
}

func TestInspection_SaysAllWithoutItsCode(t *testing.T) {
	pages, err := Inspection(record(), Copies, Stamp{"2026-11-25 11:00", "hangtrue test"})
	if err != nil {
		t.Fatal(err)
	}
	text := said(pages...)
	for _, want := range []string{
		"FOLLOWS AN APPROVED PROCEDURE", "Timber 7", "Timber bundle for the upper hut", "1400 kg, weighed", "how known: weighed", "K-1, tail 77",
		"3rd edition, change 2, paragraph 4-7", "R. Rigger, Team 2", "I. Inspector, inspector, nets and slings, appointed by the school's board, counts through 2027-01-31",
		"2026-11-25 10:00 +01:00", "S-12", "next inspection due 2027-02-01", "Wrong: not the planned link; link 9 held; one link off; to be put right", "Looked at again at 10:12:00: right",
		"Can't tell: under snow", "It stands so", "tie.1", "Ice on the upper side", "record 412", "hash 3f2a 3f2a", "without the planned figures", "INSPECTOR"[:1],
		"COPY FOR THE LOAD", "COPY FOR THE AIRCREW", "COPY FOR THE FILE", "Received for the aircrew", strings.Repeat("ab", 32), "could not be told",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the paper lacks %q", want)
		}
	}
	for _, bad := range []string{"safe", "OK", "passed", "✓", "%!"} {
		if strings.Contains(text, bad) {
			t.Errorf("the paper says %q", bad)
		}
	}
	for i, p := range pages {
		if err := p.Check(); err != nil {
			t.Error(err)
		}
		one := strings.Join(strings.Fields(said(p)), " ")
		if !strings.Contains(one, rig.Caution[:40]) || !strings.Contains(one, "COPY FOR") || p.Width != 210 || p.Height != 297 {
			t.Errorf("page %d lacks its caution, its mark or its size", i)
		}
		within(t, p)
	}
	loudest(t, pages[0], "FOLLOWS AN APPROVED PROCEDURE")
}

// loudest checks that no text is larger than the status.
func loudest(t *testing.T, p *draw.Picture, status string) {
	t.Helper()
	var size, most float64
	for _, i := range p.Items {
		if x, ok := i.(draw.Text); ok {
			if strings.HasPrefix(status, x.Content()) {
				size = x.Size
			}
			most = max(most, x.Size)
		}
	}
	if size == 0 || size < most {
		t.Errorf("the status has size %g, and the largest text %g", size, most)
	}
}

// within checks that nothing is drawn beyond the edge.
func within(t *testing.T, p *draw.Picture) {
	t.Helper()
	if b := p.Bounds(); b.X < -0.01 || b.Y < -0.01 || b.X+b.W > p.Width+0.01 || b.Y+b.H > p.Height+0.01 {
		t.Errorf("%s: drawn to %+v of %g × %g", p.Title, b, p.Width, p.Height)
	}
}

func TestInspection_LongOnesGoOnOnMorePages(t *testing.T) {
	r := record()
	for i := range 400 {
		task := inspection.Task{Checkpoint: fmt.Sprintf("c%02d", 3+i/20), Part: fmt.Sprintf("part.%d", i), Attribute: "whole"}
		r.Begin.Tasks = append(r.Begin.Tasks, task)
		r.Answers = append(r.Answers, inspection.SealedReply{Reply: inspection.Reply{Task: task, Answer: inspection.Wrong, Text: strings.Repeat("wet ", i%60)}, At: "2026-11-25T09:08:00Z"})
	}
	r.Remarks = append(r.Remarks, inspection.Remark{Text: strings.Repeat("a long remark ", 280)})
	r.Later = []Later{{N: 413, At: time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC), Kind: "correction", Text: "the tail number is 78", By: "I. Inspector"}}
	pages, err := Inspection(r, []Copy{ForFile}, Stamp{})
	if err != nil || len(pages) < 20 {
		t.Fatalf("%d pages, %v", len(pages), err)
	}
	text := said(pages...)
	for i := range 400 {
		if strings.Count(text, fmt.Sprintf("part.%d ", i)) != 2 {
			t.Fatalf("part.%d stands %d times, want among what was wrong and among all", i, strings.Count(text, fmt.Sprintf("part.%d ", i)))
		}
	}
	if !strings.Contains(text, fmt.Sprintf("page %d of %d", len(pages), len(pages))) || !strings.Contains(text, "the tail number is 78") {
		t.Error("the last page's number or the correction is missing")
	}
	for _, p := range pages {
		within(t, p)
	}
}

// read reads every code of a picture back with a reader that is not ours.
func read(t *testing.T, p *draw.Picture) []string {
	t.Helper()
	zbarimg := extra.Need(t, "zbar")
	var b bytes.Buffer
	if err := png.Encode(&b, p, 200); err != nil {
		t.Fatal(err)
	}
	if _, _, err := image.DecodeConfig(bytes.NewReader(b.Bytes())); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "page.png")
	if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(zbarimg, "--quiet", "--raw", file).Output()
	if err != nil {
		t.Fatalf("no code was read on %s: %v", p.Title, err)
	}
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	slices.Sort(lines)
	return lines
}

func TestCodes_AreRead(t *testing.T) {
	r := record()
	pages, err := Inspection(r, []Copy{ForLoad}, Stamp{})
	if err != nil {
		t.Fatal(err)
	}
	if got := read(t, pages[0]); !slices.Equal(got, []string{r.Mark}) {
		t.Errorf("read %q, want %q", got, r.Mark)
	}
	tag := &Tag{
		School: "Kestmoor", Load: "Timber 7", Rig: "timber", Title: "Timber bundle for the upper hut", Version: strings.Repeat("0c", 32),
		Status: "no approved procedure entered", Weight: "1400 kg", Invented: true, URL: "https://kestmoor.local:8443/tag/timber?load=Timber%207",
	}
	p, err := LoadTag(tag, Stamp{"2026-11-25", "hangtrue test"})
	if err != nil {
		t.Fatal(err)
	}
	if got := read(t, p); !slices.Equal(got, []string{tag.URL}) {
		t.Errorf("read %q, want %q", got, tag.URL)
	}
	within(t, p)
	text := said(p)
	for _, want := range []string{"INVENTED", "NO APPROVED PROCEDURE", "Timber 7", "1400 kg", "kestmoor.local:8443", "no signature", "Not a clearance"} {
		if !strings.Contains(text, want) {
			t.Errorf("the tag lacks %q", want)
		}
	}
	loudest(t, p, "NO APPROVED PROCEDURE ENTERED")
	var list []Label
	var want []string
	for i := range 23 {
		x := Label{School: "Kestmoor Lift School", Kind: "sling set", Serial: fmt.Sprintf("S-%04d", i), Rating: "25000 lb", Spoiled: i == 5, URL: fmt.Sprintf("https://kestmoor.local:8443/equipment/%026d", i)}
		list = append(list, x)
		want = append(want, x.URL)
	}
	sheets, err := Labels(list, 1)
	if err != nil || len(sheets) != 1 {
		t.Fatalf("%d sheets, %v", len(sheets), err)
	}
	n := 0
	for _, i := range sheets[0].Items {
		g, ok := i.(*draw.Group)
		if !ok {
			continue
		}
		// One label at a time, as a telephone sees them.
		p := draw.New(labelWidth, labelHeight, "Label", "")
		p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
		p.Items = append(p.Items, g.Items...)
		if n%6 == 0 || n == 5 {
			if got := read(t, p); !slices.Equal(got, want[n:n+1]) {
				t.Errorf("label %d: read %q, want %q", n, got, want[n])
			}
		}
		n++
	}
	if n != len(want) {
		t.Errorf("%d labels, want %d", n, len(want))
	}
	if text := said(sheets[0]); strings.Count(text, "NEVER FOR FLIGHT") != 1 {
		t.Error("the training part is not marked")
	}
	if sheets, _ := Labels(list, 2); len(sheets) != 2 {
		t.Errorf("with two places skipped: %d sheets, want 2", len(sheets))
	}
}

func TestPapers_LongNamesStayWithin(t *testing.T) {
	long := strings.Repeat("A very long name of something ", 12)
	p, err := LoadTag(&Tag{School: long, Load: long, Rig: long, Title: long, Version: "0", Status: "outside what its procedure covers", Weight: "12345 kg", Invented: true, Training: true, URL: "https://a.local/" + strings.Repeat("x", 300)}, Stamp{long, long})
	if err != nil {
		t.Fatal(err)
	}
	within(t, p)
	sheets, err := Labels([]Label{{School: long, Kind: "apex fitting", Serial: strings.ReplaceAll(long, " ", ""), Name: long, Rating: long, Spoiled: true, URL: "https://a.local/e/1"}}, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, i := range sheets[0].Items {
		if g, ok := i.(*draw.Group); ok {
			if b := g.Bounds(); b.Y+b.H > labelHeight+0.01 || b.X+b.W > labelWidth+0.01 {
				t.Errorf("a label reaches %+v", b)
			}
		}
	}
	if _, err := LoadTag(&Tag{Load: "x", URL: "https://a.local/" + strings.Repeat("x", 4000)}, Stamp{}); err == nil {
		t.Error("an address too long for a code was taken")
	}
}

func TestDueList(t *testing.T) {
	var items []equipment.Item
	for i := range 60 {
		items = append(items, equipment.Item{ID: fmt.Sprint(i), Serial: fmt.Sprintf("S-%02d", i), Kind: equipment.Set, InService: calendar.Day("2026-01-01").Plus(i), Intervals: []equipment.Interval{{What: "yearly inspection", Months: 11}}})
	}
	v := equipment.Take(items, nil)
	pages := DueList("Kestmoor", "2026-12-03", "2027-12-31", v.DueList("2026-12-03", "2027-12-31"), Stamp{"2026-12-03", "hangtrue test"})
	text := said(pages...)
	for i := range 60 {
		if !strings.Contains(text, fmt.Sprintf("S-%02d", i)) {
			t.Errorf("S-%02d is missing", i)
		}
	}
	for _, want := range []string{"OVERDUE 2 days", "OVERDUE 1 day ", "today", "tomorrow", "in 2 days", "never recorded"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing", want)
		}
	}
	if len(pages) < 2 {
		t.Errorf("%d pages", len(pages))
	}
	for _, p := range pages {
		within(t, p)
		if p.Items[0].(draw.Path).Fill != look.Paper {
			t.Error("a page has no ground")
		}
	}
}
