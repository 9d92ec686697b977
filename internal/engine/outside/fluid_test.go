package outside_test

import (
	"strings"
	"testing"

	"hangtrue/internal/engine/outside"
)

// A list that comes out empty must not look like one that holds.
func TestAll_HasTheChecksOfLiquidsAirAndLift(t *testing.T) {
	rooms := map[string]int{}
	for _, c := range outside.All() {
		room, _, _ := strings.Cut(c.ID, "/")
		rooms[room]++
	}
	for room, want := range map[string]int{"liquid": 28, "air": 39, "lift": 14} {
		if rooms[room] != want {
			t.Errorf("%d checks of %s, want %d", rooms[room], room, want)
		}
	}
}
