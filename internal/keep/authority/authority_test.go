package authority

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"fmt"
	"math/big"
	"net"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"strings"
	"testing"
	"time"
)

var day = time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)

func made(t *testing.T) *Authority {
	t.Helper()
	a, err := New("Kestmoor Lift School", "kestmoor.local", day)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func verify(a *Authority, der []byte, host string, at time.Time) error {
	leaf, err := x509.ParseCertificate(der)
	if err != nil {
		return err
	}
	roots := x509.NewCertPool()
	roots.AddCert(a.cert)
	_, err = leaf.Verify(x509.VerifyOptions{DNSName: host, Roots: roots, CurrentTime: at})
	return err
}

func TestIssue(t *testing.T) {
	a := made(t)
	c, err := a.Issue([]netip.Addr{netip.MustParseAddr("192.168.4.7"), netip.MustParseAddr("8.8.8.8"), netip.MustParseAddr("fe80::1%wlan0")}, day)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		host string
		at   time.Time
		want bool
	}{
		{"kestmoor.local", day, true},
		{"localhost", day, true},
		{"192.168.4.7", day, true},
		{"fe80::1", day, true},
		{"8.8.8.8", day, false},
		{"other.local", day, false},
		{"kestmoor.local", day.Add(-71 * time.Hour), true}, // a tablet whose clock is behind
		{"kestmoor.local", day.Add(-73 * time.Hour), false},
		{"kestmoor.local", day.Add(396 * 24 * time.Hour), true},
		{"kestmoor.local", day.Add(398 * 24 * time.Hour), false},
	} {
		if err := verify(a, c.Certificate[0], x.host, x.at); (err == nil) != x.want {
			t.Errorf("%s at %s: %v, want accepted %v", x.host, x.at.Format(time.DateOnly), err, x.want)
		}
	}
	if _, err := a.Issue(nil, day.Add(11*365*24*time.Hour)); err == nil || !strings.Contains(err.Error(), "ended on") {
		t.Errorf("after its end: %v", err)
	}
}

// Who has stolen the key can make any certificate; browsers must still refuse
// those for other names.
func TestNameConstraints_HoldForAThief(t *testing.T) {
	a := made(t)
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		name, ip string
		want     bool
	}{
		{"kestmoor.local", "", true},
		{"www.example.org", "", false},
		{"", "203.0.113.9", false},
		{"", "10.1.2.3", true},
	} {
		template := &x509.Certificate{
			SerialNumber: big.NewInt(7), NotBefore: day, NotAfter: day.Add(time.Hour),
			ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		}
		host := x.name
		if x.name != "" {
			template.DNSNames = []string{x.name}
		} else {
			template.IPAddresses, host = []net.IP{net.ParseIP(x.ip)}, x.ip
		}
		der, err := x509.CreateCertificate(rand.Reader, template, a.cert, &key.PublicKey, a.key)
		if err != nil {
			t.Fatal(err)
		}
		if err := verify(a, der, host, day); (err == nil) != x.want {
			t.Errorf("%s: %v, want accepted %v", host, err, x.want)
		}
	}
}

func TestLoad(t *testing.T) {
	a, other := made(t), made(t)
	key, err := a.KeyPEM()
	if err != nil {
		t.Fatal(err)
	}
	b, err := Load(a.PEM(), key)
	if err != nil {
		t.Fatal(err)
	}
	if b.Name() != "kestmoor.local" || b.Fingerprint() != a.Fingerprint() || !b.Ends().Equal(a.Ends()) {
		t.Errorf("loaded %s %s", b.Name(), b.Fingerprint())
	}
	if _, err := Load(other.PEM(), key); err == nil || !strings.Contains(err.Error(), "not that of the certificate") {
		t.Errorf("another's key: %v", err)
	}
	if _, err := Load([]byte("x"), key); err == nil {
		t.Error("no certificate was taken")
	}
	sum := sha256.Sum256(a.DER())
	if got := strings.ReplaceAll(a.Fingerprint(), " ", ""); got != fmt.Sprintf("%X", sum) {
		t.Errorf("fingerprint %s", got)
	}
}

func TestCheckName(t *testing.T) {
	for name, want := range map[string]bool{
		"kestmoor.local": true, "hut-school-2.local": true, "": false, ".local": false, "kestmoor": false, "kestmoor.com": false,
		"a.b.local": false, "Kestmoor.local": false, "-a.local": false, "a-.local": false, strings.Repeat("a", 64) + ".local": false,
	} {
		if err := CheckName(name); (err == nil) != want {
			t.Errorf("%q: %v", name, err)
		}
	}
}

func TestIssue_ServesTLS(t *testing.T) {
	now := time.Now()
	a, err := New("School", "school.local", now)
	if err != nil {
		t.Fatal(err)
	}
	c, err := a.Issue([]netip.Addr{netip.MustParseAddr("127.0.0.1")}, now)
	if err != nil {
		t.Fatal(err)
	}
	s := httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusTeapot) }))
	s.TLS = &tls.Config{Certificates: []tls.Certificate{c}, MinVersion: tls.VersionTLS13}
	s.StartTLS()
	defer s.Close()
	roots := x509.NewCertPool()
	roots.AppendCertsFromPEM(a.PEM())
	client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots, MinVersion: tls.VersionTLS13}}}
	r, err := client.Get(s.URL)
	if err != nil {
		t.Fatal(err)
	}
	r.Body.Close()
	if r.StatusCode != http.StatusTeapot {
		t.Errorf("status %d", r.StatusCode)
	}
}
