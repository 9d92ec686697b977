package main

import (
	"bufio"
	"bytes"
	"cmp"
	"errors"
	"flag"
	"fmt"
	"html"
	"io"
	"io/fs"
	"net/http"
	"net/http/cookiejar"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"hangtrue/docs"
)

var measure = flag.Bool("measure", false, "measure start-up, memory, pages and printed papers")

// TestMeasure measures what docs/performance.md says of start-up, memory, pages
// and papers, on the program as it is built, and prints it as tables. It judges
// nothing:
//
//	go test ./cmd/hangtrue -run Measure -measure -v
func TestMeasure(t *testing.T) {
	if !*measure {
		t.Skip("skipped: measures only when asked, with -measure")
	}
	m := measuring{t, filepath.Join(t.TempDir(), "hangtrue.exe"), t.TempDir()}
	build := exec.Command("go", "build", "-trimpath", "-ldflags", "-s -w", "-o", m.program, ".")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	info, err := os.Stat(m.program)
	must(t, err)
	fmt.Printf("%s, %s/%s, %d processors, program %.1f MB, load at the start %s\n\n",
		runtime.Version(), runtime.GOOS, runtime.GOARCH, runtime.NumCPU(), float64(info.Size())/1e6, load())
	m.run("demo", "rigs", "--no-serve")
	m.run("new", "crate", "-o", "crate.yaml")
	m.starts()
	m.pages("crate-off-centre", "rigs")
	m.papers()
	fmt.Printf("\nload at the end %s\n", load())
}

// measuring is the program under measurement and the folder it works in.
type measuring struct {
	t       *testing.T
	program string
	dir     string
}

// load is what the system says of how many processes wanted the processors in
// the last 1, 5 and 15 minutes, where it says so.
func load() string {
	text, err := os.ReadFile("/proc/loadavg")
	if err != nil {
		return "unknown"
	}
	return strings.Join(strings.Fields(string(text))[:3], " ")
}

// spent is a time on the clock, and what of the processors was used for it, which
// other work on the machine hardly changes.
type spent struct{ clock, processor time.Duration }

func (s spent) String() string { return milli(s.clock) + " | " + milli(s.processor) }

// ended is what a process took from its start to its end.
func ended(c *exec.Cmd, since time.Time) spent {
	return spent{time.Since(since), c.ProcessState.UserTime() + c.ProcessState.SystemTime()}
}

// run runs a command to its end and returns how long that took. Only bad input
// is a failure: a rig over a limit is one to measure.
func (m measuring) run(args ...string) spent {
	m.t.Helper()
	c := exec.Command(m.program, args...)
	c.Dir = m.dir
	start := time.Now()
	out, err := c.CombinedOutput()
	took := ended(c, start)
	var exit *exec.ExitError
	if err != nil && !(errors.As(err, &exit) && (exit.ExitCode() == 1 || exit.ExitCode() == 3)) {
		m.t.Fatalf("hangtrue %q: %v\n%s", args, err, out)
	}
	return took
}

// serving is a server that was started, and how long it took until the first
// page was there.
type serving struct {
	command *exec.Cmd
	address string
	first   spent
}

var addressIn = regexp.MustCompile(`http://127\.0\.0\.1:\d+`)

// start starts a server and waits for its first page.
func (m measuring) start(args ...string) serving {
	m.t.Helper()
	c := exec.Command(m.program, append([]string{"serve", "--addr", "127.0.0.1:0", "--no-open"}, args...)...)
	c.Dir = m.dir
	out, err := c.StdoutPipe()
	must(m.t, err)
	start := time.Now()
	must(m.t, c.Start())
	address := ""
	lines := bufio.NewScanner(out)
	for address == "" && lines.Scan() {
		address = addressIn.FindString(lines.Text())
	}
	go func() { _, _ = io.Copy(io.Discard, out) }()
	if address == "" {
		_ = c.Process.Kill()
		m.t.Fatalf("hangtrue serve %q printed no address", args)
	}
	m.get(http.DefaultClient, address+"/")
	s := serving{c, address, spent{}}
	s.first = spent{time.Since(start), s.processor()}
	return s
}

// processor is what the server used of the processors so far, over all of its
// threads; zero where the system does not tell.
func (s serving) processor() time.Duration {
	threads, err := filepath.Glob(fmt.Sprintf("/proc/%d/task/*/schedstat", s.command.Process.Pid))
	if err != nil {
		return 0
	}
	var all time.Duration
	for _, file := range threads {
		text, err := os.ReadFile(file)
		var ran time.Duration
		if err == nil {
			if _, err := fmt.Sscan(string(text), &ran); err == nil {
				all += ran
			}
		}
	}
	return all
}

func (s serving) stop() {
	_ = s.command.Process.Signal(os.Interrupt)
	_ = s.command.Wait()
}

// memory is what of the server is in memory, now and at most so far; zero where
// the system does not tell.
func (s serving) memory() (now, most string) {
	now, most = "unknown", "unknown"
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", s.command.Process.Pid))
	if err != nil {
		return now, most
	}
	for line := range strings.Lines(string(text)) {
		f := strings.Fields(line)
		var kilo float64
		if len(f) != 3 {
			continue
		}
		if _, err := fmt.Sscan(f[1], &kilo); err != nil {
			continue
		}
		switch f[0] {
		case "VmRSS:":
			now = fmt.Sprintf("%.0f MB", kilo*1024/1e6)
		case "VmHWM:":
			most = fmt.Sprintf("%.0f MB", kilo*1024/1e6)
		}
	}
	return now, most
}

func (m measuring) get(client *http.Client, address string) []byte {
	m.t.Helper()
	r, err := client.Get(address)
	must(m.t, err)
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	must(m.t, err)
	if r.StatusCode != http.StatusOK {
		m.t.Fatalf("%s: %s", address, r.Status)
	}
	return body
}

// median is the middle of each of the two times.
func median(all []spent) spent {
	var clock, processor []time.Duration
	for _, s := range all {
		clock, processor = append(clock, s.clock), append(processor, s.processor)
	}
	slices.Sort(clock)
	slices.Sort(processor)
	return spent{clock[len(clock)/2], processor[len(processor)/2]}
}

// during is what the server took for what is asked of it in f.
func (s serving) during(f func()) spent {
	start, before := time.Now(), s.processor()
	f()
	return spent{time.Since(start), s.processor() - before}
}

func milli(d time.Duration) string {
	ms := float64(d.Microseconds()) / 1000
	if ms >= 10 {
		return fmt.Sprintf("%.0f ms", ms)
	}
	return fmt.Sprintf("%.1f ms", ms)
}

// starts prints how long a command that does next to nothing takes, and each way
// to serve from the start to the first page.
func (m measuring) starts() {
	const times = 5
	fmt.Printf("| start, median of %d | by the clock | of the processors | in memory then |\n|---|---:|---:|---:|\n", times)
	var took []spent
	for range times {
		took = append(took, m.run("version"))
	}
	fmt.Printf("| `hangtrue version`, to its end | %v | |\n", median(took))
	made := 0
	for _, x := range []struct {
		what string
		args func() []string
	}{
		{"to the first page of a folder with the demo rigs", func() []string { return []string{"rigs"} }},
		{"of a school, first start: database and key made", func() []string {
			made++
			return []string{"--school", fmt.Sprintf("new-%d.db", made), "--title", "Measured"}
		}},
		{"of a school, started again", func() []string { return []string{"--school", "new-1.db", "--title", "Measured"} }},
	} {
		var took []spent
		memory := ""
		for range times {
			s := m.start(x.args()...)
			took = append(took, s.first)
			memory, _ = s.memory()
			s.stop()
		}
		fmt.Printf("| %s | %v | %s |\n", x.what, median(took), memory)
	}
	fmt.Println()
}

var linkTo = regexp.MustCompile(`href="(/[^"]*)"`)

// pages follows the links from the list and the rig's page to every page of the
// rig, prints what each takes at the second and later requests, and what all of
// them leave in memory.
func (m measuring) pages(name, folder string) {
	s := m.start(folder)
	defer s.stop()
	idle, _ := s.memory()
	jar, err := cookiejar.New(nil)
	must(m.t, err)
	client := &http.Client{Jar: jar}
	own := "/rig/" + name
	paths := []string{"/", own}
	type page struct {
		path          string
		first, median spent
		size          int
	}
	var all []page
	for i := 0; i < len(paths); i++ {
		p := page{path: paths[i]}
		var body []byte
		p.first = s.during(func() { body = m.get(client, s.address+p.path) })
		p.size = len(body)
		for _, found := range linkTo.FindAllSubmatch(body, -1) {
			link, _, _ := strings.Cut(html.UnescapeString(string(found[1])), "#")
			link, _, _ = strings.Cut(link, "?")
			if (link == own || strings.HasPrefix(link, own+"/")) && !slices.Contains(paths, link) {
				paths = append(paths, link)
			}
		}
		all = append(all, p)
	}
	if len(all) < 5 {
		m.t.Fatalf("found only %d pages of %s", len(all), name)
	}
	visited, most := s.memory()
	const times = 20
	for i := range all {
		var took []spent
		for range times {
			took = append(took, s.during(func() { m.get(client, s.address+all[i].path) }))
		}
		all[i].median = median(took)
	}
	later, mostLater := s.memory()
	slices.SortFunc(all, func(a, b page) int { return cmp.Compare(b.median.processor, a.median.processor) })
	fmt.Printf("| page of the rig %s | first request | of the processors | median of %d | of the processors | size |\n|---|---:|---:|---:|---:|---:|\n", name, times)
	alike := 0
	for _, p := range all {
		path := strings.Replace(p.path, own, "/rig/…", 1)
		if strings.HasPrefix(p.path, own+"/parts/") {
			if alike++; alike > 1 {
				continue // the others are no slower
			}
			path = "/rig/…/parts/PART, the slowest"
		}
		fmt.Printf("| `%s` | %v | %v | %.0f kB |\n", path, p.first, p.median, float64(p.size)/1000)
	}
	fmt.Printf("\nThe rig has %d pages of one part each.\n", alike)
	fmt.Printf("\n| in memory | then | most so far |\n|---|---:|---:|\n| after the first page | %s | |\n| after each of the %d pages once | %s | %s |\n| after each %d times more | %s | %s |\n\n",
		idle, len(all), visited, most, times, later, mostLater)
}

// papers runs the examples of docs/commands.md in their order and prints what
// those take that write a PDF.
func (m measuring) papers() {
	page, err := fs.ReadFile(docs.Files, "commands.md")
	must(m.t, err)
	const times = 3
	type paper struct {
		command string
		took    spent
		size    int64
	}
	var all []paper
	unquote := strings.NewReplacer("'", "", `"`, "")
	for _, e := range examplesOf(string(page)) {
		if e.quoted || e.status == 2 || stands.MatchString(e.command) || notToMeasure.MatchString(e.command) {
			continue
		}
		var args []string
		for _, word := range words.FindAllString(e.command, -1)[1:] {
			args = append(args, unquote.Replace(word))
		}
		if !strings.Contains(e.command, ".pdf") {
			m.example(args)
			continue
		}
		took := []spent{m.example(args)}
		for len(took) < times {
			took = append(took, m.example(args))
		}
		p := paper{command: e.command, took: median(took)}
		for _, arg := range args {
			if info, err := os.Stat(filepath.Join(m.dir, arg)); err == nil && filepath.Ext(arg) == ".pdf" {
				p.size += info.Size()
			}
		}
		all = append(all, p)
	}
	if len(all) < 15 {
		m.t.Errorf("only %d commands of the page write a PDF", len(all))
	}
	fmt.Printf("| command, median of %d | by the clock | of the processors | size |\n|---|---:|---:|---:|\n", times)
	for _, p := range all {
		fmt.Printf("| `%s` | %v | %.0f kB |\n", p.command, p.took, float64(p.size)/1000)
	}
}

// notToMeasure are examples that serve until they are interrupted, or read what
// is piped into them.
var notToMeasure = regexp.MustCompile(`^hangtrue (serve|demo)\b|[|<>]| - |-$`)

// example runs one of the page's commands. What it says of its input is another
// test's subject; what it writes must be there to be counted.
func (m measuring) example(args []string) spent {
	c := exec.Command(m.program, args...)
	c.Dir, c.Stdin = m.dir, bytes.NewReader(nil)
	start := time.Now()
	out, err := c.CombinedOutput()
	took := ended(c, start)
	var exit *exec.ExitError
	if errors.As(err, &exit) && exit.ExitCode() == 2 {
		m.t.Logf("left out: hangtrue %q: %s", args, bytes.TrimSpace(out))
	}
	return took
}
