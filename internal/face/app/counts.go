package app

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/counts"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/chart"
	"hangtrue/internal/paper/sheet"
	"hangtrue/internal/paper/study"
)

// FoundWords stands beside every count that the program found itself.
const FoundWords = "computed, not approved"

// CountsDocument is the outcome of a search for counts as data.
type CountsDocument struct {
	Format   string         `json:"format"`
	Rig      string         `json:"rig_sha256"`
	Invented bool           `json:"invented"`
	Status   string         `json:"status"`
	Standing string         `json:"standing"` // always FoundWords
	Caution  string         `json:"caution"`
	Groups   []CountGroup   `json:"groups"`
	Tried    int            `json:"tried"`
	Stopped  bool           `json:"stopped"`
	Whole    bool           `json:"whole_search"`
	Within   int            `json:"within"`
	Plan     *CountChoice   `json:"plan"`
	Found    []CountChoice  `json:"found"`
	Nearest  *CountChoice   `json:"nearest"`
	InTheWay []string       `json:"in_the_way"`
	Openings []CountOpening `json:"openings"`
}

// CountGroup is a group of legs that keep one count.
type CountGroup struct {
	Name string   `json:"name"`
	Legs []string `json:"legs"`
	Low  int      `json:"low"`
	High int      `json:"high"`
}

// CountChoice is one set of counts and what it does.
type CountChoice struct {
	Counts    []int    `json:"counts"`
	Within    bool     `json:"within"`
	Falls     bool     `json:"falls"`
	PitchDeg  float64  `json:"pitch_deg"`
	RollDeg   float64  `json:"roll_deg"`
	LegUse    *float64 `json:"highest_leg_use"` // null where no leg is rated
	LegPull   float64  `json:"highest_leg_pull_of_weight"`
	Use       float64  `json:"highest_use"`
	About     string   `json:"nearest_limit"`
	Slack     int      `json:"slack_legs"`
	Different int      `json:"different_counts"`
	OneOff    int      `json:"one_link_off_out"`
	OneOffOf  int      `json:"one_link_off_of"`
}

// CountOpening is a change of the rig that would make counts possible.
type CountOpening struct {
	What   string      `json:"what"`
	Choice CountChoice `json:"choice"`
}

// CountWish is what counts are to be searched for.
type CountWish struct {
	Pitch, Roll *[2]float64 // bands of attitude, rad; nil: none
	Low, High   int         // counts tried; 0: the lowest that practice allows, as high as the chains allow
	Each        bool        // every leg with chain on its own
}

// WishOf is the wish that a rig itself states.
func WishOf(r *rig.Rig) CountWish {
	lim := r.Limits()
	return CountWish{Pitch: lim.Pitch, Roll: lim.Roll, Low: r.LowestCount()}
}

// CountsWished searches the counts of a rig as [Counts] does, in the bands of a
// wish in place of the rig's own.
func CountsWished(ctx context.Context, s *Solved, w CountWish, o counts.Options) (CountsDocument, error) {
	spec := s.Rig.Spec()
	spec.Limits.Pitch, spec.Limits.Roll = w.Pitch, w.Roll
	r, problems := rig.New(spec)
	if len(problems) > 0 {
		return CountsDocument{}, problems[0]
	}
	asked := *s
	asked.Rig = r
	o.Low, o.High, o.Each = w.Low, w.High, w.Each
	return Counts(ctx, &asked, o)
}

// Load is the figure that choices are ordered by and its name: the share of its
// rating of the most used leg, or of the weight of the most pulled one where no
// leg is rated.
func (c *CountChoice) Load() (share float64, name string) {
	if c.LegUse != nil {
		return *c.LegUse, "most used leg"
	}
	return c.LegPull, "most pulled leg, of the weight"
}

// Why says in words why a choice stands where it does in the order.
func (c *CountChoice) Why() string {
	text := fmt.Sprintf("most pulled leg %.1f %% of the weight, no leg being rated", 100*c.LegPull)
	if c.LegUse != nil {
		text = fmt.Sprintf("most used leg %.1f %% of its rating", 100**c.LegUse)
	}
	if c.Different == 1 {
		text += "; one count for all"
	} else {
		text += fmt.Sprintf("; %d different counts", c.Different)
	}
	switch {
	case c.OneOff == 0:
		text += fmt.Sprintf("; one link off in any of %d ways keeps the limits", c.OneOffOf)
	default:
		text += fmt.Sprintf("; one link off breaks a limit in %d of %d ways", c.OneOff, c.OneOffOf)
	}
	return text
}

// Counts searches the counts of a rig and, where none keeps the limits, says
// what stands in the way.
func Counts(ctx context.Context, s *Solved, o counts.Options) (CountsDocument, error) {
	d := CountsDocument{
		Format: "hangtrue.counts/1", Rig: s.Version, Invented: s.Rig.Invented(), Standing: FoundWords, Caution: rig.Caution,
		Status: s.Rig.Status().String(),
		Groups: []CountGroup{}, Found: []CountChoice{}, InTheWay: []string{}, Openings: []CountOpening{},
	}
	f, err := counts.Find(ctx, s.Rig, o)
	if err != nil {
		return d, err
	}
	for _, g := range f.Groups {
		d.Groups = append(d.Groups, CountGroup{g.Name, g.IDs, g.Low, g.High})
	}
	d.Tried, d.Whole, d.Within, d.Stopped = f.Tried, f.Whole, f.Within, f.Stopped
	if f.Plan != nil {
		c := choiceOf(*f.Plan)
		d.Plan = &c
	}
	for _, c := range f.Best {
		d.Found = append(d.Found, choiceOf(c))
	}
	if f.Nearest == nil {
		return d, nil
	}
	c := choiceOf(*f.Nearest)
	d.Nearest = &c
	b, err := counts.Explain(ctx, s.Rig, f, o)
	if ctx.Err() != nil {
		d.Stopped = true // with the changes tried so far
	} else if err != nil {
		return d, err
	}
	if b == nil {
		return d, nil
	}
	d.InTheWay = append(d.InTheWay, b.Limits...)
	for _, x := range b.Changes {
		d.Openings = append(d.Openings, CountOpening{x.What, choiceOf(x.Choice)})
	}
	return d, nil
}

func choiceOf(c counts.Choice) CountChoice {
	p := &c.Point
	return CountChoice{
		Counts: c.Counts, Within: p.Within(), Falls: p.Falls, PitchDeg: p.Pitch / quantity.Degree, RollDeg: p.Roll / quantity.Degree,
		LegUse: useOf(p.LegUse, p.Rated), LegPull: p.LegPull, Use: p.Use, About: p.About, Slack: p.Slack, Different: c.Different, OneOff: c.OneOff, OneOffOf: c.Of,
	}
}

// CountMap is a rig's count map: what every pair of counts of its two groups
// does.
type CountMap struct {
	Rig     *rig.Rig
	Version string
	Map     *counts.Map
	Plan    *study.Cell
}

// Chart solves the count map of a rig.
func Chart(ctx context.Context, s *Solved, o counts.Options) (*CountMap, error) {
	m, err := counts.Chart(ctx, s.Rig, o)
	if err != nil {
		return nil, err
	}
	c := &CountMap{Rig: s.Rig, Version: s.Version, Map: m}
	if m.A.Planned > 0 && m.B.Planned > 0 {
		c.Plan = &study.Cell{A: m.A.Planned, B: m.B.Planned}
	}
	return c, nil
}

// Picture draws the map, with found pairs marked.
func (c *CountMap) Picture(found []study.Cell) *draw.Picture {
	return study.CountMap(c.Rig, c.Map, c.Plan, found, 200, 180)
}

// BarePicture draws the map for a page that has its title, with the view that
// says where a pair lies. Size in mm.
func (c *CountMap) BarePicture(found []study.Cell, width, height float64) (*draw.Picture, chart.View) {
	return study.BareCountMap(c.Rig, c.Map, c.Plan, found, width, height)
}

// Counts returns the counts of a pair by leg.
func (c *CountMap) Counts(a, b int) map[string]int {
	out := map[string]int{}
	for _, id := range c.Map.A.IDs {
		out[id] = a
	}
	for _, id := range c.Map.B.IDs {
		out[id] = b
	}
	return out
}

// Holds reports whether the map has a pair.
func (c *CountMap) Holds(a, b int) bool {
	return a >= c.Map.A.Low && a <= c.Map.A.High && b >= c.Map.B.Low && b <= c.Map.B.High
}

// Sheet is the printed sheet of the map of a solved rig, as PDF.
func (c *CountMap) Sheet(s *Solved, found []study.Cell, stamp sheet.Stamp) ([]byte, error) {
	stamp.Version = s.Version
	return Encode(sheet.CountMap(s.Standing(), c.Map, c.Plan, found, stamp), "pdf", 0)
}

// Standing is the answer of a solved rig; of one whose counts are open, what can
// be said without one: its status, and that nothing can be told.
func (s *Solved) Standing() *rig.Answer {
	if s.Answer != nil {
		return s.Answer
	}
	return &rig.Answer{Rig: s.Rig, Status: s.Rig.Status(), Result: rig.CannotTell, Reason: "counts still to be found: " + strings.Join(s.Open, ", ")}
}

// CSV writes the map, a line for each pair.
func (c *CountMap) CSV() ([]byte, error) {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	rows := [][]string{{
		"count " + c.Map.A.Name, "count " + c.Map.B.Name, "stands", "within the limits judged", "pitch deg", "roll deg",
		"highest leg use %", "highest leg pull, % of the weight", "highest use %", "nearest limit", "slack legs",
	}}
	for b := c.Map.B.Low; b <= c.Map.B.High; b++ {
		for a := c.Map.A.Low; a <= c.Map.A.High; a++ {
			p := c.Map.At(a, b)
			legUse := ""
			if p.Rated {
				legUse = fmt.Sprintf("%.1f", 100*p.LegUse)
			}
			rows = append(rows, []string{
				strconv.Itoa(a), strconv.Itoa(b), yesNo(p.Settled && !p.Falls), yesNo(p.Within()),
				fmt.Sprintf("%.2f", p.Pitch/quantity.Degree+0), fmt.Sprintf("%.2f", p.Roll/quantity.Degree+0),
				legUse, fmt.Sprintf("%.1f", 100*p.LegPull), fmt.Sprintf("%.1f", 100*p.Use), p.About, strconv.Itoa(p.Slack),
			})
		}
	}
	if err := w.WriteAll(rows); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}
