package statics

import "math"

// Solution is one position of a model with the certificate of its balance.
type Solution struct {
	State
	CG    []Vec        // of each body, world, m
	Lines []LineResult // one for each line of the model
	// Pull is, for each fixed point, the force that the lines put on it, N.
	Pull []Vec

	Residual   float64 // largest unbalanced force (N) or moment (N·m over 1 m)
	Force      float64 // largest unbalanced force component alone, N
	Moment     float64 // largest unbalanced moment component alone, N·m
	Energy     float64 // J, potential energy counted from the mean height of the fixed points
	Converged  bool    // Residual is at most 1e-6 of the weight
	Stable     bool    // LowestEigenvalue is above −1e-4 of the weight per metre
	Steps      int     // downhill steps taken
	Nudges     int     // times the way down had to be nudged off a saddle
	Unjoined   []int   // bodies that hang on no fixed point
	SlackNodes []int   // nodes whose lines are all slack: their place means nothing
	// LowestEigenvalue is that of the stiffness, N/m, outside the neutral
	// directions; +Inf when every direction is neutral.
	LowestEigenvalue float64
}

// LineResult is what a solution says of one line.
type LineResult struct {
	Tension float64 // N, never negative
	Length  float64 // along the line, m
	Slack   bool
	From    Vec // first anchor, world
	To      Vec // last anchor, world
}

// measure finds how well w.now is balanced.
func (w *work) measure(out *Solution) {
	out.Energy = w.energy(&w.now, w.g, nil)
	out.Force, out.Moment = 0, 0
	for i, x := range w.g {
		if i < 6*len(w.m.Bodies) && i%6 >= 3 {
			out.Moment = math.Max(out.Moment, math.Abs(x))
		} else {
			out.Force = math.Max(out.Force, math.Abs(x))
		}
	}
	out.Residual = math.Max(out.Force, out.Moment)
	out.Converged = out.Converged && residual(w.g) <= tolerated*w.weight
}

// certify finds the lowest stiffness outside the neutral directions from w.h,
// the Hessian where the way down ended. Turning a group about the vertical,
// as restoreHeading does, turns the Hessian's eigenvectors and leaves its
// eigenvalues.
func (w *work) certify(out *Solution) {
	n := w.n
	w.restrict(w.chol)
	if !eigenvalues(w.chol, w.trial, w.along, n) {
		w.restrict(w.chol)
		eigen(w.chol, nil, n)
		for i := range n {
			w.trial[i] = w.chol[i*n+i]
		}
	}
	out.LowestEigenvalue = math.Inf(1)
	for _, x := range w.trial {
		out.LowestEigenvalue = math.Min(out.LowestEigenvalue, x)
	}
	out.Stable = out.LowestEigenvalue >= -unstable*w.weight
}

// restrict sets a to w.h with the neutral directions, and the bodies that take
// no part, made as stiff as the stiffest.
func (w *work) restrict(a []float64) {
	n := w.n
	stiff := 0.0
	for i := range n {
		stiff = math.Max(stiff, math.Abs(w.h[i*n+i]))
	}
	copy(a, w.h)
	for k := 0; k+n <= len(w.neutral); k += n {
		v := w.neutral[k : k+n]
		for i, x := range v {
			if x == 0 {
				continue
			}
			for j, y := range v {
				a[i*n+j] += stiff * x * y
			}
		}
	}
	for i, idle := range w.idle {
		for k := 6 * i; idle && k < 6*i+6; k++ {
			a[k*n+k] = 2 * stiff
		}
	}
}

// findNeutral fills w.neutral with orthonormal directions that cost no energy
// by the nature of the model, and lists slack nodes. The groups are those that
// connect has found last.
func (w *work) findNeutral(out *Solution) {
	m := w.m
	w.neutral = w.neutral[:0]
	for f := range m.Fixed {
		g, single := w.only(f)
		if !single {
			continue
		}
		v := w.direction()
		for i := range m.Bodies {
			if w.idle[i] || w.find(i) != g {
				continue
			}
			r := Sub(w.now.cg[i], m.Fixed[f])
			v[6*i], v[6*i+1], v[6*i+5] = -r[1], r[0], 1
		}
		for i := range m.Nodes {
			if w.find(len(m.Bodies)+i) == g {
				r := Sub(w.now.node[i], m.Fixed[f])
				k := 6*len(m.Bodies) + 3*i
				v[k], v[k+1] = -r[1], r[0]
			}
		}
		w.orthonormal()
	}
	out.SlackNodes = out.SlackNodes[:0]
	for i := range m.Nodes {
		if !w.slackNode(i) {
			continue
		}
		out.SlackNodes = append(out.SlackNodes, i)
		for k := range 3 {
			v := w.direction()
			v[6*len(m.Bodies)+3*i+k] = 1
			w.orthonormal()
		}
	}
}

// direction appends a zero row to w.neutral and returns it.
func (w *work) direction() []float64 {
	k := len(w.neutral)
	for range w.n {
		w.neutral = append(w.neutral, 0)
	}
	return w.neutral[k : k+w.n]
}

// orthonormal makes the last row of w.neutral a unit vector at right angles to
// the others, or removes it when it is a mixture of them.
func (w *work) orthonormal() {
	n := w.n
	last := len(w.neutral) - n
	v := w.neutral[last:]
	for k := 0; k < last; k += n {
		f := dot(v, w.neutral[k:k+n])
		for i := range v {
			v[i] -= f * w.neutral[k+i]
		}
	}
	size := math.Sqrt(dot(v, v))
	if size < 1e-9 {
		w.neutral = w.neutral[:last]
		return
	}
	for i := range v {
		v[i] /= size
	}
}

// slackNode reports whether every line at node i is slack.
func (w *work) slackNode(i int) bool {
	for k := range w.m.Lines {
		l := &w.m.Lines[k]
		if w.off[k] {
			continue
		}
		for _, a := range l.Path {
			if a.Kind == OnNode && a.Index == i && w.length(&w.now, l) > l.Length {
				return false
			}
		}
	}
	return true
}

// nudge moves w.now a little along its most unstable direction, always to the
// same side.
func (w *work) nudge(times int) {
	n := w.n
	a := w.chol
	w.restrict(a)
	eigen(a, w.eigvec, n)
	low := 0
	for i := range n {
		if a[i*n+i] < a[low*n+low] {
			low = i
		}
	}
	largest := 0.0
	for i := range n {
		largest = math.Max(largest, math.Abs(w.eigvec[i*n+low]))
	}
	size := 0.01 * float64(times) / largest
	for i := range n {
		if x := w.eigvec[i*n+low]; math.Abs(x) > 0.5*largest {
			size = math.Copysign(size, x)
			break
		}
	}
	for i := range n {
		w.d[i] = size * w.eigvec[i*n+low]
	}
	w.next.move(&w.now, w.d)
	w.now, w.next = w.next, w.now
}

// report copies w.now into out.
func (w *work) report(out *Solution) {
	m := w.m
	w.now.store(m, &out.State)
	out.CG = resize(out.CG, len(m.Bodies))
	copy(out.CG, w.now.cg)
	out.Lines = resize(out.Lines, len(m.Lines))
	out.Pull = resize(out.Pull, len(m.Fixed))
	clear(out.Pull)
	for i := range m.Lines {
		l := &m.Lines[i]
		end := len(l.Path) - 1
		var a, b grip
		w.grip(&w.now, &l.Path[0], &a)
		w.grip(&w.now, &l.Path[end], &b)
		length := Norm(Sub(b.at, a.at))
		if end > 1 {
			length = w.length(&w.now, l)
		}
		tension := 0.0
		if length > l.Length && !w.off[i] {
			tension = l.Stiffness * (length - l.Length)
		}
		out.Lines[i] = LineResult{tension, length, tension == 0, a.at, b.at}
		for k, p := range l.Path {
			if p.Kind != OnFixed || tension == 0 {
				continue
			}
			for _, o := range [...]int{k - 1, k + 1} {
				if o >= 0 && o <= end {
					var other grip
					w.grip(&w.now, &l.Path[o], &other)
					u, _ := unit(Sub(other.at, m.Fixed[p.Index]))
					out.Pull[p.Index] = Add(out.Pull[p.Index], Scale(tension, u))
				}
			}
		}
	}
	out.Unjoined = out.Unjoined[:0]
	for i, idle := range w.idle {
		if idle {
			out.Unjoined = append(out.Unjoined, i)
		}
	}
}

// Touch is one pair of bodies pressing on each other.
type Touch struct {
	A, B  int
	Force float64 // N
}

// Touches lists the pairs of bodies that press on each other in the position
// that the last call of Solve found.
func (s *Solver) Touches() []Touch {
	var list []Touch
	for a := range s.w.m.Bodies {
		for b := range a {
			if f := Norm(s.w.pressure(a, b)); f > 0 {
				list = append(list, Touch{b, a, f})
			}
		}
	}
	return list
}

// Redundant reports, for each line, whether statics alone leaves its tension
// open in the position that the last call of Solve found, slack lines
// included: whether it takes part in a set of tensions that balance among
// themselves.
func (s *Solver) Redundant() []bool {
	w := &s.w
	m := w.m
	n, k := w.n, len(m.Lines)
	clear(w.grad)
	for i := range m.Lines {
		if w.off[i] {
			continue
		}
		row := w.grad[i*n : i*n+n]
		path := m.Lines[i].Path
		var a, b grip
		w.grip(&w.now, &path[0], &a)
		for j := 1; j < len(path); j++ {
			w.grip(&w.now, &path[j], &b)
			u, _ := unit(Sub(b.at, a.at))
			back := Scale(-1, u)
			a.push(row, &back)
			b.push(row, &u)
			a = b
		}
	}
	vec := make([]float64, k*k)
	for i := range k {
		for j := range k {
			w.gram[i*k+j] = dot(w.grad[i*n:i*n+n], w.grad[j*n:j*n+n])
		}
	}
	eigen(w.gram, vec, k)
	largest := 0.0
	for i := range k {
		largest = math.Max(largest, w.gram[i*k+i])
	}
	out := make([]bool, k)
	for e := range k {
		if w.gram[e*k+e] > 1e-9*largest {
			continue
		}
		for i := range k {
			if !w.off[i] && math.Abs(vec[i*k+e]) > 1e-4 {
				out[i] = true
			}
		}
	}
	return out
}
