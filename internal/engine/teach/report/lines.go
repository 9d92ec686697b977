package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/engine/teach/stats"
)

// Line is what the results say of one deficiency or one checkpoint.
type Line struct {
	Key, Text string
	Kind      string // of an item: the kind of part
	Found     stats.Share
	Students  int // who were asked
	// Effect is the design effect by which the interval of Found is widened; 1
	// where each student was asked once.
	Effect float64
	// Discrimination is the correlation of finding it with the share of the
	// others that the same student found in the same run; NaN where it cannot be
	// told. Tells is among how many answers, Low and High its 95 % interval.
	Discrimination float64
	Tells          int
	Low, High      float64
	// Median is the time from the start of the run until it was found, of those
	// who found it, with a 95 % interval by order statistics; 0 where nobody did.
	Median      time.Duration
	Early, Late time.Duration // of the interval; 0 where there are too few
	Times       int

	first   int // where it was first seen, for a stable order
	answers []studentAnswer
	seconds []time.Duration
	with    correlation // of finding it with the share of the others found
}

// studentAnswer is one answer of a numbered student.
type studentAnswer struct {
	who   int
	found bool
}

type cluster struct{ asked, found int }

// fewestStudents is the number of students below which answers that are pooled
// over students are only counted. Common practice, no source.
const fewestStudents = 4

// Enough reports whether there are enough results to compare the line: so many
// answers, or as many as tell as much as so many, of so many students.
func (l *Line) Enough() bool { return enough(l.Found, l.Effect, l.Students) }

func enough(s stats.Share, effect float64, students int) bool {
	return float64(s.Of)/max(1, effect) >= stats.Few && students >= fewestStudents
}

// Words is the share found as a person reads it.
func (l *Line) Words() string { return shareWords(l.Found, l.Effect, l.Students) }

func shareWords(s stats.Share, effect float64, students int) string {
	switch {
	case s.Of == 0 || enough(s, effect, students):
		return s.Words()
	case students < s.Of:
		return fmt.Sprintf("%d of %d, of %s: too few to say", s.Count, s.Of, spelling.Count(students, "student", "students"))
	}
	return fmt.Sprintf("%d of %d: too few to say", s.Count, s.Of)
}

// TellsWords says how well the line tells students apart.
func (l *Line) TellsWords() string {
	switch {
	case math.IsNaN(l.Discrimination):
		return "cannot be told"
	case l.Tells < stats.Few:
		return fmt.Sprintf("%d results: too few to say", l.Tells)
	}
	return fmt.Sprintf("%.2f (95 %% interval %.2f to %.2f)", hundredths(l.Discrimination), hundredths(l.Low), hundredths(l.High))
}

// hundredths rounds, so that nothing is written as minus nothing.
func hundredths(x float64) float64 { return math.Round(100*x)/100 + 0 }

// TimeWords says how long finding it took.
func (l *Line) TimeWords() string {
	switch {
	case l.Times == 0:
		return "never found"
	case l.Times < stats.Few:
		return fmt.Sprintf("%s, of %d: too few to say", Clock(l.Median), l.Times)
	}
	return fmt.Sprintf("%s (95 %% interval %s to %s)", Clock(l.Median), Clock(l.Early), Clock(l.Late))
}

// Clock writes a time as minutes and seconds.
func Clock(d time.Duration) string {
	s := int(math.Round(d.Seconds()))
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

// Lines are items or checkpoints: those that can be compared first, the least
// often found on top; then the others in the order in which they were met,
// which says nothing.
type Lines []Line

// Compared are those with enough results.
func (l Lines) Compared() Lines {
	i := slices.IndexFunc(l, func(x Line) bool { return !x.Enough() })
	if i < 0 {
		return l
	}
	return l[:i]
}

// Few are those with too few.
func (l Lines) Few() Lines { return l[len(l.Compared()):] }

// ByItem is a line for each item that was planted. As of all lines of a set, they
// are counted once, so nobody may change them.
func (s *Set) ByItem() Lines {
	return s.counted("item", func() Lines {
		return s.lines(len(s.Items), func(a *Answer) int { return a.Item }, func(i int) Line {
			x := &s.Items[i]
			return Line{Key: x.Key, Text: x.Text, Kind: x.Kind}
		})
	})
}

// counted remembers lines: a set does not change once it was gathered.
func (s *Set) counted(by string, count func() Lines) Lines {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.known == nil {
		s.known = map[string]Lines{}
	}
	list, ok := s.known[by]
	if !ok {
		list = count()
		s.known[by] = list
	}
	return list
}

// ByKind is a line for each kind of part.
func (s *Set) ByKind() Lines {
	return s.counted("kind", func() Lines {
		names, of := numbered(len(s.Items), func(i int) string { return s.Items[i].Kind })
		return s.lines(len(names), func(a *Answer) int { return of[a.Item] }, func(i int) Line {
			x := s.Items[names[i]].Kind
			return Line{Key: x, Text: x, Kind: x}
		})
	})
}

// ByCheckpoint is a line for each checkpoint that asks about something planted;
// what several ask about counts for the first.
func (s *Set) ByCheckpoint() Lines {
	return s.counted("checkpoint", func() Lines {
		names, of := numbered(len(s.Places), func(i int) string { return s.Places[i].Checkpoint })
		return s.lines(len(names), func(a *Answer) int { return of[a.Place] }, func(i int) Line {
			x := &s.Places[names[i]]
			return Line{Key: x.Checkpoint, Text: x.Title}
		})
	})
}

// ByPart is a line for each part of a rig on which something was planted.
func (s *Set) ByPart() Lines {
	return s.counted("part", func() Lines {
		names, of := numbered(len(s.Places), func(i int) string { return s.Places[i].Part })
		return s.lines(len(names), func(a *Answer) int { return of[a.Place] }, func(i int) Line {
			x := s.Places[names[i]].Part
			return Line{Key: x, Text: x}
		})
	})
}

// numbered gives things with one name one number: first is a thing for each
// number, of the number of each thing; −1 for one without a name.
func numbered(n int, name func(int) string) (first, of []int) {
	at := map[string]int{}
	of = make([]int, n)
	for i := range n {
		key := name(i)
		if key == "" {
			of[i] = -1
			continue
		}
		k, ok := at[key]
		if !ok {
			k = len(first)
			at[key] = k
			first = append(first, i)
		}
		of[i] = k
	}
	return first, of
}

// lines counts the answers by one of n things.
func (s *Set) lines(n int, of func(*Answer) int, begin func(int) Line) Lines {
	at := make([]int, n)
	for i := range at {
		at[i] = -1
	}
	var out Lines
	for i := range s.Sittings {
		x := &s.Sittings[i]
		if !x.counts() {
			continue
		}
		right := 0
		for k := range x.Answers {
			right += index(x.Answers[k].Found)
		}
		for q := range x.Answers {
			a := &x.Answers[q]
			k := of(a)
			if k < 0 {
				continue
			}
			if at[k] < 0 {
				at[k] = len(out)
				l := begin(k)
				l.first = len(out)
				out = append(out, l)
			}
			l := &out[at[k]]
			l.answers = append(l.answers, studentAnswer{x.who, a.Found})
			mine := index(a.Found)
			if a.Found {
				l.seconds = append(l.seconds, a.After)
			}
			if n := len(x.Answers) - 1; n > 0 {
				l.with.add(float64(mine), float64(right-mine)/float64(n))
			}
		}
	}
	c := s.counter()
	for i := range out {
		out[i].settle(c)
	}
	slices.SortStableFunc(out, func(a, b Line) int {
		switch {
		case a.Enough() != b.Enough():
			if a.Enough() {
				return -1
			}
			return 1
		case !a.Enough():
			return cmp.Compare(a.first, b.first)
		}
		return cmp.Or(cmp.Compare(a.Found.Value(), b.Found.Value()), cmp.Compare(a.first, b.first))
	})
	return out
}

// counter counts answers by student without a map for each line.
type counter struct {
	at   []int // by student: the cluster's number from 1, 0 for none
	list []cluster
	who  []int
}

func (s *Set) counter() *counter { return &counter{at: make([]int, s.students)} }

func (c *counter) add(who int, found bool) {
	if c.at[who] == 0 {
		c.list, c.who = append(c.list, cluster{}), append(c.who, who)
		c.at[who] = len(c.list)
	}
	x := &c.list[c.at[who]-1]
	x.asked++
	x.found += index(found)
}

// take is the share of what was counted, of so many students; it begins anew.
func (c *counter) take() (s stats.Share, effect float64, students int) {
	s, effect = clustered(c.list)
	students = len(c.list)
	for _, w := range c.who {
		c.at[w] = 0
	}
	c.list, c.who = c.list[:0], c.who[:0]
	return s, effect, students
}

// settle makes the figures of what was counted.
func (l *Line) settle(c *counter) {
	for _, a := range l.answers {
		c.add(a.who, a.found)
	}
	l.Found, l.Effect, l.Students = c.take()
	l.Discrimination, l.Low, l.High = l.with.value()
	l.Tells = l.with.n
	l.Times = len(l.seconds)
	if l.Times > 0 {
		slices.Sort(l.seconds)
		n := l.Times
		l.Median = (l.seconds[(n-1)/2] + l.seconds[n/2]) / 2
		// Ranks between which the median lies in 95 of a hundred samples, from the
		// binomial with chance ½ (David and Nagaraja 2003, section 7.1, from memory).
		reach := z95 * math.Sqrt(float64(n)) / 2
		l.Early = l.seconds[max(0, int(math.Floor(float64(n)/2-reach)))]
		l.Late = l.seconds[min(n-1, int(math.Ceil(float64(n)/2+reach)))]
	}
	l.answers, l.seconds = nil, nil
}

// z95 is the standard normal quantile of a two-sided 95 % interval.
const z95 = 1.959963984540054

// clustered is a share whose answers come several from one student: the
// interval is that of as many answers of strangers as tell as much. effect is
// the design effect, at least 1, which also makes up for the few students that
// it is estimated from: Student's quantile in place of the normal one.
func clustered(by []cluster) (s stats.Share, effect float64) {
	k, n := 0, 0
	for _, c := range by {
		k += c.found
		n += c.asked
	}
	s, effect = stats.ShareOf(k, n), 1
	m := len(by)
	switch {
	case m == n:
		return s, effect
	case m < 2:
		// One student: nothing tells how far others differ.
		effect = float64(n)
	default:
		p := s.Value()
		if 0 < k && k < n {
			sum := 0.0
			for _, c := range by {
				e := float64(c.found) - p*float64(c.asked)
				sum += e * e
			}
			variance := sum / float64(n*n) * float64(m) / float64(m-1)
			effect = max(1, variance/(p*(1-p)/float64(n)))
		} else {
			effect = float64(n) / float64(m) // as if each had answered once
		}
		t := distuv.StudentsT{Sigma: 1, Nu: float64(m - 1)}.Quantile(.975) / z95
		effect *= t * t
	}
	s.Low, s.High = stats.WilsonOf(s.Value(), float64(n)/effect)
	return s, effect
}

// correlation is sums over pairs.
type correlation struct {
	n                     int
	sx, sy, sxx, syy, sxy float64
}

func (c *correlation) add(x, y float64) {
	c.n++
	c.sx, c.sy, c.sxx, c.syy, c.sxy = c.sx+x, c.sy+y, c.sxx+x*x, c.syy+y*y, c.sxy+x*y
}

// value is the correlation with its 95 % interval by Fisher's transformation
// (Fisher 1921, from memory); NaN where one of the two does not vary.
func (c *correlation) value() (r, low, high float64) {
	n := float64(c.n)
	vx, vy := n*c.sxx-c.sx*c.sx, n*c.syy-c.sy*c.sy
	if n < 4 || vx <= 1e-9*n*n || vy <= 1e-9*n*n {
		return math.NaN(), math.NaN(), math.NaN()
	}
	r = max(-1, min(1, (n*c.sxy-c.sx*c.sy)/math.Sqrt(vx*vy)))
	z, reach := math.Atanh(max(-.999999, min(.999999, r))), z95/math.Sqrt(n-3)
	return r, math.Tanh(z - reach), math.Tanh(z + reach)
}
