package web

import (
	"context"
	"net/http"
	"runtime"
	"sync"
	"time"
)

// Long computations. One is begun by a person who presses a button, runs on
// after the page is left, shows how far it is, can be stopped, and is then
// remembered by the version of the rig that it is of.

// mostRunning is how many run at the same time: each takes all processors, so
// more would only make all of them slow. Others wait in line, mostWaiting at
// most.
const (
	mostRunning = 2
	mostWaiting = 8
)

// mostJobs is how many ended ones are remembered; the oldest are forgotten.
const mostJobs = 40

// workers is how many goroutines one computation uses.
func workers() int { return runtime.GOMAXPROCS(0) }

// jobKey names what a job computes: of one version of a rig there is at most
// one of each kind.
type jobKey struct{ version, kind string }

// job is one computation. What can change is read by [job.now].
type job struct {
	key   jobKey
	asked any // what was entered; whoever shows the result shows this too
	stop  context.CancelFunc
	ended chan struct{}

	mu      sync.Mutex
	running bool // false while it waits in line
	done    int
	total   int
	stopped bool // a person stopped it
	over    bool
	result  any
	err     error
}

// jobNow is the state of a job at one moment.
type jobNow struct {
	Kind        string
	Running     bool // or waiting
	Waiting     bool
	Stopped     bool
	Done, Total int
}

// progress is told how far a computation is; it may be called often and from
// any goroutine.
type progress func(done, total int)

// jobs are the computations of one server.
type jobs struct {
	mu    sync.Mutex
	known map[jobKey]*job
	order []jobKey // the oldest first
	slots chan struct{}
	line  int // jobs that wait or run
}

func newJobs() *jobs {
	return &jobs{known: map[jobKey]*job{}, slots: make(chan struct{}, mostRunning)}
}

var tooBusy = refusal{http.StatusServiceUnavailable, "Too much at once", "Several long computations are running and more are waiting. Stop one of them, or try again when one has ended."}

// find returns the latest job of a version and kind, or nil.
func (j *jobs) find(version, kind string) *job {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.known[jobKey{version, kind}]
}

// start begins a computation, in place of the last one of its version and kind.
// One that is still running is not disturbed: it is returned with fresh false.
// run must return soon after its context ends, with what it has; the result is
// kept as it is.
func (j *jobs) start(version, kind string, asked any, run func(context.Context, progress) (any, error)) (x *job, fresh bool, err error) {
	key := jobKey{version, kind}
	j.mu.Lock()
	defer j.mu.Unlock()
	if have := j.known[key]; have != nil && have.now().Running {
		return have, false, nil
	}
	if j.line >= mostRunning+mostWaiting {
		return nil, false, tooBusy
	}
	ctx, cancel := context.WithCancel(context.Background())
	x = &job{key: key, asked: asked, stop: cancel, ended: make(chan struct{})}
	j.keep(x)
	j.line++
	go j.work(ctx, x, run)
	return x, true, nil
}

// keep remembers a job and forgets the oldest ended one beyond what is kept.
func (j *jobs) keep(x *job) {
	for i, k := range j.order {
		if k == x.key {
			j.order = append(j.order[:i], j.order[i+1:]...)
			break
		}
	}
	j.known[x.key] = x
	j.order = append(j.order, x.key)
	for i := 0; len(j.order) > mostJobs && i < len(j.order); i++ {
		if k := j.order[i]; !j.known[k].now().Running {
			delete(j.known, k)
			j.order = append(j.order[:i], j.order[i+1:]...)
			i--
		}
	}
}

func (j *jobs) work(ctx context.Context, x *job, run func(context.Context, progress) (any, error)) {
	defer x.stop()
	var result any
	var err error
	select {
	case j.slots <- struct{}{}:
		x.set(func() { x.running = true })
		result, err = run(ctx, func(done, total int) { x.set(func() { x.done, x.total = max(done, x.done), total }) })
		<-j.slots
	case <-ctx.Done():
		err = ctx.Err()
	}
	j.mu.Lock()
	j.line--
	j.mu.Unlock()
	x.set(func() { x.over, x.running, x.result, x.err = true, false, result, err })
	close(x.ended)
}

func (x *job) set(change func()) {
	x.mu.Lock()
	defer x.mu.Unlock()
	change()
}

// now returns how far the job is.
func (x *job) now() jobNow {
	x.mu.Lock()
	defer x.mu.Unlock()
	return jobNow{Kind: x.key.kind, Running: !x.over, Waiting: !x.over && !x.running, Stopped: x.stopped, Done: x.done, Total: x.total}
}

// outcome returns what an ended job gave; nil while it runs.
func (x *job) outcome() (any, error) {
	x.mu.Lock()
	defer x.mu.Unlock()
	return x.result, x.err
}

// end stops the job and waits until it has ended, or a moment.
func (x *job) end() {
	x.set(func() { x.stopped = x.stopped || !x.over })
	x.stop()
	x.wait(patienceAtStop)
}

// How long a request waits for a job: a quick one is shown at once, and one that
// was stopped usually ends within a batch.
const (
	patienceAtStart = 400 * time.Millisecond
	patienceAtStop  = 2 * time.Second
)

// wait waits for the end of the job, at most so long.
func (x *job) wait(most time.Duration) {
	t := time.NewTimer(most)
	defer t.Stop()
	select {
	case <-x.ended:
	case <-t.C:
	}
}

// endAll stops every job, for when the server ends.
func (j *jobs) endAll() {
	j.mu.Lock()
	defer j.mu.Unlock()
	for _, x := range j.known {
		x.stop()
	}
}

// jobView is a job as a page shows it: the template "job".
type jobView struct {
	jobNow
	What    string // what is computed: search, count map, spread
	Address string // where the page posts to stop it
	Percent int
}

// viewOf is what the page says of a job that runs; nil where none does.
func viewOf(x *job, what, address string) *jobView {
	if x == nil {
		return nil
	}
	n := x.now()
	if !n.Running {
		return nil
	}
	v := &jobView{jobNow: n, What: what, Address: address}
	if n.Total > 0 {
		v.Percent = 100 * n.Done / n.Total
	}
	return v
}

// jobState sends how far a job of a rig's current version is, for the script
// that shows it.
func (s *Server) jobState(w http.ResponseWriter, r *http.Request) error {
	_, solved, err := s.subpage(r, "")
	if err != nil {
		return err
	}
	answer := map[string]any{"running": false}
	if x := s.jobs.find(solved.Version, r.PathValue("kind")); x != nil {
		n := x.now()
		answer = map[string]any{"running": n.Running, "waiting": n.Waiting, "done": n.Done, "total": n.Total}
	}
	w.Header().Set("Cache-Control", "no-store")
	writeJSON(w, http.StatusOK, answer)
	return nil
}

// stopJob stops a job of a rig's current version and goes back to the page it
// belongs to.
func (s *Server) stopJob(w http.ResponseWriter, r *http.Request) error {
	_, solved, err := s.subpage(r, "")
	if err != nil {
		return err
	}
	kind := r.PathValue("kind")
	if x := s.jobs.find(solved.Version, kind); x != nil {
		x.end()
	}
	http.Redirect(w, r, rigURL(r.PathValue("name"))+jobPages[kind], http.StatusSeeOther)
	return nil
}

// jobPages are the pages that the kinds of jobs belong to.
var jobPages = map[string]string{
	"search": "/counts#found", "map": "/counts#map", "spread": "/spread#outcome", "faults": "/faults",
}
