package spelling

import "testing"

func TestCount(t *testing.T) {
	for n, want := range []string{"0 runs", "1 run", "2 runs"} {
		if got := Count(n, "run", "runs"); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}
