package web

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"testing"
	"time"
)

// waiting is a computation that runs until it is stopped.
func waiting(ctx context.Context, tell progress) (any, error) {
	tell(3, 10)
	<-ctx.Done()
	return "what it had", ctx.Err()
}

func TestJobs_OneOfAKindStopsWithWhatItHad(t *testing.T) {
	j := newJobs()
	a, fresh, err := j.start("v", "search", "asked", waiting)
	if err != nil || !fresh {
		t.Fatal(fresh, err)
	}
	if b, fresh, err := j.start("v", "search", "other", waiting); b != a || fresh || err != nil {
		t.Errorf("a second of its kind began: %v, %v", fresh, err)
	}
	if b, fresh, _ := j.start("v", "map", nil, waiting); b == a || !fresh {
		t.Error("another kind did not begin")
	}
	for a.now().Done != 3 { // until it is under way
		runtime.Gosched()
	}
	a.end()
	if r, err := a.outcome(); r != "what it had" || !errors.Is(err, context.Canceled) || !a.now().Stopped || a.now().Running {
		t.Errorf("stopped with %v, %v, %+v", r, err, a.now())
	}
	if j.find("v", "search") != a || j.find("w", "search") != nil {
		t.Error("what was computed is not found by its version")
	}
	if _, fresh, err := j.start("v", "search", nil, func(context.Context, progress) (any, error) { return 1, nil }); !fresh || err != nil {
		t.Errorf("it cannot be begun again: %v", err)
	}
	j.endAll()
}

func TestJobs_Bounded(t *testing.T) {
	j := newJobs()
	defer j.endAll()
	var list []*job
	for i := range mostRunning + mostWaiting {
		x, _, err := j.start(fmt.Sprint(i), "search", nil, waiting)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, x)
	}
	if _, _, err := j.start("one more", "search", nil, waiting); !errors.As(err, new(refusal)) {
		t.Errorf("one beyond the bound: %v", err)
	}
	// Those that wait in line can be stopped before they begin.
	for _, x := range list {
		x.stop()
		x.wait(10 * time.Second)
	}
	if x, fresh, err := j.start("one more", "search", nil, waiting); err != nil || !fresh || x == nil {
		t.Errorf("after all ended: %v", err)
	}
	for i := range 3 * mostJobs {
		x, _, err := j.start(fmt.Sprint("short", i), "search", nil, func(context.Context, progress) (any, error) { return i, nil })
		if err != nil {
			t.Fatal(err)
		}
		x.wait(10 * time.Second)
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	if len(j.known) > mostJobs || len(j.order) != len(j.known) || j.known[jobKey{"one more", "search"}] == nil {
		t.Errorf("%d remembered, %d in order", len(j.known), len(j.order))
	}
}
