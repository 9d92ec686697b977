package outside

import "testing"

func TestFlights_AllHold(t *testing.T) {
	n := 0
	for _, c := range flights() {
		n++
		got, err := c.Got()
		if err != nil || !(got >= c.Want-c.Tolerance && got <= c.Want+c.Tolerance) {
			t.Errorf("%s: %.8g %s (%v), want %.8g ± %.2g", c.ID, got, c.Unit, err, c.Want, c.Tolerance)
		}
	}
	if n != 15 {
		t.Errorf("%d checks of flight, want 15", n)
	}
}
