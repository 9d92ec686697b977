package statics

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os/exec"
	"strings"
	"testing"

	"hangtrue/internal/policy/extra"
)

// minimise is a second route to the same answer, written apart from the
// solver: rotations by Rodrigues' formula from the start, gradients by complex
// steps, contact by the sum over many points, scipy's BFGS down to where it
// stalls, then Newton's method on differences of the gradient.
const minimise = `
import json, sys
import numpy as np
from scipy.optimize import minimize

job = json.load(sys.stdin)
bodies, lines, fixed = job["Bodies"], job["Lines"], np.array(job["Fixed"])
nb, nodes = len(bodies), np.array(job["Nodes"]).reshape(-1, 3)
for b in bodies:
    b["R"] = np.array(b["R"])
    b["At"], b["CG"] = np.array(b["At"]), np.array(b["CG"])

def rodrigues(v):
    a = np.sqrt(np.sum(v * v) + 1e-300)
    k = np.array([[0, -v[2], v[1]], [v[2], 0, -v[0]], [-v[1], v[0], 0]])
    return np.eye(3) + np.sin(a) / a * k + 2 * np.sin(a / 2) ** 2 / a ** 2 * (k @ k)

def poses(x):
    out = []
    for i, b in enumerate(bodies):
        r = rodrigues(x[6*i+3:6*i+6]) @ b["R"]
        out.append((b["At"] + x[6*i:6*i+3], r))
    return out

def where(x, p, anchor):
    kind, index, point = anchor
    if kind == 0:
        return fixed[index] + 0 * x[0]
    if kind == 1:
        return nodes[index] + x[6*nb+3*index:6*nb+3*index+3]
    at, r = p[index]
    return at + r @ (np.array(point) - bodies[index]["CG"])

def norm(v):
    return np.sqrt(np.sum(v * v, axis=-1))

def length(x, p, line):
    spots = [where(x, p, a) for a in line["Path"]]
    return sum(norm(b - a) for a, b in zip(spots, spots[1:]))

S = (np.arange(1000) + 0.5) / 1000

def segment(y, a, b):
    e = b - a
    s = ((y - a) @ e) / (e @ e)
    s = np.where(s.real < 0, 0, np.where(s.real > 1, 1, s))
    return norm(y - a - s[:, None] * e)

def box(y, centre, half):
    y = y - centre
    out = np.where(y.real < 0, -y, y) - half
    beyond = np.where(out.real > 0, out, 0)
    far = np.sum(beyond * beyond, axis=1)
    inner = out[np.arange(len(y)), np.argmax(out.real, axis=1)]
    return np.where(far.real > 0, np.sqrt(far + 1e-300), inner)

def squared(p):
    return np.mean(np.where(p.real > 0, p, 0) ** 2)

def energy(x):
    p = poses(x)
    e = 0
    for b, (at, r) in zip(bodies, p):
        e = e + b["Weight"] * at[2]
    for l in lines:
        stretch = length(x, p, l) - l["Length"]
        if stretch.real > 0:
            e = e + 0.5 * l["Stiffness"] * stretch ** 2
    k = job["K"]
    ends = []
    for c in job["Capsules"]:
        i = c["Body"]
        ends.append([where(x, p, (2, i, c[q])) for q in "AB"])
    for i, c in enumerate(job["Capsules"]):
        a, b = ends[i]
        y = a + S[:, None] * (b - a)
        for j, d in enumerate(job["Capsules"]):
            if c["Body"] != d["Body"]:
                e = e + k / 4 * squared(c["Radius"] + d["Radius"] - segment(y, *ends[j]))
        for d in job["Boxes"]:
            if c["Body"] != d["Body"]:
                at, r = p[d["Body"]]
                inside = (y - at) @ r + bodies[d["Body"]]["CG"]
                e = e + k / 2 * squared(c["Radius"] - box(inside, np.array(d["Centre"]), np.array(d["Half"])))
    return e

def gradient(x):
    g = np.empty(len(x))
    for i in range(len(x)):
        z = x.astype(complex)
        z[i] += 1e-30j
        g[i] = energy(z).imag / 1e-30
    return g

x = np.zeros(6 * nb + nodes.size)
weight = sum(b["Weight"] for b in bodies)
for _ in range(3):
    x = minimize(lambda x: energy(x.astype(complex)).real / weight, x,
                 jac=lambda x: gradient(x) / weight, method="BFGS",
                 options={"gtol": 1e-9, "maxiter": 2000}).x
for _ in range(6):
    g = gradient(x)
    if np.abs(g).max() < 1e-10 * weight:
        break
    h = np.empty((len(x), len(x)))
    for i in range(len(x)):
        d = np.zeros(len(x))
        d[i] = 1e-6
        h[i] = (gradient(x + d) - gradient(x - d)) / 2e-6
    x = x - np.linalg.lstsq((h + h.T) / 2, g, rcond=1e-9)[0]
z = x.astype(complex)
p = poses(z)
json.dump({
    "Tensions": [float(l["Stiffness"] * max(0, length(z, p, l).real - l["Length"])) for l in lines],
    "Residual": float(np.abs(gradient(x)).max()),
    "Energy": float(energy(z).real),
}, sys.stdout)
`

// scipyJob writes a model and a start for the script.
func scipyJob(t *testing.T, m *Model, start *State) string {
	t.Helper()
	type body struct {
		Weight float64
		R      Mat
		At, CG Vec
	}
	type line struct {
		Path              [][3]any
		Length, Stiffness float64
	}
	job := struct {
		Bodies   []body
		Lines    []line
		Fixed    []Vec
		Nodes    []Vec
		Capsules []Capsule
		Boxes    []Box
		K        float64
	}{Fixed: m.Fixed, Nodes: start.Nodes, K: m.ContactStiffness, Capsules: m.Capsules, Boxes: m.Boxes}
	if job.Nodes == nil {
		job.Nodes = []Vec{}
	}
	if job.Capsules == nil {
		job.Capsules = []Capsule{}
	}
	if job.Boxes == nil {
		job.Boxes = []Box{}
	}
	for i, b := range m.Bodies {
		p := start.Bodies[i]
		job.Bodies = append(job.Bodies, body{b.Mass * m.Gravity, p.Turn.Normalized().Matrix(), p.At(b.CG), b.CG})
	}
	for _, l := range m.Lines {
		var path [][3]any
		for _, a := range l.Path {
			path = append(path, [3]any{a.Kind, a.Index, a.Point})
		}
		job.Lines = append(job.Lines, line{path, l.Length, l.Stiffness})
	}
	text, err := json.Marshal(job)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func TestSolve_AgreesWithScipy(t *testing.T) {
	python := extra.Need(t, "scipy")
	even := [4]float64{4.8, 4.8, 4.8, 4.8}
	pendant := model(Vec{})
	pendant.Nodes = 1
	pendant.Lines = []Line{{[]Anchor{fixedAt(0), nodeAt(0)}, 3, 2e5}}
	crate(pendant, nodeAt(0), .5, 1e6)
	pendant.Bodies[0].CG = Vec{.25, .05, .55}

	loop := model(Vec{})
	loop.Bodies = []Body{{Mass: 500, CG: Vec{.1, .05, -.8}, Ground: Pose{Turn: Identity}}}
	loop.Lines = []Line{{[]Anchor{fixedAt(0), onBody(0, -1, 0, 0), onBody(0, 1, 0, 0), fixedAt(0)}, 7, 2e5}}

	two := model(Vec{}, Vec{1.5, .2, .1})
	crate(two, fixedAt(0), .5, 1e6)
	two.Lines[1].Path[0], two.Lines[3].Path[0] = fixedAt(1), fixedAt(1)

	pair := drums(2)
	pair.Bodies[0].CG = Vec{.03, .05, .6}
	// Three drums gather in one of several ways; both start beside one.
	three := drums(3)
	three.Bodies[0].CG = Vec{.03, .05, .6}
	var s Solver
	var near Solution
	s.Solve(three, nil, &near)
	beside := near.State.Clone()
	r := rand.New(rand.NewPCG(4, 4))
	for i := range beside.Bodies {
		beside.Bodies[i].Origin = Add(beside.Bodies[i].Origin, random(r, .01))
	}
	boxed := drums(2)
	boxed.Capsules = boxed.Capsules[:1]
	boxed.Boxes = []Box{{1, Vec{0, 0, .675}, Vec{.6, .7, .675}}}
	boxed.Bodies[1].CG = Vec{.02, .03, .7}

	for _, c := range []struct {
		name  string
		m     *Model
		from  *State
		touch bool
	}{
		{"four legs, CG off", fourLegs(1e6, Vec{.3, .2, 0}, even), nil, false},
		{"four legs, one short", fourLegs(2e7, Vec{}, [4]float64{4.78, 4.8, 4.8, 4.8}), nil, false},
		{"a crate under a pendant", pendant, nil, false},
		{"a loop that slides over two points", loop, nil, false},
		{"two fixed points", two, nil, false},
		{"two drums", pair, nil, true},
		{"three drums", three, &beside, true},
		{"a drum against a box", boxed, nil, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out Solution
			s.Solve(c.m, c.from, &out)
			if !out.Converged || !out.Stable {
				t.Fatalf("converged %v, stable %v", out.Converged, out.Stable)
			}
			start := c.from
			if start == nil {
				start = &s.w.start
			}
			if touches := s.Touches(); c.touch != (len(touches) > 0) {
				t.Fatalf("touching: %v", touches)
			}
			cmd := exec.Command(python, "-c", minimise)
			cmd.Env = append(cmd.Environ(), "OMP_NUM_THREADS=1", "OPENBLAS_NUM_THREADS=1")
			cmd.Stdin = strings.NewReader(scipyJob(t, c.m, start))
			var complaint strings.Builder
			cmd.Stderr = &complaint
			text, err := cmd.Output()
			if err != nil {
				t.Fatalf("%v\n%s", err, complaint.String())
			}
			var theirs struct {
				Tensions         []float64
				Residual, Energy float64
			}
			if err := json.Unmarshal(text, &theirs); err != nil {
				t.Fatal(err)
			}
			weight := c.m.Weight()
			// Both residuals are below 1e-8 of the weight, which the softest
			// directions, of a twentieth of the weight per metre, turn into
			// 2e-7 m. In contact the script's sum over 1000 points is off by
			// 1e-6, the solver's by no more.
			tolerance := 1e-6 * weight
			if c.touch {
				tolerance = 1e-5 * weight
			}
			if !(theirs.Residual < 1e-8*weight) || len(theirs.Tensions) != len(c.m.Lines) {
				t.Fatalf("scipy stopped at %g N, with %d lines", theirs.Residual, len(theirs.Tensions))
			}
			worst := 0.0
			for i, want := range theirs.Tensions {
				got := out.Lines[i].Tension
				worst = math.Max(worst, math.Abs(got-want))
				if math.Abs(got-want) > tolerance {
					t.Errorf("line %d: %.6f N, scipy says %.6f N", i, got, want)
				}
			}
			t.Logf("largest difference %.2g N of a weight of %.0f N; scipy's residual %.2g N", worst, weight, theirs.Residual)
		})
	}
}
