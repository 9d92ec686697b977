package report

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/engine/teach"
	"hangtrue/internal/engine/teach/stats"
)

var day = time.Date(2026, 5, 31, 8, 0, 0, 0, time.UTC)

// asNamed takes the deficiency's own text apart, as in chain/count/high.
func asNamed(_, id string) (Item, bool) {
	p := strings.Split(id, "/")
	if len(p) != 3 {
		return Item{}, false
	}
	kind, _, _ := strings.Cut(p[0], ".")
	return Item{Key: kind + "/" + p[1] + "/" + p[2], Kind: kind, Text: p[1] + " is " + p[2], Checkpoint: "rig/c-" + kind, Title: "The " + kind, Part: p[0]}, true
}

func run(student, lane, version string, minute int, outcome teach.Outcome, found, missed string) teach.Result {
	r := teach.Result{
		Run: fmt.Sprintf("%s %s %d", student, lane, minute), Class: "A", Lane: lane, Version: version, Student: student, Grader: "g", N: 1,
		Outcome: outcome, Found: map[string]int64{}, At: day.Add(time.Duration(minute) * time.Minute), Took: 5 * time.Minute,
	}
	for i, id := range strings.Fields(found) {
		r.Found[id] = int64(60_000 * (i + 1))
	}
	r.Missed = strings.Fields(missed)
	return r
}

func TestGather_WhatCounts(t *testing.T) {
	voided := run("ann", "l", "v1", 1, teach.Met, "chain.FL/count/high", "")
	voided.N, voided.Why = 2, "an item was voided"
	second := run("ann", "l", "v1", 2, teach.Met, "chain.FL/count/high", "pin.1/spacer/off")
	second.Second, second.Grader = true, "h"
	s := Gather([]teach.Result{
		run("ann", "l", "v1", 1, teach.NotMet, "chain.FL/count/high", "pin.1/spacer/off"),
		second,
		run("ann", "l", "v2", 90, teach.Met, "chain.FL/count/high", ""), // after retraining
		run("bob", "l", "v1", 3, teach.Unsafe, "", "chain.FL/count/high"),
		run("cay", "l", "v1", 4, teach.Stopped, "", "chain.FL/count/high"),
		run("dan", "l", "v1", 5, teach.NotMet, "", "chain.FL/count/high chain.FR/count/high gone"),
		voided,
	}, asNamed)
	if got := s.Runs(); got != (Runs{All: 5, Counted: 2, Later: 1, Unsafe: 1, NotFinished: 1, Students: 2}) {
		t.Errorf("%+v", got)
	}
	if s.Unnamed != 1 {
		t.Errorf("%d answers without a rig", s.Unnamed)
	}
	items := s.ByItem()
	// The spacer was voided, so nobody was asked about it by what counts.
	if len(items) != 1 || items[0].Key != "chain/count/high" || items[0].Found.Count != 1 || items[0].Found.Of != 3 {
		t.Fatalf("%+v", items)
	}
	if !strings.Contains(items[0].Words(), "too few to say") {
		t.Errorf("three results are worded as if they were many: %s", items[0].Words())
	}
	if parts := s.ByPart(); len(parts) != 2 {
		t.Errorf("%+v", parts)
	}
	g := s.Agreement()
	if g.Runs != 1 || g.Table != [2][2]int{{0, 0}, {0, 1}} || !strings.Contains(g.Words(), "too few") {
		t.Errorf("%+v %s", g, g.Words())
	}
	if line, key := s.TeachAgain(); key != "" || !strings.Contains(line, "Too few results") {
		t.Errorf("%q %q", line, key)
	}
	if line, _ := Gather(nil, asNamed).TeachAgain(); !strings.Contains(line, "No result") {
		t.Error(line)
	}
}

func TestTeachAgain_NamesTheWorstAndWhatIsLikeIt(t *testing.T) {
	var all []teach.Result
	for i := range 24 {
		found, missed := "tie.1/kind/wrong", ""
		add := func(id string, is bool) {
			if is {
				found += " " + id
			} else {
				missed += " " + id
			}
		}
		add("chain.FL/count/high", i%3 == 0) // 8 of 24
		add("pin.1/spacer/off", i%2 == 0)    // 12 of 24
		if i < 4 {
			add("net.1/mesh/torn", false) // 0 of 4: too few to be the worst
		}
		all = append(all, run(fmt.Sprint("s", i), "l", "v", i, teach.NotMet, found, missed))
	}
	s := Gather(all, asNamed)
	line, key := s.TeachAgain()
	if key != "rig/c-chain" || !strings.HasPrefix(line, "Teach again: The chain (c-chain), found 8 of 24, 33 %") || !strings.Contains(line, "do not tell it apart from The pin (c-pin).") || strings.Contains(line, "tie") {
		t.Errorf("%q %q", line, key)
	}
	lines := s.ByCheckpoint()
	if len(lines.Compared()) != 3 || len(lines.Few()) != 1 || lines.Few()[0].Text != "The net" {
		t.Errorf("%+v", lines)
	}
	if c := lines[0]; c.Median != 2*time.Minute || c.Times != 8 {
		t.Errorf("median %s of %d", c.Median, c.Times)
	}
}

// Where a class's students differ, the interval of a share pooled over their
// answers has the true one about 95 times in a hundred; the plain one does not.
func TestClustered_IntervalCovers(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	const runs, students, asked = 500, 30, 8
	// Abilities spread by 1.2 logits about 0.5; the true share is the mean over
	// the spread, by a long simulation of its own.
	chance := func() float64 { return 1 / (1 + math.Exp(-.5-1.2*r.NormFloat64())) }
	truth := 0.0
	for range 400_000 {
		truth += chance() / 400_000
	}
	in, plain := 0, 0
	for range runs {
		var by []cluster
		for range students {
			p, c := chance(), cluster{asked: asked}
			for range asked {
				if r.Float64() < p {
					c.found++
				}
			}
			by = append(by, c)
		}
		s, _ := clustered(by)
		if s.Low <= truth && truth <= s.High {
			in++
		}
		if x := stats.ShareOf(s.Count, s.Of); x.Low <= truth && truth <= x.High {
			plain++
		}
	}
	// 500 runs: three standard errors about 0.95 are ±0.03; with 30 clusters the
	// normal quantile is somewhat short.
	if share := float64(in) / runs; share < .91 || share > .98 {
		t.Errorf("%.3f of the intervals have the share", share)
	}
	if share := float64(plain) / runs; share > .91 {
		t.Errorf("%.3f of the plain intervals have it: the simulation shows no clustering", share)
	}
}

// simulated is a school of classes with known difficulties and abilities.
func simulated(r *rand.Rand, classes, students, asked int, b []float64, theta map[string]float64) []teach.Result {
	var out []teach.Result
	for c := range classes {
		for p := range students {
			who := fmt.Sprintf("s%d-%d", c, p)
			ability := r.NormFloat64()
			theta[who] = ability
			found, missed := "", ""
			for i := range asked {
				item := (p*asked + i*7 + c*3) % len(b)
				id := fmt.Sprintf("k%d.1/a/b", item)
				if strings.Contains(found+" "+missed+" ", " "+id+" ") {
					continue
				}
				if r.Float64() < 1/(1+math.Exp(b[item]-ability)) {
					found += " " + id
				} else {
					missed += " " + id
				}
			}
			x := run(who, fmt.Sprint("l", c), fmt.Sprintf("v%d-%d", c, p%6), c*10_000+p, teach.NotMet, found, missed)
			x.Class = fmt.Sprint("class ", c)
			out = append(out, x)
		}
	}
	return out
}

// Simulated classes come back within their stated error.
func TestFit_RecoversSimulatedClasses(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 1))
	b := make([]float64, 30)
	for i := range b {
		b[i] = -1.45 + .1*float64(i)
	}
	theta := map[string]float64{}
	m := Gather(simulated(r, 20, 60, 10, b, theta), asNamed).Fit()
	if m.Why != "" || len(m.Items) != 30 || len(m.Who) != 1200 {
		t.Fatalf("%s, %d items, %d people", m.Why, len(m.Items), len(m.Who))
	}
	in := 0
	for _, x := range m.Items {
		var n int
		fmt.Sscanf(x.Key, "k%d/", &n)
		if math.Abs(x.Difficulty-b[n]) <= z95*x.SE {
			in++
		}
		if words := x.FitWords(); words != "as the model expects" {
			t.Errorf("%s: %s", x.Key, words)
		}
	}
	// Of 30 intervals 26 or fewer is a chance of one in a hundred.
	if in < 26 {
		t.Errorf("%d of 30 intervals have the difficulty", in)
	}
	people := 0
	for _, p := range m.Who {
		if math.Abs(p.Theta-theta[p.Student]) <= z95*p.SE {
			people++
		}
	}
	// Warm's intervals with ten items are a little wide at the ends; 1200 people.
	if share := float64(people) / 1200; share < .92 || share > .99 {
		t.Errorf("%.3f of the intervals have the ability", share)
	}
	// Mean squares of people are about 1 where the model holds.
	sum, told := 0.0, 0
	for i := range m.Who {
		if p := &m.Who[i]; !math.IsNaN(p.Infit) {
			sum, told = sum+p.Infit, told+1
		} else if !strings.Contains(p.FitWords(), "all or nothing") || p.Found != 0 && p.Found != p.Asked {
			t.Errorf("no fit of one who found %d of %d: %s", p.Found, p.Asked, p.FitWords())
		}
	}
	// Of some 1,100 people with a spread of about 0.25 each: a standard error of
	// 0.008, four times.
	if mean := sum / float64(told); told < 1000 || math.Abs(mean-1) > .03 {
		t.Errorf("mean infit %.3f of %d people", mean, told)
	}
	if known := m.Known(); len(known) != 30 {
		t.Errorf("%d difficulties known", len(known))
	}
	if m := Gather(simulated(r, 1, 12, 4, b[:5], theta), asNamed).Fit(); m.Why == "" || len(m.Items) > 0 {
		t.Errorf("a fit of twelve people: %+v", m)
	}
}

func TestVersions_ReliabilityAndEquality(t *testing.T) {
	var all []teach.Result
	r := rand.New(rand.NewPCG(2, 9))
	for i := range 60 {
		for v, hard := range []float64{-.5, .9} {
			ability := 1.3 * r.NormFloat64()
			found, missed := "", ""
			for k := range 6 {
				id := fmt.Sprintf(" k%d.1/a/b", 6*v+k)
				if r.Float64() < 1/(1+math.Exp(hard-ability)) {
					found += id
				} else {
					missed += id
				}
			}
			all = append(all, run(fmt.Sprint("s", v, "-", i), "l", fmt.Sprint("v", v), i, teach.NotMet, found, missed))
		}
	}
	list := Gather(all, asNamed).Versions()
	if len(list) != 2 || list[0].Runs != 60 || list[0].Items != 6 || len(list[0].Points) != 6 {
		t.Fatalf("%+v", list)
	}
	for _, v := range list {
		if !(v.KR20 > .3 && v.KR20 < .9 && v.KRLow < v.KR20 && v.KR20 < v.KRHigh) {
			t.Errorf("KR-20 %g (%g to %g)", v.KR20, v.KRLow, v.KRHigh)
		}
	}
	e := Equal(list)
	if len(e) != 1 || !(e[0].High < 0 && strings.Contains(e[0].Words(), "harder") || e[0].Low > 0 && strings.Contains(e[0].Words(), "easier")) {
		t.Errorf("%+v", e)
	}
}

// No clustering in these; Student’s quantile of 30 students widens Newcombe’s 13 to
// 36 a little.
func TestByClass_Change(t *testing.T) {
	var all []teach.Result
	for c := range 2 {
		for i := range 30 {
			found, missed := "", ""
			for k := range 4 {
				id := fmt.Sprintf(" k%d.1/a/b", k)
				if (i+k)%4 > 1-c {
					found += id
				} else {
					missed += id
				}
			}
			x := run(fmt.Sprint("s", c, "-", i), "l", "v", 100*c+i, teach.NotMet, found, missed)
			x.Class = fmt.Sprint("class ", c)
			all = append(all, x)
		}
	}
	list := Gather(all, asNamed).ByClass()
	if len(list) != 2 || list[0].Found.Count != 60 || list[1].Found.Count != 90 || list[1].Words() != "found more often, by 12 to 37 of a hundred" {
		t.Errorf("%+v %s", list, list[1].Words())
	}
}

// Every day of hits and false calls of a drill.
func TestDetect(t *testing.T) {
	var looks []Look
	for i := range 40 {
		looks = append(looks, Look{Student: "ann", Faulty: i%2 == 0, Called: i%4 == 0 || i%10 == 1, Which: i%8 == 0})
	}
	looks = append(looks, Look{Student: "bob", Faulty: true, Called: true})
	d := Detect(looks, func(l *Look) (string, string) { return l.Student, l.Student })
	if len(d) != 2 || d[0].Hits.Count != 10 || d[0].Hits.Of != 20 || d[0].False.Count != 4 || d[0].Rightly != 5 || !d[0].Has {
		t.Fatalf("%+v", d)
	}
	if !strings.Contains(d[0].Words(), "d′ 0.") || d[1].Has || !strings.Contains(d[1].Words(), "too few") {
		t.Errorf("%s; %s", d[0].Words(), d[1].Words())
	}
}

// False calls in drills are counted where they were made, of sound pictures only.
func TestAlarms(t *testing.T) {
	var looks []Look
	for i := range 40 {
		looks = append(looks, Look{Student: fmt.Sprint(i % 10), Key: "k/a/b", Checkpoint: []string{"r/c1", "r/c2"}[i%2], Faulty: i%4 == 0, Called: i%4 == 0 || i == 1})
	}
	a := Alarms(looks, func(l *Look) string { return l.Checkpoint })
	if len(a) != 2 || a["r/c1"].Of != 10 || a["r/c1"].Count != 0 || a["r/c2"].Of != 20 || a["r/c2"].Count != 1 || a["r/c2"].Students != 5 {
		t.Fatalf("%+v %+v", a["r/c1"], a["r/c2"])
	}
	if words := a["r/c2"].Words(); !strings.HasPrefix(words, "1 of 20, 5 % (95 % interval 1 to ") {
		t.Error(words)
	}
	if f := (&FalseAlarms{}); f.Words() != "not drilled" {
		t.Error(f.Words())
	}
}

// Where checkpoints are of several rigs, each is named with its rig.
func TestTeachAgain_NamesTheRigWhereThereAreSeveral(t *testing.T) {
	var all []teach.Result
	for i := range 20 {
		all = append(all, run(fmt.Sprint("s", i), "l", "v", i, teach.NotMet, "tie.1/kind/wrong", "chain.FL/count/high"))
	}
	s := Gather(all, func(v, id string) (Item, bool) {
		x, ok := asNamed(v, id)
		if x.Kind == "chain" {
			x.Checkpoint = "crate/c09"
		}
		return x, ok
	})
	if line, _ := s.TeachAgain(); !strings.HasPrefix(line, "Teach again: The chain (c09 of crate), found 0 of 20") {
		t.Error(line)
	}
}

// A set that is cut knows which attempt a run was, and one that was graded again
// later stays where it was.
func TestOnly_KeepsAttempts(t *testing.T) {
	s := Gather([]teach.Result{
		run("ann", "l", "v1", 1, teach.NotMet, "", "chain.FL/count/high"),
		run("ann", "l", "v2", 90, teach.Met, "chain.FL/count/high", ""),
		run("bob", "l", "v2", 95, teach.Met, "chain.FL/count/high", ""),
	}, asNamed).Only(func(x *Sitting) bool { return x.At.After(day.Add(time.Hour)) })
	if got := s.Runs(); got.All != 2 || got.Counted != 1 || got.Later != 1 {
		t.Errorf("%+v", got)
	}
}

// Ten years of a large school: 200,000 answers in 20,000 runs of 200 classes.
func tenYears() []teach.Result {
	r := rand.New(rand.NewPCG(1, 1))
	b := make([]float64, 120)
	for i := range b {
		b[i] = 1.2 * r.NormFloat64()
	}
	return simulated(r, 200, 100, 10, b, map[string]float64{})
}

func BenchmarkGather_TenYears(b *testing.B) {
	all := tenYears()
	b.ReportAllocs()
	for b.Loop() {
		Gather(all, asNamed)
	}
}

func BenchmarkLines_TenYears(b *testing.B) {
	s := Gather(tenYears(), asNamed)
	b.ReportAllocs()
	for b.Loop() {
		s.known = nil
		s.ByItem()
		s.ByCheckpoint()
		s.Versions()
		s.ByClass()
	}
}

func BenchmarkFit_TenYears(b *testing.B) {
	s := Gather(tenYears(), asNamed)
	b.ReportAllocs()
	for b.Loop() {
		if m := s.Fit(); m.Why != "" {
			b.Fatal(m.Why)
		}
	}
}
