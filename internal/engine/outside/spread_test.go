package outside

import "testing"

func TestSpreads_AllHold(t *testing.T) {
	n := 0
	for _, c := range spreads() {
		n++
		got, err := c.Got()
		if err != nil || !(got >= c.Want-c.Tolerance && got <= c.Want+c.Tolerance) {
			t.Errorf("%s: %.6g (%v), want %.6g ± %.2g", c.ID, got, err, c.Want, c.Tolerance)
		}
	}
	if n != 6 {
		t.Errorf("%d checks of spreads, want 6", n)
	}
}
