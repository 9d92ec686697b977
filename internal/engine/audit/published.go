package audit

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strings"
)

// published is a solution as the audit reads it: keys and values, and which
// numbers have been compared.
type published struct {
	root     map[string]any
	compared map[string]bool
	err      error
}

func readPublished(data []byte) (*published, error) {
	p := &published{compared: map[string]bool{}}
	d := json.NewDecoder(bytes.NewReader(data))
	if err := d.Decode(&p.root); err != nil {
		return nil, fmt.Errorf("solution: it is not JSON with keys: %w", err)
	}
	if d.More() {
		return nil, fmt.Errorf("solution: there is more after its end")
	}
	if f := p.root["format"]; f != "hangtrue.solution/1" {
		return nil, fmt.Errorf("solution: its format is %v; hangtrue.solution/1 is known here", f)
	}
	return p, nil
}

func (p *published) fail(path, want string) {
	if p.err == nil {
		p.err = fmt.Errorf("solution: %s is not %s", path, want)
	}
}

// items returns the objects of a list.
func (p *published) items(in map[string]any, path, key string) []map[string]any {
	list, ok := in[key].([]any)
	if !ok {
		p.fail(path+key, "a list")
	}
	var out []map[string]any
	for i, x := range list {
		m, ok := x.(map[string]any)
		if !ok {
			p.fail(fmt.Sprintf("%s%s[%d]", path, key, i), "an object")
		}
		out = append(out, m)
	}
	return out
}

// number returns a number that must be there.
func (p *published) number(in map[string]any, path, key string) float64 {
	x, ok := in[key].(float64)
	if !ok {
		p.fail(path+key, "a number")
	}
	p.compared[path+key] = true
	return x
}

// numbers returns a list of n numbers, of any length for n = −1.
func (p *published) numbers(in map[string]any, path, key string, n int) []float64 {
	list, ok := in[key].([]any)
	if !ok || n >= 0 && len(list) != n {
		p.fail(path+key, fmt.Sprintf("a list of %d numbers", n))
		return make([]float64, max(n, 0))
	}
	var out []float64
	for i, v := range list {
		x, ok := v.(float64)
		if !ok {
			p.fail(fmt.Sprintf("%s%s[%d]", path, key, i), "a number")
		}
		p.compared[fmt.Sprintf("%s%s[%d]", path, key, i)] = true
		out = append(out, x)
	}
	return out
}

func (p *published) vec(in map[string]any, path, key string) vec {
	return vec(p.numbers(in, path, key, 3))
}

func (p *published) yes(in map[string]any, path, key string) bool {
	b, ok := in[key].(bool)
	if !ok {
		p.fail(path+key, "true or false")
	}
	return b
}

func (p *published) text(in map[string]any, path, key string) string {
	s, ok := in[key].(string)
	if !ok {
		p.fail(path+key, "a text")
	}
	return s
}

// uncompared lists the numbers that nothing was held against.
func (p *published) uncompared() []string {
	var out []string
	var walk func(v any, path string)
	walk = func(v any, path string) {
		switch v := v.(type) {
		case float64:
			if !p.compared[path] {
				out = append(out, path)
			}
		case []any:
			for i, x := range v {
				walk(x, fmt.Sprintf("%s[%d]", path, i))
			}
		case map[string]any:
			for _, k := range sortedKeys(v) {
				walk(v[k], strings.TrimPrefix(path+"."+k, "."))
			}
		}
	}
	walk(p.root, "")
	return out
}

// position puts the load where the solution says it is.
func (p *published) position(s *state) error {
	bodies, nodes := p.items(p.root, "", "bodies"), p.items(p.root, "", "nodes")
	apexes := p.items(p.root, "", "apexes")
	if p.err != nil {
		return p.err
	}
	if len(bodies) != len(s.load.bodies) || len(apexes) != len(s.load.apexes) || len(p.items(p.root, "", "legs")) != len(s.load.legs) {
		return fmt.Errorf("solution: it has %d bodies, %d apexes and %d legs, and the rig has %d, %d and %d: it is not of this rig",
			len(bodies), len(apexes), len(p.items(p.root, "", "legs")), len(s.load.bodies), len(s.load.apexes), len(s.load.legs))
	}
	for i, b := range bodies {
		path := fmt.Sprintf("bodies[%d].", i)
		if id := p.text(b, path, "id"); id != s.load.bodies[i].id {
			return fmt.Errorf("solution: body number %d is %q, and in the rig it is %q", i+1, id, s.load.bodies[i].id)
		}
		m := fromQuaternion([4]float64(p.numbers(b, path, "quaternion_wxyz", 4)))
		s.turn = append(s.turn, m)
		s.load.bodies[i].settleLiquid(m.back(vec{0, 0, 1}))
		s.cg = append(s.cg, p.vec(b, path, "origin_m").plus(m.turn(s.load.bodies[i].cg)))
	}
	k := 0
	for i, a := range s.load.apexes {
		if a.pendant != nil {
			s.node[k] = p.vec(apexes[i], fmt.Sprintf("apexes[%d].", i), "position_m")
			k++
		}
	}
	if want := len(s.node) - k; len(nodes) != want {
		return fmt.Errorf("solution: it has %d nodes and the rig has %d", len(nodes), want)
	}
	for i, n := range nodes {
		s.node[k+i] = p.vec(n, fmt.Sprintf("nodes[%d].", i), "position_m")
	}
	for _, x := range s.node {
		if math.IsNaN(x.length()) {
			p.fail("nodes", "a list of positions")
		}
	}
	return p.err
}
