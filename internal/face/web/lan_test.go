package web

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"io"
	"net"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/keep/authority"
)

// onNetwork serves a school to the network of this machine and returns a client
// that trusts its authority and knows its name.
func onNetwork(t *testing.T) (s *Server, link string, client *http.Client) {
	t.Helper()
	s, link = school(t)
	now := time.Now() // a certificate is held against the real clock
	a, err := authority.New("Kestmoor Lift School", "kestmoor.local", now)
	if err != nil {
		t.Fatal(err)
	}
	certificate, err := a.Issue(nil, now)
	if err != nil {
		t.Fatal(err)
	}
	s.Addr = "127.0.0.1:0"
	s.LAN = &LAN{
		Addr: "127.0.0.1:0", Trust: "127.0.0.1:0", Certificate: certificate, Authority: a.DER(), Fingerprint: a.Fingerprint(), Name: a.Name(), Addresses: []string{"192.168.4.7"},
	}
	if _, err := s.Listen(); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- s.Serve(ctx) }()
	t.Cleanup(func() {
		cancel()
		if err := <-done; err != nil {
			t.Error(err)
		}
	})
	roots := x509.NewCertPool()
	roots.AppendCertsFromPEM(a.PEM())
	client = &http.Client{
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
		Transport: &http.Transport{
			DisableKeepAlives: true,
			TLSClientConfig:   &tls.Config{RootCAs: roots, MinVersion: tls.VersionTLS12},
			DialContext: func(ctx context.Context, network, addr string) (net.Conn, error) {
				_, port, err := net.SplitHostPort(addr)
				if err != nil {
					return nil, err
				}
				return (&net.Dialer{}).DialContext(ctx, network, "127.0.0.1:"+port)
			},
		},
	}
	return s, link, client
}

func body(t *testing.T, r *http.Response, err error) string {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	data, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestLAN(t *testing.T) {
	s, link, client := onNetwork(t)
	// Plain HTTP gives the trust page and the certificate, and nothing of the
	// school, whoever asks for what.
	trust := s.LAN.TrustURL("kestmoor.local")
	r, err := client.Get(trust)
	page := body(t, r, err)
	for _, want := range []string{"Trust Kestmoor Lift School", s.LAN.Fingerprint[:9][:4], s.LAN.Origin(), "https://192.168.4.7:"} {
		if !strings.Contains(page, want) {
			t.Errorf("the trust page does not say %q", want)
		}
	}
	r, err = client.Get(trust + "authority.crt")
	if got := body(t, r, err); !bytes.Equal([]byte(got), s.LAN.Authority) || r.Header.Get("Content-Type") != "application/x-x509-ca-cert" {
		t.Errorf("the certificate: %d bytes, %s", len(got), r.Header.Get("Content-Type"))
	}
	for _, path := range []string{"signin", "rig/crate", "people", "welcome/" + link} {
		r, err = client.Get(trust + path)
		if got := body(t, r, err); r.StatusCode != http.StatusSeeOther || strings.Contains(got, "crate</") {
			t.Errorf("plain HTTP gives /%s: %d", path, r.StatusCode)
		}
	}
	r, err = client.Post(trust, "text/plain", strings.NewReader("x"))
	if body(t, r, err); r.StatusCode != http.StatusMethodNotAllowed {
		t.Errorf("posting to the trust page: %d", r.StatusCode)
	}

	// TLS gives the school, with a cookie held to this very host.
	r, err = client.PostForm(s.LAN.Origin()+"/welcome/"+link, url.Values{"login": {"chief"}, "passphrase": {goodPassphrase}, "again": {goodPassphrase}})
	body(t, r, err)
	cookies := r.Cookies()
	if r.StatusCode != http.StatusSeeOther || len(cookies) != 1 || cookies[0].Name != "__Host-hangtrue" || !cookies[0].Secure || !cookies[0].HttpOnly {
		t.Fatalf("signed in over TLS: %d %v", r.StatusCode, cookies)
	}
	q, err := http.NewRequest("GET", s.LAN.Origin()+"/tablets", nil)
	if err != nil {
		t.Fatal(err)
	}
	q.AddCookie(cookies[0])
	r, err = client.Do(q)
	if got := body(t, r, err); r.StatusCode != http.StatusOK || !strings.Contains(got, s.LAN.TrustURL("192.168.4.7")) || !strings.Contains(got, s.LAN.Fingerprint[:4]) {
		t.Errorf("the page about tablets: %d", r.StatusCode)
	}
	// A name that is not the school's is refused by the server, and by the
	// client before it.
	q, err = http.NewRequest("GET", s.LAN.Origin()+"/signin", nil)
	if err != nil {
		t.Fatal(err)
	}
	q.Host = "elsewhere.example"
	r, err = client.Do(q)
	if body(t, r, err); r.StatusCode != http.StatusMisdirectedRequest {
		t.Errorf("another name: %d", r.StatusCode)
	}
	if _, err := client.Get("https://elsewhere.local:" + portOf(s.LAN.Addr) + "/"); err == nil {
		t.Error("the certificate is taken for another name")
	}
}

func TestLAN_NeedsASchool(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	s.Addr, s.LAN = "127.0.0.1:0", &LAN{}
	if _, err := s.Listen(); err == nil || !strings.Contains(err.Error(), "a school is needed") {
		t.Errorf("a folder on the network: %v", err)
	}
}
