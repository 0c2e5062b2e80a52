// Package authority vouches for this machine to a phone on the same network: by a small certificate authority of its own, or by a
// certificate that the artist gives.
//
// An authority is good for this machine alone. Its certificate permits, as critical name constraints (RFC 5280, 4.2.1.10), the very
// addresses and the name that the machine had when it was made, each address by itself; whoever steals its key can vouch for nothing
// else. When the machine has another address, another authority is made beside it, and the phone must be told to trust that one; where
// the machine comes back to an address, the authority of it is found again.
//
// Keys are ECDSA P-256 and stand in a folder of their own, outside the database and its copies, for the user alone. The certificate shown
// to a phone is made anew in memory and lives for a week. The instant is always an argument.
package authority

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"fmt"
	"net"
	"net/netip"
	"slices"
	"strings"
	"time"
)

const (
	life     = 2 * 365 * 24 * time.Hour // of an authority
	lastDays = 30 * 24 * time.Hour      // it is not used in its last days: another is made in time
	slack    = 25 * time.Hour           // a certificate holds from so long before it was made: a phone's clock may be a day late
	week     = 7 * 24 * time.Hour       // how long the certificate of the machine lives
)

// Names are what a machine is called on its local networks.
type Names struct {
	Addresses []netip.Addr
	Hosts     []string // in lower case, without a dot at the end
}

// nobody is the name that is permitted where the machine has none: with no name in the list, every name would be. Source: RFC 2606, section
// 2: .invalid is no one's.
const nobody = "none.invalid"

// permits reports whether all names of n may be vouched for by a.
func (a *authority) permits(n Names) bool {
	for _, ip := range n.Addresses {
		if !slices.ContainsFunc(a.cert.PermittedIPRanges, func(p *net.IPNet) bool { return p.Contains(ip.AsSlice()) }) {
			return false
		}
	}
	for _, h := range n.Hosts {
		if !slices.Contains(a.cert.PermittedDNSDomains, h) {
			return false
		}
	}
	return len(n.Addresses)+len(n.Hosts) > 0
}

// authority is one certificate authority with its key.
type authority struct {
	cert *x509.Certificate
	key  *ecdsa.PrivateKey
}

// begin makes an authority for the names of a machine.
func begin(n Names, now time.Time) (*authority, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	called := "this computer"
	if len(n.Hosts) > 0 {
		called, _, _ = strings.Cut(n.Hosts[0], ".")
	}
	form := &x509.Certificate{
		Subject:                     pkix.Name{CommonName: fmt.Sprintf("Solander on %.30s, %s", called, now.UTC().Format(time.DateOnly))},
		NotBefore:                   now.Add(-2 * slack),
		NotAfter:                    now.Add(life),
		IsCA:                        true,
		BasicConstraintsValid:       true,
		MaxPathLenZero:              true,
		KeyUsage:                    x509.KeyUsageCertSign,
		ExtKeyUsage:                 []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		PermittedDNSDomainsCritical: true,
		PermittedDNSDomains:         n.Hosts,
	}
	if len(n.Hosts) == 0 {
		form.PermittedDNSDomains = []string{nobody}
	}
	for _, ip := range n.Addresses {
		form.PermittedIPRanges = append(form.PermittedIPRanges, &net.IPNet{IP: ip.AsSlice(), Mask: net.CIDRMask(ip.BitLen(), ip.BitLen())})
	}
	der, err := x509.CreateCertificate(rand.Reader, form, form, &key.PublicKey, key)
	if err != nil {
		return nil, err
	}
	cert, err := x509.ParseCertificate(der)
	return &authority{cert, key}, err
}

// vouch makes the certificate of the machine, with a key of its own.
func (a *authority) vouch(n Names, now time.Time) (*tls.Certificate, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	form := &x509.Certificate{
		NotBefore:             now.Add(-slack),
		NotAfter:              now.Add(week),
		BasicConstraintsValid: true,
		KeyUsage:              x509.KeyUsageDigitalSignature,
		ExtKeyUsage:           []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		DNSNames:              n.Hosts,
	}
	for _, ip := range n.Addresses {
		form.IPAddresses = append(form.IPAddresses, ip.AsSlice())
	}
	der, err := x509.CreateCertificate(rand.Reader, form, a.cert, &key.PublicKey, a.key)
	if err != nil {
		return nil, err
	}
	leaf, err := x509.ParseCertificate(der)
	if err != nil {
		return nil, err
	}
	return &tls.Certificate{Certificate: [][]byte{der, a.cert.Raw}, PrivateKey: key, Leaf: leaf}, nil
}

// Print is the fingerprint of a certificate as phones and browsers show it: SHA-256 in hex, by twos.
func Print(der []byte) string {
	sum := sha256.Sum256(der)
	return strings.ReplaceAll(fmt.Sprintf("% X", sum[:]), " ", ":")
}
