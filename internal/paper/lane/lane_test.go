package lane_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/data/catalog"
	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/rig/rigfile"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/lane"
	"hangtrue/internal/paper/sheet"
)

var stamp = sheet.Stamp{Date: "2026-11-25", Version: strings.Repeat("ab", 32), File: "rig.yaml", Tool: "hangtrue test"}

// words is what stands on a page, without line breaks and without what is in
// pictures.
func words(t *testing.T, p *draw.Picture) string {
	t.Helper()
	var all []string
	for _, it := range p.Items {
		if x, ok := it.(draw.Text); ok {
			all = append(all, x.Content())
		}
	}
	return strings.Join(strings.Fields(strings.Join(all, " ")), " ")
}

// inside checks that no text runs over the page's edge.
func inside(t *testing.T, name string, p *draw.Picture) {
	t.Helper()
	n := 0
	for _, it := range p.Items {
		x, ok := it.(draw.Text)
		if !ok {
			continue
		}
		n++
		w := x.Width(x.S)
		left := x.At.X
		switch x.Anchor {
		case draw.Middle:
			left -= w / 2
		case draw.End:
			left -= w
		}
		if left < -0.01 || left+w > p.Width+0.01 || x.At.Y < 0 || x.At.Y > p.Height {
			t.Errorf("%s: %q stands from %.1f to %.1f at %.1f", name, x.S, left, left+w, x.At.Y)
		}
	}
	if n < 5 {
		t.Errorf("%s: only %d texts seen", name, n)
	}
}

// planted plants a demo rig; real or in pictures.
func planted(t *testing.T, name string, data []byte, count int, real bool) (*lane.Planted, *teach.LaneVersion) {
	t.Helper()
	r, problems := rigfile.Read(data)
	if r == nil {
		t.Fatalf("%s: %v", name, problems)
	}
	v, _ := inspect.Of(r, catalog.Shipped())
	q := inspect.Suggest(v)
	got, err := teach.Plant(teach.Ask{Candidates: teach.Candidates(v, q, nil), Count: count, Real: real, Spoiled: real, Seed: teach.Seed{3}})
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	p := &lane.Planted{Lane: "Crate lane", Class: "Spring class", Load: "Crate 7", Tag: "12", Version: 1, For: "2", Real: real, Survey: v}
	key := teach.Key{Lane: "lane", Version: 1, Rig: stamp.Version, Seed: "03"}
	for _, c := range got.Versions[0].Planted {
		i := slices.IndexFunc(v.Deficiencies, func(d inspect.Deficiency) bool { return d.ID() == c.ID })
		p.Items = append(p.Items, lane.Item{ID: c.ID, Station: c.Station, Place: "beside the load", Wrong: &v.Deficiencies[i]})
		key.Planted = append(key.Planted, c.ID)
	}
	secret := [32]byte{7}
	return p, &teach.LaneVersion{ID: "v", Lane: "lane", Number: 1, Key: key, Secret: secret, Commitment: teach.Commit(secret, key), Entry: 4, Equal: "one version"}
}

func TestPapers_OfEveryDemoRig(t *testing.T) {
	n := 0
	for _, d := range demo.Rigs() {
		for _, real := range []bool{true, false} {
			p, v := planted(t, d.Name, d.Data, 6, real)
			for what, pages := range map[string][]*draw.Picture{"card": lane.Card(p, stamp), "put-back": lane.PutBack(p, stamp), "key": lane.Key(p, v, "2026-11-25 10:00", stamp)} {
				all := ""
				for i, page := range pages {
					name := fmt.Sprintf("%s, %s, page %d", d.Name, what, i+1)
					text := words(t, page)
					for _, want := range []string{"NOT FOR STUDENTS", fmt.Sprintf("page %d of %d", i+1, len(pages)), "Not a clearance to lift", strings.Repeat("ab", 32)} {
						if !strings.Contains(text, want) {
							t.Errorf("%s does not say %q", name, want)
						}
					}
					if p.Survey.Rig.Invented() && !strings.Contains(text, "INVENTED") {
						t.Errorf("%s is not marked INVENTED", name)
					}
					inside(t, name, page)
					all += " " + text
				}
				if strings.Contains(all, "RED TAG 12") != real {
					t.Errorf("%s, %s, real %v: the red tag is %v", d.Name, what, real, strings.Contains(all, "RED TAG 12"))
				}
				for i := range p.Items {
					if want := fmt.Sprintf("%d. Station %d:", i+1, p.Items[i].Station); !strings.Contains(all, want) {
						t.Errorf("%s, %s does not have item %q", d.Name, what, want)
					}
				}
				n++
			}
		}
	}
	if n < 6*11 {
		t.Errorf("only %d papers", n)
	}
}

func TestKey_CanBeCheckedFromPaper(t *testing.T) {
	d := demo.Rigs()[0]
	p, v := planted(t, d.Name, d.Data, 4, true)
	all := ""
	for _, page := range lane.Key(p, v, "2026-11-25 10:00", stamp) {
		all += words(t, page) + " "
	}
	joined := strings.ReplaceAll(all, " ", "")
	for _, want := range []string{string(v.Commitment), fmt.Sprintf("%x", v.Secret[:]), string(v.Key.Canonical())} {
		if !strings.Contains(joined, want) {
			t.Errorf("%.60s does not stand on paper whole", want)
		}
	}
}

func TestRotation_GoesOnOverPages(t *testing.T) {
	var slots []lane.Slot
	for i := range 70 {
		slots = append(slots, lane.Slot{Group: fmt.Sprint(i), Lane: "a lane with a name that is much too long for its column of the table", Load: "Crate", Grader: "Ina", From: fmt.Sprintf("%02d:00", i/8), To: "12:00"})
	}
	pages := lane.Rotation("Spring class", "2026-11-25", slots, "16:00", "20 min", "15:30", "method", sheet.Stamp{Date: "2026-11-25", Tool: "hangtrue test"})
	if len(pages) < 2 {
		t.Fatalf("%d pages", len(pages))
	}
	for i, p := range pages {
		inside(t, fmt.Sprint("page ", i+1), p)
	}
}

// A load with planted faults is not headed by the status of its plan: the red tag
// stands in that place, larger, and the status beneath, above and larger than
// every number but the tag's.
func TestPapers_TheRedTagStandsInTheStatusPlace(t *testing.T) {
	n := 0
	for _, d := range demo.Rigs() {
		p, v := planted(t, d.Name, d.Data, 6, true)
		back := *v
		back.Restored = time.Date(2026, 11, 25, 17, 0, 0, 0, time.UTC)
		if text := words(t, lane.Key(p, &back, "2026-11-25 10:00", stamp)[0]); strings.Contains(strings.ToLower(text), "red tag") {
			t.Errorf("%s: the key of a load that was put back tells of a red tag: %s", d.Name, text)
		}
		for what, pages := range map[string][]*draw.Picture{"card": lane.Card(p, stamp), "put-back": lane.PutBack(p, stamp), "key": lane.Key(p, v, "2026-11-25 10:00", stamp)} {
			sizes, at := map[string]float64{}, map[string]float64{}
			largest, said := 0.0, ""
			for _, it := range pages[0].Items {
				x, ok := it.(draw.Text)
				if !ok {
					continue
				}
				if text := x.Content(); x.Size > largest && text != "INVENTED" && text != "NOT FOR STUDENTS" {
					largest, said = x.Size, text
				}
				for _, key := range []string{"RED TAG 12", "Its plan ", "version 1"} {
					if strings.HasPrefix(x.Content(), key) || key == "version 1" && strings.Contains(x.Content(), key) {
						sizes[key], at[key] = max(sizes[key], x.Size), x.At.Y
					}
				}
			}
			if !strings.HasPrefix(said, "RED TAG 12: ") {
				t.Errorf("%s, %s: the largest line is %q", d.Name, what, said)
			}
			if !(sizes["RED TAG 12"] > sizes["Its plan "] && sizes["Its plan "] > sizes["version 1"] && sizes["version 1"] > 0) {
				t.Errorf("%s, %s: sizes %v", d.Name, what, sizes)
			}
			if !(at["RED TAG 12"] < at["Its plan "] && at["Its plan "] < at["version 1"]) {
				t.Errorf("%s, %s: places %v", d.Name, what, at)
			}
			n++
		}
	}
	if n < 3*6 {
		t.Errorf("only %d papers", n)
	}
}

// The three who sign for a put-back do so on one page.
func TestPutBack_SignaturesStayTogether(t *testing.T) {
	n := 0
	for count := 1; count <= 12; count++ {
		d := demo.Rigs()[0]
		p, _ := planted(t, d.Name, d.Data, count, true)
		for i, page := range lane.PutBack(p, stamp) {
			text := words(t, page)
			first := strings.Contains(text, "First person (name)")
			if first {
				n++
			}
			if first != strings.Contains(text, "Second person (name)") || first != strings.Contains(text, "Red tag off, spoiled parts counted (name)") {
				t.Errorf("%d planted: the signatures are parted at page %d", count, i+1)
			}
		}
	}
	if n != 12 {
		t.Errorf("%d lists have signatures", n)
	}
}
