package web

import (
	"bufio"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"hangtrue/internal/policy/extra"
)

// serveVariable names the database that a copy of the test program serves until
// it is killed.
const serveVariable = "HANGTRUE_TEST_SERVE"

// TestServeUntilKilled is no test: it is the server that the test below kills.
func TestServeUntilKilled(t *testing.T) {
	path := os.Getenv(serveVariable)
	if path == "" {
		t.Skip("it is started by another test")
	}
	s, _ := schoolServer(t, path, time.Now)
	s.Addr = "127.0.0.1:0"
	address, err := s.Listen()
	if err != nil {
		t.Fatal(err)
	}
	fmt.Println("serving", address)
	t.Fatal(s.Serve(context.Background()))
}

// process starts a server of its own over a database and returns where it is.
func process(t *testing.T, path string) (c *exec.Cmd, address string) {
	t.Helper()
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c = exec.Command(program, "-test.run=^TestServeUntilKilled$")
	c.Env = append(os.Environ(), serveVariable+"="+path)
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { c.Process.Kill(); c.Wait() })
	in := bufio.NewScanner(out)
	for in.Scan() {
		if at, ok := strings.CutPrefix(in.Text(), "serving http://"); ok {
			go func() {
				for in.Scan() {
				}
			}()
			return c, strings.TrimSuffix(at, "/")
		}
	}
	t.Fatalf("the server did not start: %v", c.Wait())
	return nil, ""
}

// The server is killed at random points while a tablet saves: every entry of
// which the tablet was told that it is kept is there, and once a server is back
// every entry that was made is there once. HANGTRUE_KILLS says how often.
func TestBrowser_KilledServer(t *testing.T) {
	kills := 10
	if text := os.Getenv("HANGTRUE_KILLS"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil {
			t.Fatalf("HANGTRUE_KILLS is %q", text)
		}
		kills = n
	} else if testing.Short() {
		kills = 2
	}
	browser := browserOf(t)
	k := walkersCopy(t, realClock)
	ids := make([]string, kills)
	for i := range ids {
		ids[i] = k.begun(k.ivo, "frame")
	}
	path := filepath.Join(t.TempDir(), "killed.db")
	if _, err := k.store.Backup(t.Context(), path); err != nil {
		t.Fatal(err)
	}
	seed := rand.Uint64()
	random := rand.New(rand.NewPCG(seed, 0))
	l := newLine(t, "127.0.0.1:1")
	b := k.onTablet(t, browser, l.url(), k.ivo)
	b.size(820, 1180)
	acknowledged, made := 0, 0
	server, at := process(t, path)
	l.set(false, at)
	look := func(id string, want []string) {
		t.Helper()
		// What is on the disk, while no server runs.
		_, db := schoolServer(t, path, time.Now)
		(&walkSchool{t: t, store: db}).keptOnce(id, want)
		if err := db.Close(); err != nil {
			t.Fatal(err)
		}
	}
	for run, id := range ids {
		b.open("/inspect/" + id)
		b.until(walkReady)
		b.click("#begin")
		b.until(onScreen + ` === "question"`)
		// The tablet goes on answering, whether there is a server or not.
		b.do(chromedp.Evaluate[chromedp.Void](`(() => { window.answering = (async () => {
			const frame = () => new Promise((r) => setTimeout(r, 4));
			while (!window.enough && ` + onScreen + ` === "question") {
				const screen = document.getElementById("inspect-screen").firstChild, count = document.getElementById("inspect-count");
				if (count) { while (document.querySelector(".settling")) await frame(); count.value = "10"; count.form.requestSubmit(); } else document.querySelector('[data-answer="right"]').click();
				while (document.getElementById("inspect-screen").firstChild === screen) await frame();
			}
		})(); })()`))
		after := 1 + random.IntN(8)
		b.until(unsentList + `.then(async () => { const s = await import("` + k.s.assets.url("inspect-store.js") + `"); return (await s.events("` + id + `")).filter((e) => e.sent).length >= ` + strconv.Itoa(after) + `; })`)
		<-time.After(time.Duration(random.IntN(40000)) * time.Microsecond) // any point will do
		if err := server.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		server.Wait()
		l.set(true, "")
		sent := sentOf(b, k, id)
		look(id, sent)
		acknowledged += len(sent)
		server, at = process(t, path)
		l.set(false, at)
		b.do(chromedp.Evaluate[chromedp.Void](`(async () => { window.enough = true; await window.answering; window.dispatchEvent(new Event("online")); })()`, chromedp.EvalAwaitPromise))
		b.waitSent()
		if t.Failed() {
			t.Fatalf("run %d of seed %d", run, seed)
		}
	}
	server.Process.Kill()
	server.Wait()
	for _, id := range ids {
		all := sentOf(b, k, id)
		look(id, all)
		made += len(all)
	}
	if acknowledged < kills || made < acknowledged {
		t.Errorf("%d acknowledged before a kill, %d made", acknowledged, made)
	}
	t.Logf("%d kills, %d entries acknowledged before one, %d made", kills, acknowledged, made)
}

// sentOf lists the entries of one walk of which the tablet was told that they are
// kept.
func sentOf(b *tab, k *walkSchool, id string) []string {
	b.Helper()
	return get[[]string](b, `import("`+k.s.assets.url("inspect-store.js")+`").then(async (s) => (await s.events("`+id+`")).filter((e) => e.sent).map((e) => e.id))`)
}

// The battery is pulled while the tablet is out of reach: what was on the screen
// as kept is there when it comes up again, and all is sent once.
func TestBrowser_KilledTablet(t *testing.T) {
	extra.Need(t, "browser")
	k := walkersCopy(t, realClock)
	l := newLine(t, k.serveOn())
	id := k.begun(k.ivo, "frame")
	folder := t.TempDir()
	b := k.tabOf(t, browserIn(t, folder), l.url(), k.ivo)
	b.open("/inspect/" + id)
	b.until(walkReady + ` && ` + keptHere)
	b.click("#begin")
	b.until(onScreen + ` === "question"`)
	b.quickly(4)
	b.waitSent()
	l.set(true, "")
	if n := b.quickly(9); n != 9 {
		t.Fatalf("%d answered", n)
	}
	_, before := b.acknowledged()
	killBrowser(t, folder)
	b = k.tabOf(t, browserIn(t, folder), l.url(), k.ivo)
	b.open("/inspect/" + id)
	b.until(walkReady + ` && ` + onScreen + ` === "again" && ` + unsentHere + ` === 9`)
	_, after := b.acknowledged()
	slices.Sort(before)
	slices.Sort(after)
	if !slices.Equal(before, after) || len(after) != 13 {
		t.Errorf("%d entries before, %d after", len(before), len(after))
	}
	l.set(false, "")
	b.do(chromedp.Evaluate[chromedp.Void](`window.dispatchEvent(new Event("online"))`))
	b.waitSent()
	k.keptOnce(id, after)
}

// killBrowser ends the browser that keeps its things in a folder, without giving
// it a moment.
func killBrowser(t *testing.T, folder string) {
	t.Helper()
	lists, err := filepath.Glob("/proc/[0-9]*/cmdline")
	if err != nil || len(lists) == 0 {
		t.Skip("this system does not list its processes")
	}
	killed := 0
	for _, list := range lists {
		text, err := os.ReadFile(list)
		if err != nil || !strings.Contains(string(text), "--user-data-dir="+folder+"\x00") {
			continue
		}
		pid, err := strconv.Atoi(filepath.Base(filepath.Dir(list)))
		if err != nil {
			t.Fatal(err)
		}
		if p, err := os.FindProcess(pid); err == nil && p.Kill() == nil {
			killed++
		}
	}
	if killed == 0 {
		t.Fatal("no browser was found to kill")
	}
}
