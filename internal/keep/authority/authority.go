// Package authority makes and uses a school's own certificate authority, so that
// tablets on a network without internet reach the school's server over TLS, which
// browsers demand before a page may work offline.
//
// The authority's certificate is name-constrained: it can vouch for the school's
// one name, for localhost and for addresses of private networks, and for nothing
// else, so that a tablet that trusts it cannot be led astray about any other
// site, even by somebody who has stolen its key.
//
// Nothing here opens files or asks the clock: bytes and times are handed in.
package authority

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"math/big"
	"net/netip"
	"strings"
	"time"
)

const (
	// life of the authority. Tablets are led through trusting it once, so it
	// outlives them.
	life = 10 * 365 * 24 * time.Hour
	// leafLife is how long a server's certificate holds. Browsers refuse more
	// than 398 days of authorities that they ship and 825 of added ones.
	leafLife = 397 * 24 * time.Hour
	// early is how much earlier than now a certificate begins: a tablet without
	// internet has whatever time it was left with.
	early = 72 * time.Hour
)

// Private are the networks whose addresses an authority may vouch for: RFC 1918,
// RFC 3927, RFC 4193, RFC 4291 link-local, and loopback.
var Private = []netip.Prefix{
	netip.MustParsePrefix("10.0.0.0/8"),
	netip.MustParsePrefix("172.16.0.0/12"),
	netip.MustParsePrefix("192.168.0.0/16"),
	netip.MustParsePrefix("169.254.0.0/16"),
	netip.MustParsePrefix("127.0.0.0/8"),
	netip.MustParsePrefix("fc00::/7"),
	netip.MustParsePrefix("fe80::/10"),
	netip.MustParsePrefix("::1/128"),
}

// Authority is a school's certificate authority with its key.
type Authority struct {
	cert *x509.Certificate
	key  *ecdsa.PrivateKey
	name string
}

// New makes an authority for a server of a name such as hut-school.local, valid
// from now. school is put into the certificate for people to read.
func New(school, name string, now time.Time) (*Authority, error) {
	if err := CheckName(name); err != nil {
		return nil, err
	}
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, fmt.Errorf("authority: %w", err)
	}
	serial, err := newSerial()
	if err != nil {
		return nil, err
	}
	template := &x509.Certificate{
		SerialNumber:                serial,
		Subject:                     pkix.Name{CommonName: "Hangtrue, " + school},
		NotBefore:                   now.Add(-early),
		NotAfter:                    now.Add(life),
		KeyUsage:                    x509.KeyUsageCertSign | x509.KeyUsageCRLSign,
		BasicConstraintsValid:       true,
		IsCA:                        true,
		MaxPathLenZero:              true,
		PermittedDNSDomainsCritical: true,
		PermittedDNSDomains:         []string{name, "localhost"},
	}
	for _, p := range Private {
		template.PermittedIPRanges = append(template.PermittedIPRanges, ipNet(p))
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, &key.PublicKey, key)
	if err != nil {
		return nil, fmt.Errorf("authority: %w", err)
	}
	cert, err := x509.ParseCertificate(der)
	if err != nil {
		return nil, fmt.Errorf("authority: %w", err)
	}
	return &Authority{cert, key, name}, nil
}

// Load reads an authority that [Authority.PEM] and [Authority.KeyPEM] wrote. It
// fails where the two do not belong together or the certificate is no authority
// of this package.
func Load(certificate, key []byte) (*Authority, error) {
	c, _ := pem.Decode(certificate)
	k, _ := pem.Decode(key)
	if c == nil || c.Type != "CERTIFICATE" || k == nil || k.Type != "PRIVATE KEY" {
		return nil, errors.New("authority: the certificate and its key are not in PEM as written")
	}
	cert, err := x509.ParseCertificate(c.Bytes)
	if err != nil {
		return nil, fmt.Errorf("authority: certificate: %w", err)
	}
	parsed, err := x509.ParsePKCS8PrivateKey(k.Bytes)
	if err != nil {
		return nil, fmt.Errorf("authority: key: %w", err)
	}
	private, ok := parsed.(*ecdsa.PrivateKey)
	switch {
	case !ok || !private.PublicKey.Equal(cert.PublicKey):
		return nil, errors.New("authority: the key is not that of the certificate")
	case !cert.IsCA || len(cert.PermittedDNSDomains) == 0:
		return nil, errors.New("authority: the certificate is no authority's of this program")
	}
	return &Authority{cert, private, cert.PermittedDNSDomains[0]}, nil
}

// CheckName refuses what cannot be the one name of a school's server for life:
// lower case letters, digits and hyphens, ended by .local.
func CheckName(name string) error {
	label, ok := strings.CutSuffix(name, ".local")
	if !ok || label == "" || len(label) > 63 || strings.Trim(label, "abcdefghijklmnopqrstuvwxyz0123456789-") != "" ||
		strings.HasPrefix(label, "-") || strings.HasSuffix(label, "-") {
		return fmt.Errorf("authority: %q cannot be the server's name: lower case letters, digits and hyphens, then .local, as in hut-school.local", name)
	}
	return nil
}

// Name is the server's one name.
func (a *Authority) Name() string { return a.name }

// Ends is when the authority's certificate ends.
func (a *Authority) Ends() time.Time { return a.cert.NotAfter }

// DER is the certificate as tablets install it.
func (a *Authority) DER() []byte { return append([]byte(nil), a.cert.Raw...) }

// PEM is the certificate as text.
func (a *Authority) PEM() []byte {
	return pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: a.cert.Raw})
}

// KeyPEM is the key as text. Who has it can pretend to be the school's server.
func (a *Authority) KeyPEM() ([]byte, error) {
	der, err := x509.MarshalPKCS8PrivateKey(a.key)
	if err != nil {
		return nil, fmt.Errorf("authority: %w", err)
	}
	return pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: der}), nil
}

// Fingerprint is the SHA-256 of the certificate in groups of four hexadecimal
// digits, to be compared by eye with what the tablet shows.
func (a *Authority) Fingerprint() string {
	sum := sha256.Sum256(a.cert.Raw)
	var groups []string
	for i := 0; i < len(sum); i += 2 {
		groups = append(groups, fmt.Sprintf("%02X%02X", sum[i], sum[i+1]))
	}
	return strings.Join(groups, " ")
}

// Issue makes a server's certificate with a fresh key for the authority's name,
// localhost and the addresses, valid from now. Addresses outside private
// networks are left out: no tablet would accept them.
func (a *Authority) Issue(addresses []netip.Addr, now time.Time) (tls.Certificate, error) {
	if now.After(a.cert.NotAfter) {
		return tls.Certificate{}, fmt.Errorf("authority: it ended on %s; make a new one and lead the tablets through trusting it", a.cert.NotAfter.Format(time.DateOnly))
	}
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return tls.Certificate{}, fmt.Errorf("authority: %w", err)
	}
	serial, err := newSerial()
	if err != nil {
		return tls.Certificate{}, err
	}
	ends := now.Add(leafLife)
	if ends.After(a.cert.NotAfter) {
		ends = a.cert.NotAfter
	}
	template := &x509.Certificate{
		SerialNumber: serial,
		Subject:      pkix.Name{CommonName: a.name},
		NotBefore:    now.Add(-early),
		NotAfter:     ends,
		KeyUsage:     x509.KeyUsageDigitalSignature,
		ExtKeyUsage:  []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		DNSNames:     []string{a.name, "localhost"},
	}
	for _, address := range addresses {
		if address = address.Unmap().WithZone(""); MayVouch(address) {
			template.IPAddresses = append(template.IPAddresses, address.AsSlice())
		}
	}
	der, err := x509.CreateCertificate(rand.Reader, template, a.cert, &key.PublicKey, a.key)
	if err != nil {
		return tls.Certificate{}, fmt.Errorf("authority: %w", err)
	}
	return tls.Certificate{Certificate: [][]byte{der, a.cert.Raw}, PrivateKey: key}, nil
}

// MayVouch reports whether an address is one of a private network.
func MayVouch(address netip.Addr) bool {
	for _, p := range Private {
		if p.Contains(address) {
			return true
		}
	}
	return false
}

func newSerial() (*big.Int, error) {
	// RFC 5280 wants a positive number of at most 20 octets.
	serial, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 127))
	if err != nil {
		return nil, fmt.Errorf("authority: %w", err)
	}
	return serial.Add(serial, big.NewInt(1)), nil
}
