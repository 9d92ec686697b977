package audit_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"hangtrue/internal/engine/audit"
)

// spot is one number of a solution, with how to change it.
type spot struct {
	path string
	is   float64
	set  func(float64)
}

// spots lists every number of a decoded solution.
func spots(v any, path string, put func(any)) []spot {
	var out []spot
	switch v := v.(type) {
	case float64:
		out = append(out, spot{path, v, func(x float64) { put(x) }})
	case []any:
		for i := range v {
			out = append(out, spots(v[i], fmt.Sprintf("%s[%d]", path, i), func(x any) { v[i] = x })...)
		}
	case map[string]any:
		for k := range v {
			out = append(out, spots(v[k], path+"."+k, func(x any) { v[k] = x })...)
		}
	}
	return out
}

// wrong is how far a number is changed: a thousandth of it, at least what a
// person who reads the number would still see.
func wrong(path string, x, weight float64) float64 {
	least := 1e-4
	switch {
	case strings.Contains(path, "_n["), strings.HasSuffix(path, "_n"), strings.HasSuffix(path, "_per_m"):
		least = 1e-4 * weight
	case strings.HasSuffix(path, "_deg"):
		least = 1e-3
	case strings.HasSuffix(path, ".count"):
		least = 1
	}
	return math.Max(least, 1e-3*math.Abs(x))
}

// TestRun_CatchesEveryWrongNumber changes each number of a solution in turn.
// The residual alone may be another small number: it is rounding.
func TestRun_CatchesEveryWrongNumber(t *testing.T) {
	// The slow ones, with contact or shared loops, only where the others have
	// nothing alike.
	only := map[string][]string{
		"drums-side-by-side": {".contacts", ".bodies[0]", "lowest"},
		"racks-shared-loops": {".nodes", "run_tensions", ".bodies[1].quaternion"},
		"drums-four-small":   {".contacts[0]"},
	}
	tried := 0
	for _, r := range rigs() {
		t.Run(r.Name, func(t *testing.T) {
			out := solved(t, r.Data)
			var root map[string]any
			if err := json.Unmarshal(out, &root); err != nil {
				t.Fatal(err)
			}
			weight := root["weight_n"].(float64)
			here := 0
			for _, s := range spots(root, "", nil) {
				if s.path == ".residual_n" {
					continue
				}
				if some := only[r.Name]; some != nil && !containsAny(s.path, some) {
					continue
				}
				here++
				by := wrong(s.path, s.is, weight)
				s.set(s.is + by)
				data, err := json.Marshal(root)
				s.set(s.is)
				if err != nil {
					t.Fatal(err)
				}
				report, err := audit.Run(r.Data, data)
				if err != nil {
					t.Errorf("%s: %v", s.path, err)
				} else if len(report.Disagreements) == 0 {
					t.Errorf("%s changed from %.9g to %.9g: nothing disagrees", s.path, s.is, s.is+by)
				}
			}
			if here < 1 {
				t.Errorf("only %d numbers were changed", here)
			}
			tried += here
		})
	}
	if tried < 500 {
		t.Errorf("only %d numbers were changed", tried)
	}
}

func containsAny(s string, some []string) bool {
	for _, x := range some {
		if strings.Contains(s, x) {
			return true
		}
	}
	return false
}

// TestRun_CatchesWrongWords changes what a person reads first.
func TestRun_CatchesWrongWords(t *testing.T) {
	data := []byte(counted)
	good := string(solved(t, data))
	n := 0
	for _, c := range []struct{ from, to, about string }{
		{`"result": "does-not-stand"`, `"result": "within"`, "result"},
		{`"status": "follows an approved procedure"`, `"status": "no approved procedure entered"`, "status"},
		{`"stable": true`, `"stable": false`, "stable"},
		{`"converged": true`, `"converged": false`, "converged"},
		{`"invented": false`, `"invented": true`, "invented"},
		{`"slack": true`, `"slack": false`, "legs[4].slack"},
		{`"redundant": true`, `"redundant": false`, "legs[0].redundant"},
		{`"joined": false`, `"joined": true`, "bodies[1].joined"},
		{`"over": true`, `"over": false`, "checks["},
		{`"unit": "deg"`, `"unit": "N"`, "checks["},
		{`"hook of apex"`, `"hook of apse"`, "checks"},
		{`"clevis RL"`, `"clevis XX"`, "not_entered"},
		{`"id": "FR"`, `"id": "RF"`, "legs[1].id"},
		{`"id": "S"`, `"id": "SS"`, "sets[0].id"},
		{`"residual_n": `, `"residual_n": 1e9, "was": `, "residual_n"},
	} {
		n++
		bad := strings.Replace(good, c.from, c.to, 1)
		if bad == good {
			t.Errorf("the solution has no %s", c.from)
			continue
		}
		report, err := audit.Run(data, []byte(bad))
		if err != nil {
			t.Errorf("%s: %v", c.to, err)
			continue
		}
		found := false
		for _, d := range report.Disagreements {
			found = found || strings.HasPrefix(d.About, c.about)
		}
		if !found {
			t.Errorf("%s: got %v, want a disagreement about %s", c.to, report.Disagreements, c.about)
		}
	}
	if n != 15 {
		t.Errorf("%d words were changed", n)
	}
}
