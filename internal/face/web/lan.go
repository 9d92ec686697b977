package web

import (
	"bytes"
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"html/template"
	"log/slog"
	"net"
	"net/http"
	"strings"
	"time"

	"hangtrue/internal/paper/draw/qr"
	"hangtrue/internal/paper/draw/svg"
)

// LAN says how tablets on the school's network reach the server.
type LAN struct {
	Addr  string // host:port for TLS
	Trust string // host:port for the trust page, plain HTTP
	// Certificate is the server's, made by the school's authority.
	Certificate tls.Certificate
	Authority   []byte // DER, as tablets install it
	Fingerprint string
	Name        string   // the one name for life, as in hut-school.local
	Addresses   []string // of this machine, for tablets that know no .local names
}

// Origin is where tablets reach the school.
func (l *LAN) Origin() string { return "https://" + net.JoinHostPort(l.Name, portOf(l.Addr)) }

// TrustURL is where a tablet is led through trusting the authority; at is the
// name or an address.
func (l *LAN) TrustURL(at string) string {
	return "http://" + net.JoinHostPort(at, portOf(l.Trust)) + "/"
}

func portOf(addr string) string {
	_, port, err := net.SplitHostPort(addr)
	if err != nil {
		return addr
	}
	return port
}

// listenLAN takes the two ports. Addresses with port 0 get any free one.
func (s *Server) listenLAN() error {
	l := s.LAN
	plain, err := net.Listen("tcp", l.Trust)
	if err != nil {
		return fmt.Errorf("web: the trust page: %w", err)
	}
	secure, err := net.Listen("tcp", l.Addr)
	if err != nil {
		plain.Close()
		return fmt.Errorf("web: the network: %w", err)
	}
	l.Trust, l.Addr = plain.Addr().String(), secure.Addr().String()
	s.trust = newFewEach(plain)
	s.secure = tls.NewListener(newFewEach(secure), &tls.Config{
		MinVersion: tls.VersionTLS12, Certificates: []tls.Certificate{l.Certificate}, NextProtos: []string{"h2", "http/1.1"},
	})
	s.School.Origin, s.School.Fingerprint = l.Origin(), l.Fingerprint
	return nil
}

// limits are those of every server: how long anything may take, and how large a
// head may be.
func (s *Server) limits(h http.Handler) *http.Server {
	return &http.Server{
		Handler:           h,
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       30 * time.Second,
		WriteTimeout:      60 * time.Second,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    32 << 10,
		ErrorLog:          slog.NewLogLogger(s.Log.Handler(), slog.LevelWarn),
	}
}

// serveAll answers on every listener until the context ends, then lets answers
// under way finish.
func (s *Server) serveAll(ctx context.Context) error {
	type one struct {
		*http.Server
		net.Listener
	}
	all := []one{{s.limits(s.handler), s.listener}}
	if s.LAN != nil {
		all = append(all, one{s.limits(s.handler), s.secure}, one{s.limits(s.trustHandler()), s.trust})
	}
	done := make(chan error, len(all))
	for _, x := range all {
		go func() { done <- x.Serve(x.Listener) }()
	}
	var first error
	left := len(all)
	select {
	case err := <-done:
		first, left = err, left-1
	case <-ctx.Done():
	}
	s.jobs.endAll()
	grace, cancel := context.WithTimeout(context.WithoutCancel(ctx), 3*time.Second)
	defer cancel()
	for _, x := range all {
		if err := x.Shutdown(grace); err != nil {
			x.Server.Close()
		}
	}
	for range left {
		if err := <-done; first == nil && !errors.Is(err, http.ErrServerClosed) {
			first = err
		}
	}
	if first != nil {
		return fmt.Errorf("web: %w", first)
	}
	return nil
}

// trustHandler is all that plain HTTP on the network gives: the page that leads
// a tablet through trusting the school's authority, and its certificate.
func (s *Server) trustHandler() http.Handler {
	l := s.LAN
	page, err := s.trustPage()
	return s.logged(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Permissions-Policy", permissions)
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		h.Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
		switch {
		case r.Method != http.MethodGet && r.Method != http.MethodHead:
			http.Error(w, "only to be looked at", http.StatusMethodNotAllowed)
		case err != nil:
			s.Log.Error("the trust page failed", "error", err)
			http.Error(w, "the page could not be made", http.StatusInternalServerError)
		case r.URL.Path == "/authority.crt":
			h.Set("Content-Type", "application/x-x509-ca-cert")
			h.Set("Content-Disposition", `attachment; filename="hangtrue-authority.crt"`)
			w.Write(l.Authority)
		case r.URL.Path == "/":
			h.Set("Content-Type", "text/html; charset=utf-8")
			w.Write(page)
		default:
			http.Redirect(w, r, "/", http.StatusSeeOther)
		}
	}))
}

type trustView struct {
	School, Origin, Name string
	Fingerprint          []string
	Addresses            []string
}

// trustPage stands alone: a tablet that does not trust the school yet can fetch
// nothing else of it.
func (s *Server) trustPage() ([]byte, error) {
	t, err := template.New("trust").Option("missingkey=error").Parse(trustTemplate)
	if err != nil {
		return nil, fmt.Errorf("web: %w", err)
	}
	l := s.LAN
	v := trustView{School: s.School.Name, Origin: l.Origin() + "/", Name: l.Name, Fingerprint: strings.Fields(l.Fingerprint)}
	for _, a := range l.Addresses {
		v.Addresses = append(v.Addresses, "https://"+net.JoinHostPort(a, portOf(l.Addr))+"/")
	}
	var b bytes.Buffer
	if err := t.Execute(&b, v); err != nil {
		return nil, fmt.Errorf("web: %w", err)
	}
	return b.Bytes(), nil
}

const trustTemplate = `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>Trust {{.School}} on this device – Hangtrue</title>
<style>
:root{color-scheme:light dark}
body{font:1.05rem/1.5 sans-serif;max-width:42rem;margin:0 auto;padding:1rem}
h1{font-size:1.6rem;line-height:1.2}
a.go{display:inline-block;border:2px solid;padding:.8rem 1.2rem;font-weight:bold;text-decoration:none;color:inherit}
.print{font-family:monospace;font-size:1.15rem;line-height:1.9}
.print span{display:inline-block;margin-right:.7em}
li{margin-bottom:.8rem}
</style></head><body>
<h1>Trust {{.School}} on this device</h1>
<p>The school’s server speaks only in secret, and this device does not know yet that it is the school’s. Do this once, on the school’s own network.</p>
<ol>
<li><a class="go" href="/authority.crt">Fetch the school’s certificate</a></li>
<li>Open it and install it as a <b>certificate authority</b>:
<br><b>Android:</b> Settings → Security → Encryption and credentials → Install a certificate → CA certificate.
<br><b>iPad, iPhone:</b> Settings → Profile downloaded → Install; then Settings → General → About → Certificate trust settings → switch it on.
<br><b>Windows:</b> Open → Install → Local machine → Trusted root certification authorities.
<br><b>Firefox:</b> Settings → Certificates → Authorities → Import.</li>
<li>Before you say yes, <b>compare the fingerprint</b> (SHA-256) that the device shows with the one on the laptop’s own screen. Nobody else can make the same. This one came over the open network and proves nothing by itself:
<p class="print">{{range .Fingerprint}}<span>{{.}}</span>{{end}}</p></li>
<li>Then open <a href="{{.Origin}}">{{.Origin}}</a>{{if .Addresses}}, or where the device does not find that name {{range $i, $a := .Addresses}}{{if $i}} or {{end}}<a href="{{$a}}">{{$a}}</a>{{end}}{{end}}.</li>
</ol>
<p>The certificate vouches for {{.Name}} and for addresses of private networks, and for no other site. To take it back, remove it in the same place.</p>
</body></html>
`

// tabletsView is the page on the laptop's own screen.
type tabletsView struct {
	frame
	Has         bool
	Origin      string
	Trust       []tabletsWay
	Fingerprint []string
}

type tabletsWay struct {
	URL  string
	Code template.HTML
}

// tabletsPage shows how a tablet gets in, with the fingerprint to compare.
func (s *Server) tabletsPage(w http.ResponseWriter, _ *http.Request) error {
	v := &tabletsView{frame: frame{Title: "Tablets"}}
	if l := s.LAN; l != nil {
		v.Has, v.Origin, v.Fingerprint = true, l.Origin()+"/", strings.Fields(l.Fingerprint)
		for _, at := range append([]string{l.Name}, l.Addresses...) {
			url := l.TrustURL(at)
			code, err := qr.Picture(url, 45)
			if err != nil {
				return err
			}
			text, err := svg.String(code)
			if err != nil {
				return err
			}
			v.Trust = append(v.Trust, tabletsWay{url, template.HTML(text)}) // our own drawing
		}
	}
	return s.pages.write(w, http.StatusOK, "tablets", v)
}
