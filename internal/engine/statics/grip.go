package statics

// grip is an anchor in the solver's terms: where it is, where its coordinates
// start (−1 for a fixed point), and the arm from the CG for a point of a body.
type grip struct {
	at   Vec
	off  int
	body bool
	arm  Vec
}

// grip fills g for an anchor.
func (w *work) grip(p *places, a *Anchor, g *grip) {
	switch a.Kind {
	case OnBody:
		b := a.Index
		r, c := &p.rot[b], &w.m.Bodies[b].CG
		x, y, z := a.Point[0]-c[0], a.Point[1]-c[1], a.Point[2]-c[2]
		for i := range 3 {
			g.arm[i] = r[i][0]*x + r[i][1]*y + r[i][2]*z
		}
		g.at = Add(p.cg[b], g.arm)
		g.off, g.body = 6*b, true
	case OnNode:
		g.at = p.node[a.Index]
		g.off, g.body = 6*len(w.m.Bodies)+3*a.Index, false
		g.arm = Vec{}
	default:
		g.at, g.off, g.body = w.m.Fixed[a.Index], -1, false
		g.arm = Vec{}
	}
}

// push adds f, the derivative of an energy by the grip's place, to the
// gradient.
func (a *grip) push(g []float64, f *Vec) {
	if a.off < 0 {
		return
	}
	v := g[a.off : a.off+3]
	v[0] += f[0]
	v[1] += f[1]
	v[2] += f[2]
	if !a.body {
		return
	}
	r := &a.arm
	v = g[a.off+3 : a.off+6]
	v[0] += r[1]*f[2] - r[2]*f[1]
	v[1] += r[2]*f[0] - r[0]*f[2]
	v[2] += r[0]*f[1] - r[1]*f[0]
}

// swing adds to the Hessian what comes of a body's point moving on an arc, f
// being the derivative of the energy by its place: the second derivative of
// f·½θ×(θ×arm), which is ½(f armᵀ + arm fᵀ) − (f·arm) 1.
//
// Like all that builds the Hessian up, it fills the lower triangle only.
func (a *grip) swing(h []float64, n int, f *Vec) {
	if !a.body {
		return
	}
	r := &a.arm
	k := a.off + 3
	row := h[k*n+k:]
	row[0] -= f[1]*r[1] + f[2]*r[2]
	row = h[(k+1)*n+k : (k+1)*n+k+2]
	row[0] += 0.5 * (f[1]*r[0] + r[1]*f[0])
	row[1] -= f[0]*r[0] + f[2]*r[2]
	row = h[(k+2)*n+k : (k+2)*n+k+3]
	row[0] += 0.5 * (f[2]*r[0] + r[2]*f[0])
	row[1] += 0.5 * (f[2]*r[1] + r[2]*f[1])
	row[2] -= f[0]*r[0] + f[1]*r[1]
}

// spring adds the Hessian of an energy of b−a whose own second derivative is
// along·u uᵀ + every·1. With J turning coordinates into the displacement of a
// grip, which for a body is v + θ×arm, that is JᵀKJ with the signs of a and b.
func (w *work) spring(h []float64, a, b *grip, u *Vec, along, every float64) {
	a.own(h, w.n, u, along, every)
	b.own(h, w.n, u, along, every)
	switch {
	case a.off < 0 || b.off < 0:
	case a.off > b.off:
		a.other(h, w.n, b, u, along, every)
	case a.off < b.off:
		b.other(h, w.n, a, u, along, every)
	default:
		a.same(h, w.n, b, u, along, every)
	}
}

// own adds JᵀKJ of one grip.
func (a *grip) own(h []float64, n int, u *Vec, along, every float64) {
	if a.off < 0 {
		return
	}
	n2 := 2 * n
	ux, uy, uz := u[0], u[1], u[2]
	ax, ay, az := along*ux, along*uy, along*uz
	h = h[a.off*n+a.off:]
	h[0] += ax*ux + every
	row := h[n : n+2]
	row[0] += ay * ux
	row[1] += ay*uy + every
	row = h[n2 : n2+3]
	row[0] += az * ux
	row[1] += az * uy
	row[2] += az*uz + every
	if !a.body {
		return
	}
	// t = arm×u; [arm]× and |arm|²·1 − arm armᵀ, times every
	rx, ry, rz := a.arm[0], a.arm[1], a.arm[2]
	tx, ty, tz := ry*uz-rz*uy, rz*ux-rx*uz, rx*uy-ry*ux
	ax, ay, az = along*tx, along*ty, along*tz
	sx, sy, sz := every*rx, every*ry, every*rz
	row = h[3*n : 3*n+4]
	row[0] += ax * ux
	row[1] += ax*uy - sz
	row[2] += ax*uz + sy
	row[3] += ax*tx + sy*ry + sz*rz
	row = h[4*n : 4*n+5]
	row[0] += ay*ux + sz
	row[1] += ay * uy
	row[2] += ay*uz - sx
	row[3] += ay*tx - sy*rx
	row[4] += ay*ty + sx*rx + sz*rz
	row = h[5*n : 5*n+6]
	row[0] += az*ux - sy
	row[1] += az*uy + sx
	row[2] += az * uz
	row[3] += az*tx - sz*rx
	row[4] += az*ty - sz*ry
	row[5] += az*tz + sx*rx + sy*ry
}

// block returns JaᵀKJb, of which the first rows and columns count that the
// grips have.
func (a *grip) block(b *grip, u *Vec, along, every float64) (x [6][6]float64, rows, cols int) {
	ta, tb := Cross(a.arm, *u), Cross(b.arm, *u)
	wa := [6]float64{along * u[0], along * u[1], along * u[2], along * ta[0], along * ta[1], along * ta[2]}
	wb := [6]float64{u[0], u[1], u[2], tb[0], tb[1], tb[2]}
	for i := range x {
		for j := range x[i] {
			x[i][j] = wa[i] * wb[j]
		}
	}
	ra, rb := Scale(every, a.arm), b.arm
	// 1, −[rb]×; [ra]×, (ra·rb)·1 − rb raᵀ
	sb := Scale(every, rb)
	x[0][0] += every
	x[1][1] += every
	x[2][2] += every
	x[0][4] += sb[2]
	x[0][5] -= sb[1]
	x[1][3] -= sb[2]
	x[1][5] += sb[0]
	x[2][3] += sb[1]
	x[2][4] -= sb[0]
	x[3][1] -= ra[2]
	x[3][2] += ra[1]
	x[4][0] += ra[2]
	x[4][2] -= ra[0]
	x[5][0] -= ra[1]
	x[5][1] += ra[0]
	both := Dot(ra, rb)
	for i := range 3 {
		for j := range 3 {
			x[3+i][3+j] -= rb[i] * ra[j]
		}
		x[3+i][3+i] += both
	}
	rows, cols = 3, 3
	if a.body {
		rows = 6
	}
	if b.body {
		cols = 6
	}
	return x, rows, cols
}

// other subtracts JaᵀKJb below the diagonal, a's coordinates coming after b's.
func (a *grip) other(h []float64, n int, b *grip, u *Vec, along, every float64) {
	x, rows, cols := a.block(b, u, along, every)
	for i := range rows {
		row := h[(a.off+i)*n+b.off : (a.off+i)*n+b.off+cols]
		for j := range row {
			row[j] -= x[i][j]
		}
	}
}

// same subtracts JaᵀKJb and its transpose where both grips are on one body.
func (a *grip) same(h []float64, n int, b *grip, u *Vec, along, every float64) {
	x, rows, _ := a.block(b, u, along, every)
	for i := range rows {
		row := h[(a.off+i)*n+a.off : (a.off+i)*n+a.off+i+1]
		for j := range row {
			row[j] -= x[i][j] + x[j][i]
		}
	}
}
