package web

import (
	"context"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	cdpage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"hangtrue/internal/policy/extra"
)

// line is the network between tablets and the laptop: a relay of connections that
// can be cut. It keeps one address for life while servers behind it come and go.
type line struct {
	listener net.Listener

	mu   sync.Mutex
	to   string // host:port of the server
	cut  bool
	open map[net.Conn]bool
}

func newLine(t testing.TB, to string) *line {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	x := &line{listener: l, to: to, open: map[net.Conn]bool{}}
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			go x.relay(c)
		}
	}()
	t.Cleanup(func() { l.Close(); x.set(true, "") })
	return x
}

func (x *line) url() string { return "http://" + x.listener.Addr().String() }

func (x *line) relay(a net.Conn) {
	defer a.Close()
	x.mu.Lock()
	to, cut := x.to, x.cut
	x.mu.Unlock()
	if cut {
		return
	}
	b, err := net.Dial("tcp", to)
	if err != nil {
		return
	}
	defer b.Close()
	x.mu.Lock()
	if x.cut {
		x.mu.Unlock()
		return
	}
	x.open[a], x.open[b] = true, true
	x.mu.Unlock()
	done := make(chan bool, 2)
	go func() { io.Copy(b, a); done <- true }()
	go func() { io.Copy(a, b); done <- true }()
	<-done
	x.mu.Lock()
	delete(x.open, a)
	delete(x.open, b)
	x.mu.Unlock()
}

// set cuts the line or mends it; to is where it leads from now on, "" for where
// it led.
func (x *line) set(cut bool, to string) {
	x.mu.Lock()
	defer x.mu.Unlock()
	if x.cut = cut; to != "" {
		x.to = to
	}
	if cut {
		for c := range x.open {
			c.Close()
		}
	}
}

// serveOn runs the school's server until the test ends and returns where.
func (k *walkSchool) serveOn() (address string) {
	k.t.Helper()
	k.s.Addr = "127.0.0.1:0"
	url, err := k.s.Listen()
	if err != nil {
		k.t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- k.s.Serve(ctx) }()
	k.t.Cleanup(func() {
		stop()
		if err := <-done; err != nil {
			k.t.Errorf("the server ended with %v", err)
		}
	})
	return strings.TrimSuffix(strings.TrimPrefix(url, "http://"), "/")
}

// browserOf starts a browser; each tablet is a context of its own in it.
func browserOf(t *testing.T) context.Context {
	t.Helper()
	return browserIn(t, t.TempDir())
}

// browserIn starts a browser that keeps what it keeps in a folder.
func browserIn(t *testing.T, folder string) context.Context {
	t.Helper()
	path := extra.Need(t, "browser")
	options := append(slices.Clone(chromedp.DefaultExecAllocatorOptions[:]),
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.UserDataDir(folder))
	alloc, cancelAlloc := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, cancel := chromedp.NewContext(alloc)
	t.Cleanup(func() { cancel(); cancelAlloc() })
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("the browser did not start: %v", err)
	}
	return ctx
}

// onTablet is a tablet: a context of the browser with nothing in common with
// others, in which somebody is signed in. Its console may complain of what is
// out of reach, and of nothing else.
func (k *walkSchool) onTablet(t *testing.T, program context.Context, url string, who *as, scripts ...string) *tab {
	t.Helper()
	ctx, cancel := chromedp.NewContext(program, chromedp.WithNewBrowserContext())
	t.Cleanup(cancel)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("no tablet: %v", err)
	}
	return k.tabOf(t, ctx, url, who, scripts...)
}

// tabOf makes a tablet of a page.
func (k *walkSchool) tabOf(t *testing.T, ctx context.Context, url string, who *as, scripts ...string) *tab {
	t.Helper()
	b := &tab{T: t, ctx: ctx, server: k.s, url: url + "/"}
	if _, err := chromedp.Call(ctx, network.Enable, network.EnableParams{}); err != nil {
		t.Fatal(err)
	}
	for name, value := range who.cookies {
		if _, err := chromedp.Call(ctx, network.SetCookie, network.SetCookieParams{Name: name, Value: value, URL: url, HTTPOnly: new(true)}); err != nil {
			t.Fatal(err)
		}
	}
	for _, script := range scripts {
		if _, err := chromedp.Call(ctx, cdpage.AddScriptToEvaluateOnNewDocument, cdpage.AddScriptToEvaluateOnNewDocumentParams{Source: script}); err != nil {
			t.Fatal(err)
		}
	}
	requests := chromedp.Events(ctx, network.RequestWillBeSent)
	go func() {
		for e, err := range requests {
			if err != nil {
				return
			}
			b.mu.Lock()
			b.requests = append(b.requests, e.Request.URL)
			b.mu.Unlock()
		}
	}()
	messages := chromedp.Console(ctx)
	go func() {
		for m, err := range messages {
			if err != nil {
				return
			}
			if text := m.String(); !strings.Contains(text, "net::ERR_") && !strings.Contains(text, "status of 401") {
				b.mu.Lock()
				b.console = append(b.console, text)
				b.mu.Unlock()
			}
		}
	}()
	t.Cleanup(b.calm)
	return b
}

const (
	onScreen   = `document.getElementById("inspect")?.dataset.view`
	unsentHere = `Number(document.getElementById("inspect-sent")?.dataset.unsent ?? -1)`
	askedHere  = `document.querySelector(".inspect-ask")?.innerText`
	walkReady  = `document.documentElement.classList.contains("walking")`
	keptHere   = `document.getElementById("inspect-kept") !== null`
)

// click presses what a selector names, as a finger would: it must be there, be in
// sight and be large enough.
func (b *tab) click(selector string) {
	b.Helper()
	b.until(`document.querySelector(` + quote(selector) + `) !== null && document.querySelector(".settling") === null`)
	b.do(chromedp.Click(chromedp.CSS(selector)))
}

// signIn signs in on the page for that.
func (b *tab) signIn(login string) {
	b.Helper()
	b.do(chromedp.SendKeys(chromedp.CSS("#login"), login), chromedp.SendKeys(chromedp.CSS("#passphrase"), goodPassphrase))
	b.click("form.entry button")
}

// say answers the question on the screen and waits for the next.
func (b *tab) say(word string) {
	b.Helper()
	before := get[string](b, `document.getElementById("inspect-screen").innerText`)
	b.click(`[data-answer="` + word + `"]`)
	b.until(`document.getElementById("inspect-screen").innerText !== ` + jsString(before))
}

func jsString(text string) string {
	return "`" + strings.NewReplacer("\\", "\\\\", "`", "\\`", "$", "\\$").Replace(text) + "`"
}

// quickly answers so many questions by pressing as fast as the page takes it: the
// counts as planned, the rest right. It returns how many it answered.
func (b *tab) quickly(most int) int {
	b.Helper()
	return get[int](b, `(async () => {
		const frame = () => new Promise((r) => setTimeout(r, 4));
		let n = 0;
		for (; n < `+strconv.Itoa(most)+` && `+onScreen+` === "question"; n++) {
			const screen = document.getElementById("inspect-screen").firstChild;
			const count = document.getElementById("inspect-count");
			if (count) {
				while (document.querySelector(".settling")) await frame();
				count.value = "10";
				count.form.requestSubmit();
			}
			else document.querySelector('[data-answer="right"]').click();
			for (let i = 0; document.getElementById("inspect-screen").firstChild === screen; i++) {
				if (i > 5000) return -1;
				await frame();
			}
			await frame();
		}
		return n;
	})()`)
}

// shot writes the page as it is, light and dark, where a folder is named.
func (b *tab) shot(name string) {
	b.Helper()
	if *shots == "" {
		return
	}
	for _, scheme := range []string{"dark", "light"} {
		if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
		}); err != nil {
			b.Fatal(err)
		}
		b.until(`(() => { for (const x of document.images) x.loading = "eager"; return [...document.images].every(x => x.complete); })()`)
		png, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(90))
		if err != nil {
			b.Fatal(err)
		}
		if err := os.WriteFile(*shots+"/"+name+"-"+scheme+".png", png, 0o644); err != nil {
			b.Fatal(err)
		}
	}
}

// acknowledged lists the entries of which the tablet was told that they are
// kept, and all that it made.
func (b *tab) acknowledged() (sent, all []string) {
	b.Helper()
	type pair struct {
		ID   string `json:"id"`
		Sent bool   `json:"sent"`
	}
	list := get[[]pair](b, `new Promise((resolve, reject) => {
		const r = indexedDB.open("hangtrue-inspect", 1);
		r.onerror = () => reject(r.error);
		r.onsuccess = () => { const q = r.result.transaction("events").objectStore("events").getAll();
			q.onsuccess = () => { r.result.close(); resolve(q.result.map((e) => ({ id: e.id, sent: e.sent === 1 }))); }; };
	})`)
	for _, x := range list {
		all = append(all, x.ID)
		if x.Sent {
			sent = append(sent, x.ID)
		}
	}
	return sent, all
}

// keptOnce fails unless the server has each of some entries once.
func (k *walkSchool) keptOnce(id string, want []string) {
	k.t.Helper()
	events, err := k.store.Events(context.Background(), id)
	if err != nil {
		k.t.Fatal(err)
	}
	there := map[string]int{}
	for _, e := range events {
		there[e.ID]++
	}
	for _, x := range want {
		if there[x] != 1 {
			k.t.Errorf("entry %s is there %d times", x, there[x])
		}
	}
	if len(want) == 0 {
		k.t.Error("no entry was looked for")
	}
}

// realClock is for what a browser does: its cookies end by the real clock.
func realClock() time.Time { return time.Now() }

// signInAs gives the tablet a session.
func (b *tab) signInAs(cookies []*http.Cookie) {
	b.Helper()
	for _, c := range cookies {
		if _, err := chromedp.Call(b.ctx, network.SetCookie, network.SetCookieParams{Name: c.Name, Value: c.Value, URL: b.url, HTTPOnly: new(true)}); err != nil {
			b.Fatal(err)
		}
	}
	if len(cookies) == 0 {
		b.Fatal("no session")
	}
}

// arrive waits for an expression to become true on the page that a press leads
// to. The page before may go while it is asked.
func (b *tab) arrive(expression string) {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	for ctx.Err() == nil {
		_, err := chromedp.Run(ctx, chromedp.Poll[bool](expression, chromedp.WithPollingInterval(20*time.Millisecond)))
		if err == nil {
			return
		}
		if !strings.Contains(err.Error(), "context with specified id") && !strings.Contains(err.Error(), "navigated or closed") {
			b.Fatalf("never came true: %s (%v); the page says %s", expression, err, get[string](b, "document.querySelector('main').innerText"))
		}
	}
	b.Fatalf("never came true: %s", expression)
}

// waitSent waits until the tablet has nothing left that was not acknowledged.
func (b *tab) waitSent() {
	b.Helper()
	b.until(unsentList + `.then((n) => n === 0)`)
	b.until(unsentHere + ` === 0`)
}

const unsentList = `new Promise((resolve, reject) => {
	const r = indexedDB.open("hangtrue-inspect", 1);
	r.onerror = () => reject(r.error);
	r.onsuccess = () => { const q = r.result.transaction("events").objectStore("events").getAll();
		q.onsuccess = () => { r.result.close(); resolve(q.result.filter((e) => e.sent !== 1).length); }; };
})`

// saves presses what writes a file, and waits until it is written.
func (b *tab) saves(t *testing.T, selector string) {
	t.Helper()
	folder := t.TempDir()
	infos, err := chromedp.Targets(b.ctx)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range infos {
		if !strings.HasPrefix(x.URL, b.url) {
			continue
		}
		if _, err := chromedp.CallBrowser(b.ctx, browser.SetDownloadBehavior, browser.SetDownloadBehaviorParams{
			Behavior: browser.SetDownloadBehaviorBehaviorAllow, BrowserContextID: x.BrowserContextID, DownloadPath: folder, EventsEnabled: new(true),
		}); err != nil {
			t.Fatal(err)
		}
	}
	progress := chromedp.BrowserEvents(b.ctx, browser.DownloadProgress)
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector(` + quote(selector) + `).click()`))
	for e, err := range progress {
		if err != nil {
			t.Fatal(err)
		}
		if e.State == browser.DownloadProgressStateCompleted {
			break
		}
	}
	files, err := filepath.Glob(filepath.Join(folder, "hangtrue-unsent-*.json"))
	if err != nil || len(files) != 1 {
		t.Errorf("files %v, %v", files, err)
	}
}
