package teach

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"
)

// A tablet may send anything as the entries of a run. What is taken makes a run
// that can be graded, and then every planted item is found or missed, not both.
func FuzzRunEvents(f *testing.F) {
	f.Add(strings.Join([]string{
		string(RunStart) + ` {"version":"v","student":"s"}`,
		string(CallFound) + ` {"deficiency":"a"}`,
		string(CallTrue) + ` {"text":"split pin"}`,
		string(CallUndone) + ` {"undoes":"event00000000000000000002"}`,
		string(CallPut) + ` {}`,
		string(RunEnd) + ` {"after":60000}`,
	}, "\n"))
	start := time.Date(2026, 5, 31, 10, 0, 0, 0, time.UTC)
	f.Fuzz(func(t *testing.T, text string) {
		var events []RunEvent
		for i, line := range strings.Split(text, "\n") {
			kind, body, _ := strings.Cut(line, " ")
			e := RunEvent{
				ID: fmt.Sprintf("event%020d", i), Run: "run00000000000000000000", Device: "device00000000000000000",
				N: int64(i + 1), Kind: CallKind(kind), At: start.Add(time.Duration(i) * time.Second), Body: json.RawMessage(body), By: "g",
			}
			if e.Check() == nil {
				events = append(events, e)
			}
		}
		s, err := FoldRun(events)
		if err != nil {
			return
		}
		if c := s.Clock(start.Add(time.Hour)); c < 0 || c > time.Hour {
			t.Errorf("the clock shows %s after an hour", c)
		}
		planted := []string{"a", "b"}
		n, within, none, right := 2, time.Hour, 0, true
		g := GradeVersion(Rule{Found: &n, Within: &within, False: &none, FigureRight: &right}, planted, nil, s)
		for _, id := range planted {
			found, missed := slices.Contains(g.Found, id), slices.Contains(g.Missed, id)
			if found == missed {
				t.Errorf("%s is found %v and missed %v in %q", id, found, missed, text)
			}
		}
	})
}
