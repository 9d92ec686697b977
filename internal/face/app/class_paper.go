package app

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/lane"
	"hangtrue/internal/paper/sheet"
)

// stationPlaces says where to stand at each station, by number.
func (d *LaneDesk) stationPlaces() map[int]string {
	out := map[int]string{}
	for _, s := range d.Survey.Stations(d.Sequence) {
		out[s.Number] = s.Text
	}
	return out
}

// PlantedItem is one planted deficiency in words.
type PlantedItem struct {
	ID, Text, Place string
	Station         int
}

// Items lists what is planted in a version, in the order of the walk.
func (d *VersionDesk) Items() []PlantedItem {
	places := d.stationPlaces()
	var out []PlantedItem
	for _, id := range d.Version.Key.Planted {
		x := PlantedItem{ID: id, Text: d.Text(id)}
		if c, ok := d.Candidate(id); ok {
			x.Station, x.Place = c.Station, places[c.Station]
		}
		out = append(out, x)
	}
	slices.SortStableFunc(out, func(a, b PlantedItem) int { return a.Station - b.Station })
	return out
}

func (d *VersionDesk) planted(class string) *lane.Planted {
	x := d.Lane.Setup
	p := &lane.Planted{Lane: x.Title, Class: class, Load: x.Load, Tag: x.Tag, Version: d.Version.Number, For: d.Version.For, Real: x.Real, Survey: d.Survey}
	for _, i := range d.Items() {
		p.Items = append(p.Items, lane.Item{ID: i.ID, Station: i.Station, Place: i.Place, Wrong: d.Deficiency(i.ID)})
	}
	return p
}

// The papers of a version.
const (
	PaperCard    = "card"
	PaperPutBack = "put-back"
	PaperKey     = "key"
)

// VersionPaper is one of a version's papers, as PDF.
func (s *School) VersionPaper(ctx context.Context, by *people.Person, version, which, made string, stamp sheet.Stamp) (file string, data []byte, err error) {
	right := people.Teach
	if which == PaperPutBack {
		right = people.SeeRecords
	}
	d, err := s.VersionDesk(ctx, by, version, right)
	if err != nil {
		return "", nil, err
	}
	c, err := s.keeper.Class(ctx, d.Lane.Class)
	if err != nil {
		return "", nil, err
	}
	if !d.Version.Real && which != PaperKey {
		return "", nil, &Wrong{"paper", "a lane in pictures has no such paper: nothing is set on a load"}
	}
	stamp.Version, stamp.File = d.Solved.Version, d.Lane.Setup.Rig+".yaml"
	p := d.planted(c.Name)
	var pages []*draw.Picture
	switch which {
	case PaperCard:
		pages = lane.Card(p, stamp)
	case PaperPutBack:
		pages = lane.PutBack(p, stamp)
	case PaperKey:
		if d.Version.Opened.IsZero() {
			return "", nil, &Wrong{"key", "the key is printed once it was shown, after the test"}
		}
		pages = lane.Key(p, &d.Version, made, stamp)
	default:
		return "", nil, &Wrong{"paper", "there is no such paper"}
	}
	data, err = paginated(pages)
	return fmt.Sprintf("%s-version-%d-%s.pdf", fileWords(d.Lane.Setup.Title), d.Version.Number, which), data, err
}

// fileWords makes a name of a file of a title.
func fileWords(title string) string {
	name := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		}
		return '-'
	}, title)
	return strings.Trim(name, "-")
}

// RotationPaper is a class's test day as a table, as PDF.
func (s *School) RotationPaper(ctx context.Context, by *people.Person, class string, stamp sheet.Stamp) ([]byte, error) {
	room, err := s.ClassRoom(ctx, by, class)
	if err != nil {
		return nil, err
	}
	p, err := s.rotation(ctx, class)
	if err != nil {
		return nil, err
	}
	if p == nil {
		return nil, &Wrong{"rotation", "no test day is planned yet"}
	}
	var slots []lane.Slot
	for _, x := range p.Slots {
		grader := ""
		if x.Grader != "" {
			g, err := s.keeper.Person(ctx, x.Grader)
			if err != nil {
				return nil, err
			}
			grader = g.Shown()
		}
		slots = append(slots, lane.Slot{Group: x.Group, Lane: x.Title, Load: x.Load, Grader: grader, From: p.At(x.From), To: p.At(x.To)})
	}
	return paginated(lane.Rotation(room.Name, p.Day, slots, p.At(p.Ends), fmt.Sprintf("%d min", p.Idle), p.At(p.Bound), p.Method, stamp))
}

// NumbersWords says a result's numbers.
func NumbersWords(r *teach.Result) string {
	calls := fmt.Sprintf("%d false calls", r.False)
	if r.False == 1 {
		calls = "1 false call"
	}
	text := fmt.Sprintf("Found %d of %d, %s, in %s.", len(r.Found), len(r.Found)+len(r.Missed), calls, ClockWords(r.Took))
	if r.Order > 0 {
		text += fmt.Sprintf(" Out of order: %d.", r.Order)
	}
	if r.Unplaced > 0 {
		text += fmt.Sprintf(" True and not planted: %d.", r.Unplaced)
	}
	return text
}

// ClockWords writes how long something took, as a clock shows it.
func ClockWords(d time.Duration) string {
	s := int(d.Round(time.Second) / time.Second)
	if s >= 3600 {
		return fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60)
	}
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

// PlainReasons leaves out of a result's reasons what names a planted deficiency.
func PlainReasons(list []string) []string {
	var out []string
	for _, r := range list {
		if strings.HasPrefix(r, "found with a wrong figure") {
			r = "found with a wrong figure, which does not count"
		}
		if strings.HasPrefix(r, "a find of what this version does not have") {
			continue
		}
		out = append(out, r)
	}
	return out
}
