package web

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/policy/extra"
)

// Forty tablets save an answer every two seconds. What is asserted is that each
// answer is there once; how long it took is written to the log. HANGTRUE_SAVING
// says for how many seconds: 20 where all extras are asked for, 3 otherwise.
func TestSaving_FortyTablets(t *testing.T) {
	const tablets, every = 40, 2 * time.Second
	seconds := 3
	if len(extra.Required()) > 0 {
		seconds = 20
	}
	if text := os.Getenv("HANGTRUE_SAVING"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 {
			t.Fatalf("HANGTRUE_SAVING is %q", text)
		}
		seconds = n
	}
	k := walkersCopy(t, realClock)
	at := "http://" + k.serveOn()
	type one struct {
		*tabletOf
		tasks []inspection.Task
		took  []time.Duration
		err   error
	}
	all := make([]*one, tablets)
	for i := range all {
		x := &one{tabletOf: k.tablet(k.ivo, k.begun(k.ivo, "frame"))}
		_, state, err := k.all.Inspection(t.Context(), person("x"), x.id)
		if err != nil {
			t.Fatal(err)
		}
		x.tasks, all[i] = state.Begin.Tasks, x
	}
	cookie := ""
	for name, value := range k.ivo.cookies {
		cookie = name + "=" + value
	}
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: tablets}}
	t.Cleanup(client.CloseIdleConnections)
	save := func(x *one, e inspection.Event) error {
		data, err := json.Marshal(delivery{By: k.id[k.ivo], Events: []inspection.Event{e}})
		if err != nil {
			return err
		}
		q, err := http.NewRequest("POST", at+"/inspect/"+x.id+"/events", bytes.NewReader(data))
		if err != nil {
			return err
		}
		q.Header.Set("Cookie", cookie)
		q.Header.Set("Accept", "application/json")
		start := time.Now()
		r, err := client.Do(q)
		if err != nil {
			return err
		}
		defer r.Body.Close()
		text, err := io.ReadAll(r.Body)
		if err != nil {
			return err
		}
		x.took = append(x.took, time.Since(start))
		var out taken
		if err := json.Unmarshal(text, &out); err != nil || r.StatusCode != http.StatusOK || out.Outcomes[0].Refused != "" {
			return fmt.Errorf("%d %s %w", r.StatusCode, text, err)
		}
		return nil
	}
	// The answers are made first, since making them is not what is measured.
	for _, x := range all {
		for n := range seconds/2 + 1 {
			x.event(inspection.Answer, inspection.Reply{Task: x.tasks[n%len(x.tasks)], Answer: inspection.Right, Text: "as it should be"})
		}
	}
	used := processorTime(t)
	ctx, cancel := context.WithTimeout(t.Context(), time.Duration(seconds)*time.Second)
	defer cancel()
	start := time.Now()
	var wg sync.WaitGroup
	for i, x := range all {
		wg.Go(func() {
			// Not all at the same moment.
			next := time.NewTimer(every * time.Duration(i) / tablets)
			defer next.Stop()
			for _, e := range x.made {
				select {
				case <-ctx.Done():
					return
				case <-next.C:
				}
				next.Reset(every)
				if x.err = save(x, e); x.err != nil {
					return
				}
			}
		})
	}
	wg.Wait()
	took := time.Since(start)
	used = processorTime(t) - used
	var times []time.Duration
	for _, x := range all {
		if x.err != nil {
			t.Error(x.err)
		}
		var want []string
		for _, e := range x.made[:len(x.took)] {
			want = append(want, e.ID)
		}
		k.keptOnce(x.id, want)
		times = append(times, x.took...)
	}
	if len(times) < tablets {
		t.Fatalf("only %d answers were saved", len(times))
	}
	slices.Sort(times)
	share := func(p float64) time.Duration { return times[int(p*float64(len(times)-1))].Round(10 * time.Microsecond) }
	t.Logf("%d answers of %d tablets in %v: half within %v, 90 %% within %v, 99 %% within %v, slowest %v; processor time %v, %.0f %% of one processor, tablets and server together",
		len(times), tablets, took.Round(time.Millisecond), share(0.5), share(0.9), share(0.99), share(1), used, 100*used.Seconds()/took.Seconds())
}

// processorTime is what this process has used of the processors; 0 where the
// system does not tell.
func processorTime(t *testing.T) time.Duration {
	t.Helper()
	text, err := os.ReadFile("/proc/self/stat")
	if err != nil {
		return 0
	}
	// Fields after the program's name in brackets; 14 and 15 are user and system
	// time in hundredths of a second (proc_pid_stat(5)).
	_, rest, _ := strings.Cut(string(text), ") ")
	f := strings.Fields(rest)
	if len(f) < 13 {
		return 0
	}
	user, errA := strconv.Atoi(f[11])
	system, errB := strconv.Atoi(f[12])
	if errA != nil || errB != nil {
		return 0
	}
	return time.Duration(user+system) * 10 * time.Millisecond
}
