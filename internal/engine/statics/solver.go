package statics

import "math"

// Solver finds equilibria. It keeps its working memory between calls, so that
// solving the same model, or one of the same size, again allocates nothing. A
// Solver serves one goroutine at a time; its zero value is ready.
type Solver struct {
	// Stop is asked before each step where it is not nil; once it says true, Solve
	// ends where it is, and what it finds has not converged.
	Stop func() bool

	w work
	// finer divides the step cap where it is not 0: for tests that compare the
	// way down with one in far smaller steps.
	finer float64
}

// work is the solver's memory.
type work struct {
	m      *Model
	n      int     // number of coordinates
	weight float64 // of the bodies that take part, N
	height float64 // where potential energy is counted from, m
	idle   []bool  // per body: joined to no fixed point, takes no part
	off    []bool  // per line: takes no part

	now, next      places
	g, gNext, d    []float64
	trial          []float64
	h, hNext, chol []float64
	along, eigvec  []float64
	gram, grad     []float64
	cuts           []float64
	group          []int
	neutral        []float64 // orthonormal rows
	start          State
	cap            float64 // on a step, m or rad at 1 m
	steps          int     // at most, on one way down
	block          bool    // the bodies move up and down together, and in no other way
	stop           func() bool
}

func (w *work) prepare(m *Model) {
	w.m = m
	w.cap, w.steps = stepCap, maxSteps
	w.n = 6*len(m.Bodies) + 3*m.Nodes
	n := w.n
	w.now.size(len(m.Bodies), m.Nodes)
	w.next.size(len(m.Bodies), m.Nodes)
	w.trial = resize(w.trial, n)
	w.g, w.gNext, w.d, w.along = resize(w.g, n), resize(w.gNext, n), resize(w.d, n), resize(w.along, n)
	w.h, w.hNext = resize(w.h, n*n), resize(w.hNext, n*n)
	w.chol, w.eigvec = resize(w.chol, n*n), resize(w.eigvec, n*n)
	w.gram, w.grad = resize(w.gram, len(m.Lines)*len(m.Lines)), resize(w.grad, len(m.Lines)*n)
	w.join()
	w.weight, w.height = 0, 0
	for i := range m.Bodies {
		if !w.idle[i] {
			w.weight += m.Bodies[i].Mass * m.Gravity
		}
	}
	for _, f := range m.Fixed {
		w.height += f[2] / float64(len(m.Fixed))
	}
}

// How a solution is sought. The step cap keeps the way down close to the
// downhill path, so that a light rig does not leap from one hollow into
// another; docs/performance.md says how this one was chosen.
const (
	maxSteps   = 5000
	stepCap    = 0.05  // m, or rad at 1 m
	leastShift = 1e-10 // of the weight per metre: λ
	blockCap   = 2.0   // m, while the bodies move as a block
	roughly    = 1e-4  // of the weight: the residual aimed at while they do
	aimed      = 1e-11
	tolerated  = 1e-6
	unstable   = 1e-4 // of the weight per metre: see Solution.Stable
)

// Solve finds the stable equilibrium reached downhill from the given position,
// or from the ground position when from is nil, and fills out, whose memory is
// reused. The model must pass [Model.Check]. Bodies joined to no fixed point
// stay where they are and are listed in out.Unjoined; the rest is solved
// without them.
func (s *Solver) Solve(m *Model, from *State, out *Solution) {
	w := &s.w
	w.prepare(m)
	w.stop = s.Stop
	if s.finer != 0 {
		w.cap, w.steps = stepCap/s.finer, maxSteps*int(s.finer)
	}
	out.Steps, out.Nudges = 0, 0
	if from == nil {
		w.groundStart(&w.start)
		from = &w.start
	}
	w.now.load(m, from)
	for {
		out.Converged = w.descend(&out.Steps)
		w.connect(true)
		w.findNeutral(out)
		w.certify(out)
		if out.Stable || !out.Converged || out.Nudges == 6 {
			break
		}
		// A saddle: leave it along its most unstable direction.
		out.Nudges++
		w.nudge(out.Nudges)
	}
	w.restoreHeading()
	w.measure(out)
	w.report(out)
}

// residual returns the largest component of g, N.
func residual(g []float64) float64 {
	r := 0.0
	for _, x := range g {
		r = math.Max(r, math.Abs(x))
	}
	if math.IsNaN(r) {
		return math.Inf(1)
	}
	return r
}

// descend goes downhill in energy from w.now until the residual is as small as
// rounding lets it be, and reports whether it is small enough; w.g and w.h are
// left as they are there. Each step solves (H + λ1)·d = −g with λ large enough
// for the matrix to be positive definite and the step to stay under a cap: a
// step along the path of steepest descent where λ is large, Newton's where it
// is small.
func (w *work) descend(steps *int) bool {
	e := w.eval(&w.now, w.g, w.h)
	if w.weight == 0 {
		return true
	}
	least := leastShift * w.weight
	lambda, aim := least, aimed*w.weight
	limit := w.cap
	if w.block {
		aim, limit = roughly*w.weight, blockCap
	}
	best, stale := math.Inf(1), 0
	for range w.steps {
		if w.stop != nil && w.stop() {
			return false
		}
		r := residual(w.g)
		if r <= aim {
			return true
		}
		if r < 0.5*best {
			best, stale = r, 0
		} else if stale++; stale > 3 && r <= 1e-8*w.weight {
			return true // as small as rounding lets it be
		}
		*steps++
		var size float64
		lambda, size = w.step(math.Max(lambda, least), limit)
		t, there, ok := w.lineSearch(e)
		if !ok {
			if lambda > 1e12*w.weight {
				break
			}
			lambda *= 16
			continue
		}
		w.now, w.next = w.next, w.now
		w.g, w.gNext = w.gNext, w.g
		w.h, w.hNext = w.hNext, w.h
		e = there
		switch {
		case t == 1 && size < 0.5*limit:
			lambda *= 0.03
		case t == 1:
			lambda *= 0.3
		case t < 0.2:
			lambda *= 4
		}
	}
	return residual(w.g) <= tolerated*w.weight
}

// size returns how far a displacement moves or turns anything, m or rad.
func (w *work) size(d []float64) float64 {
	square := 0.0
	for i := 0; i+2 < len(d); i += 3 {
		square = math.Max(square, d[i]*d[i]+d[i+1]*d[i+1]+d[i+2]*d[i+2])
	}
	return math.Sqrt(square)
}

// eval is energy. While the bodies move as a block, the first body's height
// stands for that of all, and their other coordinates stay as they are.
func (w *work) eval(p *places, g, h []float64) float64 {
	e := w.energy(p, g, h)
	if !w.block {
		return e
	}
	n, bodies := w.n, 6*len(w.m.Bodies)
	up := 0.0
	for i := 2; i < bodies; i += 6 {
		if !w.idle[i/6] {
			up += g[i]
		}
	}
	clear(g[:bodies])
	g[2] = up
	if h == nil {
		return e
	}
	for j := range n {
		up = 0
		for i := 2; i < bodies; i += 6 {
			if !w.idle[i/6] {
				up += h[i*n+j]
			}
		}
		w.along[j] = up
	}
	up = 0
	for i := 2; i < bodies; i += 6 {
		if !w.idle[i/6] {
			up += w.along[i]
		}
	}
	for i := range bodies {
		for j := range n {
			h[i*n+j], h[j*n+i] = 0, 0
		}
		h[i*n+i] = w.weight
	}
	h[2*n+2] = up
	for j := bodies; j < n; j++ {
		h[2*n+j], h[j*n+2] = w.along[j], w.along[j]
	}
	return e
}

// step leaves in w.d the step for a λ from the given one up that keeps it under
// the limit, and returns that λ and the size of the step.
func (w *work) step(lambda, limit float64) (float64, float64) {
	for {
		if !factor(w.h, w.chol, w.along, w.n, lambda) {
			lambda = math.Max(4*lambda, 1e-3*w.weight)
			continue
		}
		for i, x := range w.g {
			w.d[i] = -x
		}
		backsolve(w.chol, w.d, w.n)
		size := w.size(w.d)
		if size <= limit {
			return lambda, size
		}
		// A node or body that hangs on nothing can move any distance at no
		// cost; where λ grows and the step does not shrink, scale it.
		if lambda > 1e6*w.weight {
			for i := range w.d {
				w.d[i] *= limit / size
			}
			return lambda, limit
		}
		// Newton's method on 1/size(λ) − 1/limit, |d|'s slope standing for the
		// size's (Moré's way of finding the length of a damped step).
		copy(w.trial, w.d)
		backsolve(w.chol, w.trial, w.n)
		slope := dot(w.d, w.trial) / dot(w.d, w.d) // −d ln|d|/dλ
		lambda += math.Max(0.1*lambda, (1.05*size/limit-1)/slope)
	}
}

// lineSearch tries w.now + t·d for t = 1, and where the energy is past its lowest
// point on the way, the t at which it is lowest. The place is left in w.next,
// its gradient and Hessian in w.gNext and w.hNext, and its energy is returned
// with t. It reports false when the energy does not fall.
func (w *work) lineSearch(e float64) (t, there float64, ok bool) {
	slope := dot(w.g, w.d)
	if slope >= 0 {
		return 0, e, false
	}
	noise := 1e-13 * (math.Abs(e) + w.weight)
	lo, hi, t := 0.0, 1.0, 1.0
	for range 30 {
		there = w.try(t)
		sl := dot(w.gNext, w.d)
		good := there <= e+1e-4*t*slope || (there <= e+noise && math.Abs(sl) < math.Abs(slope))
		if good && math.Abs(sl) <= 0.5*math.Abs(slope) || good && t == 1 && sl <= 0 {
			return t, there, true
		}
		if sl > 0 || !good {
			hi = t
		} else {
			lo = t
		}
		if hi-lo < 1e-9 {
			break
		}
		// Newton's method, kept within: what makes a step too long is most
		// often a line that was slack and is now taut, and from there on the
		// slope rises evenly.
		next := 0.5 * (lo + hi)
		if c := w.curvature(); c > 0 {
			next = t - sl/c
		}
		t = math.Max(lo+0.005*(hi-lo), math.Min(lo+0.9*(hi-lo), next))
	}
	if lo > 0 {
		return lo, w.try(lo), true
	}
	return 0, e, false
}

// try sets w.next to w.now moved by t·d and returns the energy there.
func (w *work) try(t float64) float64 {
	for i, x := range w.d {
		w.along[i] = t * x
	}
	for i := 8; w.block && i < 6*len(w.m.Bodies); i += 6 {
		w.along[i] = w.along[2]
	}
	w.next.move(&w.now, w.along)
	return w.eval(&w.next, w.gNext, w.hNext)
}

// curvature returns dᵀ·H·d in w.next.
func (w *work) curvature() float64 {
	c := 0.0
	for i, x := range w.d {
		if x != 0 {
			c += x * dot(w.hNext[i*w.n:i*w.n+w.n], w.d)
		}
	}
	return c
}

func dot(a, b []float64) float64 {
	s := 0.0
	for i, x := range a {
		s += x * b[i]
	}
	return s
}
