#!/usr/bin/python3
"""Hangs a rig by another program, for the expected numbers of the vectors.

    /usr/bin/python3 hang.py RIG.yaml

Shares nothing with Hangtrue but the definitions of the format: it reads the
rig with PyYAML, goes downhill in energy with scipy's BFGS and finishes with
scipy's Levenberg-Marquardt on the forces, contacts summed over 20000 points.
Needs numpy, scipy and PyYAML. It knows the keys that the vectors use.
"""
import json
import sys

import numpy as np
import yaml
from scipy.optimize import least_squares, minimize
from scipy.spatial.transform import Rotation

G = 9.80665
UNIT = {"m": 1, "cm": 0.01, "mm": 0.001, "ft": 0.3048, "in": 0.0254, "kg": 1, "t": 1000, "lb": 0.45359237,
        "N": 1, "kN": 1000, "lbf": 0.45359237 * G, "deg": np.pi / 180, "%": 0.01, "L": 0.001, "kg/m3": 1}
K = 200e3


def si(text):
    number, unit = str(text).split(" ")
    return float(number) * UNIT[unit]


def force(text):
    number, unit = text.split(" ")
    return si(text) * (G if unit in ("kg", "t", "lb") else 1)


def place(v):
    return np.array([si(x) for x in v]) if v else np.zeros(3)


def ea(text):
    ratio, pull = text.split(" at ")
    return force(pull) / si(ratio)


class Rig:
    def __init__(self, text):
        y = yaml.load(text, Loader=yaml.BaseLoader)
        self.bodies = y["bodies"]
        self.index = {b["id"]: i for i, b in enumerate(self.bodies)}
        self.mass, self.cg, self.ground, self.heading, self.points = [], [], [], [], []
        for b in self.bodies:
            shape = b.get("shape", {})
            height = si(shape["box"][2]) if "box" in shape else 0
            if "drum" in shape:
                height = si(shape["drum"]["length" if shape["drum"].get("axis") == "z" else "diameter"])
            middle = np.array([0, 0, height / 2])
            cg = place(b.get("cg")) if "cg" in b else middle
            parts = [(si(b["mass"]), cg)] if "mass" in b else []
            parts += [(si(i["mass"]), place(i["at"])) for i in b.get("items", [])]
            if "contents" in b:
                c = b["contents"]
                m = si(c["mass"]) if "mass" in c else si(c["volume"]) * si(c["density"])
                parts += [(m, place(c["at"]) if "at" in c else middle), (si(b.get("tare", "0 kg")), cg)]
            m = sum(p[0] for p in parts)
            self.mass.append(m)
            self.cg.append(sum(p[0] * p[1] for p in parts) / m)
            self.ground.append(place(b.get("at")))
            self.heading.append(si(b.get("heading", "0 deg")))
            self.points.append({k: place(p["at"] if isinstance(p, dict) else p) for k, p in b.get("points", {}).items()})
        self.weight = sum(self.mass) * G
        self.apex = {}
        self.nodes = 0
        self.lines = []  # (a, b, length, stiffness, leg, run)
        self.apexes = y.get("apex", [{"id": "apex"}])
        for a in self.apexes:
            end = ("fixed", place(a.get("at")))
            if "pendant" in a:
                p = a["pendant"]
                node = self.node()
                self.lines.append((end, node, si(p["length"]), ea(p["stretch"]) / si(p["length"]), "pendant", -1))
                end = node
            self.apex[a.get("id", "apex")] = end
        self.legs = y.get("legs", [])
        self.grabs = []
        for leg in self.legs:
            self.leg(leg)

    def node(self):
        self.nodes += 1
        return ("node", self.nodes - 1)

    def end(self, name):
        if "." in name:
            body, point = name.split(".")
            return ("body", self.index[body], self.points[self.index[body]][point])
        return self.apex[name]

    def on_ground(self, end):
        i = end[1]
        return self.ground[i] + Rotation.from_rotvec([0, 0, self.heading[i]]).apply(end[2])

    def leg(self, leg):
        top = self.end(leg.get("from", next(iter(self.apex))))
        to = leg["to"] if isinstance(leg["to"], list) else [leg["to"]]
        to = [self.end(t) for t in to]
        rope = leg if "length" in leg else leg.get("rope", {})
        length = si(rope["length"]) if rope else 0.0
        soft = length / ea(rope["stretch"]) if rope else 0.0
        length += si(leg.get("fittings", "0 m"))
        loop, chain = 0.0, 0.0
        if "chain" in leg:
            c = leg["chain"]
            loop, chain = (int(c["links"]) - int(leg["count"])) * si(c["pitch"]), ea(c["stretch"])
        if len(to) == 1:
            if loop:
                soft += loop / (4 * chain)
            self.lines.append((top, to[0], length + loop / 2, 1 / soft, leg["id"], -1))
            return
        grab = self.node()
        self.lines.append((top, grab, length, 1 / soft, leg["id"], -1))
        runs = [np.linalg.norm(self.on_ground(b) - self.on_ground(a)) for a, b in zip(to, to[1:])]
        outer = (loop - sum(runs)) / 2
        stops = [grab] + to + [grab]
        for k, (a, b, run) in enumerate(zip(stops, stops[1:], [outer] + runs + [outer])):
            self.lines.append((a, b, run, chain / run, leg["id"], k))

    # A state is, per body, the CG and a rotation vector from its ground
    # attitude, and per node a position.
    def split(self, q):
        n = len(self.bodies)
        cg = q[: 6 * n].reshape(n, 6)[:, :3]
        turn = [Rotation.from_rotvec(q[6 * i + 3: 6 * i + 6]) * Rotation.from_rotvec([0, 0, self.heading[i]]) for i in range(n)]
        return cg, turn, q[6 * n:].reshape(-1, 3)

    def forces(self, q, longer={}):
        cg, turn, node = self.split(q)
        n = len(self.bodies)
        f = np.zeros((n, 6))
        fn = np.zeros((self.nodes, 3))
        f[:, 2] -= np.array(self.mass) * G
        energy = sum(m * G * c[2] for m, c in zip(self.mass, cg))

        def where(e):
            if e[0] == "body":
                return cg[e[1]] + turn[e[1]].apply(e[2] - self.cg[e[1]])
            return node[e[1]] if e[0] == "node" else e[1]

        def push(e, v):
            if e[0] == "body":
                f[e[1], :3] += v
                f[e[1], 3:] += np.cross(where(e) - cg[e[1]], v)
            elif e[0] == "node":
                fn[e[1]] += v

        tensions = {}
        for a, b, length, k, leg, run in self.lines:
            d = where(b) - where(a)
            is_long = np.linalg.norm(d)
            free = length + (longer.get(leg, 0) if run < 0 else 0)
            t = max(0.0, k * (is_long - free))
            tensions[leg, run] = t
            energy += t * t / (2 * k)
            if t:
                push(a, t * d / is_long)
                push(b, -t * d / is_long)
        for i in range(n):
            for j in range(n):
                if i != j:
                    energy += self.press(i, j, cg, turn, f)
        return np.concatenate([f.ravel(), fn.ravel()]), energy, tensions

    def capsule(self, i):
        d = self.bodies[i].get("shape", {}).get("drum")
        if not d:
            return None
        r, length = si(d["diameter"]) / 2, si(d["length"])
        axis = "xyz".index(d.get("axis", "x"))
        half = np.zeros(3)
        half[axis] = max(0, length / 2 - r)
        middle = np.array([0, 0, length / 2 if axis == 2 else r])
        return middle - half, middle + half, r

    def press(self, i, j, cg, turn, f, samples=20000):
        a = self.capsule(i)
        b = self.capsule(j)
        box = self.bodies[j].get("shape", {}).get("box")
        if a is None or (b is None and box is None):
            return 0.0
        world = lambda k, p: cg[k] + turn[k].apply(p - self.cg[k])
        p0, p1 = world(i, a[0]), world(i, a[1])
        s = (np.arange(samples) + 0.5)[:, None] / samples if np.any(a[0] != a[1]) else np.array([[0.5]])
        x = p0 + s * (p1 - p0)
        if b is not None:
            c, reach = 0.25 * K, a[2] + b[2]
            q0, q1 = world(j, b[0]), world(j, b[1])
            e = q1 - q0
            t = np.clip((x - q0) @ e / max(e @ e, 1e-300), 0, 1)
            v = x - q0 - t[:, None] * e
            d = np.linalg.norm(v, axis=1)
            away = v / np.maximum(d, 1e-300)[:, None]
        else:
            c, reach = 0.5 * K, a[2]
            half = place(box) / 2
            y = turn[j].inv().apply(x - world(j, np.array([0, 0, half[2]])))
            out = np.abs(y) - half
            v = np.sign(y) * np.maximum(out, 0)
            d = np.linalg.norm(v, axis=1)
            inside = np.all(out <= 0, axis=1)
            away = v / np.maximum(d, 1e-300)[:, None]
            face = np.argmax(out, axis=1)
            away[inside] = (np.eye(3)[face] * np.sign(y))[inside]
            d[inside] = np.max(out, axis=1)[inside]
            away = turn[j].apply(away)
        over = np.maximum(0, reach - d)
        push = 2 * c * over[:, None] * away / len(x)
        for k, sign in ((i, 1), (j, -1)):
            f[k, :3] += sign * push.sum(axis=0)
            f[k, 3:] += sign * np.cross(x - cg[k], push).sum(axis=0)
        return c * (over ** 2).sum() / len(x)

    def start(self):
        """The ground position, its common CG under the mean of the apexes, as high as energy likes it."""
        n = len(self.bodies)
        cgs = np.array([self.ground[i] + Rotation.from_rotvec([0, 0, self.heading[i]]).apply(self.cg[i]) for i in range(n)])
        hooks = np.mean([place(a.get("at")) for a in self.apexes], axis=0)
        shift = hooks - np.average(cgs, axis=0, weights=self.mass)

        def at(z, nodes):
            q = np.zeros((n, 6))
            q[:, :3] = cgs + shift + [0, 0, z]
            return np.concatenate([q.ravel(), nodes])

        nodes = np.tile(hooks - [0, 0, 1.0], (self.nodes, 1)).ravel() if self.nodes else np.zeros(0)
        best = minimize(lambda x: self.forces(at(x[0], x[1:]))[1], np.concatenate([[-5.0], nodes]), method="Nelder-Mead",
                        options={"maxiter": 20000, "maxfev": 20000, "xatol": 1e-6, "fatol": 1e-6})
        return at(best.x[0], best.x[1:])

    def hang(self, longer={}, q=None):
        q = self.start() if q is None else q
        scale = self.weight
        for _ in range(4):
            r = minimize(lambda x: self.forces(x, longer)[1] / scale, q, jac=lambda x: -self.forces_as_slope(x, longer) / scale,
                         method="BFGS", options={"maxiter": 3000, "gtol": 1e-9})
            q = r.x
        r = least_squares(lambda x: self.forces(x, longer)[0] / scale, q, method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15)
        return r.x

    def forces_as_slope(self, q, longer):
        """Forces by the coordinates themselves: a rotation vector turns moments by its own tangent."""
        f = self.forces(q, longer)[0].copy()
        for i in range(len(self.bodies)):
            w = q[6 * i + 3: 6 * i + 6]
            a = np.linalg.norm(w)
            if a < 1e-9:
                continue
            u = w / a
            x = np.array([[0, -u[2], u[1]], [u[2], 0, -u[0]], [-u[1], u[0], 0]])
            left = np.eye(3) + (1 - np.cos(a)) / a * x + (a - np.sin(a)) / a * x @ x
            f[6 * i + 3: 6 * i + 6] = left.T @ f[6 * i + 3: 6 * i + 6]
        return f

    def report(self, longer={}, q=None):
        q = self.hang(longer, q)
        f, _, tensions = self.forces(q, longer)
        cg, turn, node = self.split(q)
        out = {"left_over_of_weight": float(np.abs(f).max() / self.weight), "bodies": {}, "legs": {}, "q": q}
        for i, b in enumerate(self.bodies):
            m = turn[i].as_matrix()
            g = np.zeros((len(self.bodies), 6))
            for j in range(len(self.bodies)):
                if j != i:
                    self.press(i, j, cg, turn, g)
                    self.press(j, i, cg, turn, g)
            out["bodies"][b["id"]] = {"cg_m": cg[i].tolist(), "pitch_deg": float(np.degrees(np.arcsin(m[2, 0]))),
                                      "roll_deg": float(np.degrees(np.arctan2(m[2, 1], m[2, 2]))),
                                      "contact_n": float(np.linalg.norm(g[i, :3]))}
        for (leg, run), t in tensions.items():
            out["legs"][leg if run < 0 else f"{leg}[{run}]"] = float(t)
        return out


if __name__ == "__main__":
    report = Rig(open(sys.argv[1]).read()).report()
    del report["q"]
    print(json.dumps(report, indent=1))
