package web

import (
	"context"
	"crypto/sha256"
	"crypto/x509"
	"encoding/base64"
	"slices"
	"testing"

	"github.com/chromedp/chromedp"

	"hangtrue/internal/policy/extra"
)

// On the network, over TLS of the school's own authority, a browser that trusts
// it takes the page's cookie and the worker that the walk needs offline.
func TestBrowser_WorkerOverTheSchoolsOwnTLS(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes long; left out with -short")
	}
	path := extra.Need(t, "browser")
	s, link, _ := onNetwork(t)
	leaf, err := x509.ParseCertificate(s.LAN.Certificate.Certificate[0])
	if err != nil {
		t.Fatal(err)
	}
	key := sha256.Sum256(leaf.RawSubjectPublicKeyInfo)
	options := append(slices.Clone(chromedp.DefaultExecAllocatorOptions[:]),
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.UserDataDir(t.TempDir()),
		// What trusting the authority does on a tablet; the name is the network's.
		chromedp.Flag("ignore-certificate-errors-spki-list", base64.StdEncoding.EncodeToString(key[:])),
		chromedp.Flag("host-resolver-rules", "MAP kestmoor.local 127.0.0.1"))
	alloc, cancelAlloc := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, cancel := chromedp.NewContext(alloc)
	t.Cleanup(func() { cancel(); cancelAlloc() })
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("the browser did not start: %v", err)
	}
	b := &tab{T: t, ctx: ctx, server: s, url: s.LAN.Origin()}
	b.open("/welcome/" + link)
	b.do(run(`(() => { const f = new FormData(); f.set("login", "chief"); f.set("passphrase", "` + goodPassphrase + `"); f.set("again", "` + goodPassphrase + `");
		fetch(location.href, { method: "POST", body: f }).then(a => { document.title = a.ok && a.redirected ? "let in" : "refused"; }); })()`))
	b.until(`document.title === "let in"`)
	b.open("/")
	b.until(`document.querySelector(".who") !== null`)
	if !get[bool](b, `window.isSecureContext && !document.cookie.includes("hangtrue")`) {
		t.Error("no secure context, or the session's cookie can be read by scripts")
	}
	b.do(run(`navigator.serviceWorker.register("/worker.js").then(r => { const w = r.installing || r.waiting || r.active; const done = () => { if (w.state === "activated") document.title = "worker activated"; }; w.addEventListener("statechange", done); done(); }, e => { document.title = String(e); }); undefined`))
	b.until(`document.title === "worker activated"`)
}
