package authority

import (
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"net"
	"net/netip"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"solander/fault"
)

var (
	noon = time.Date(2031, 3, 2, 12, 0, 0, 0, time.UTC)
	here = Names{[]netip.Addr{netip.MustParseAddr("192.168.7.20"), netip.MustParseAddr("fd00::2")}, []string{"atelier.local"}}
)

// verified asks crypto/x509 whether a certificate is good for a name at an instant, when only this authority is trusted.
func verified(s *tls.Certificate, ca []byte, name string, at time.Time) error {
	root, err := x509.ParseCertificate(ca)
	if err != nil {
		return err
	}
	pool := x509.NewCertPool()
	pool.AddCert(root)
	_, err = s.Leaf.Verify(x509.VerifyOptions{Roots: pool, DNSName: name, CurrentTime: at})
	return err
}

// Clocks may be off by a day, on either side. Its life is short.
func TestACertificateOfThisMachine(t *testing.T) {
	s, err := Own(t.TempDir()).For(here, noon)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"192.168.7.20", "[fd00::2]", "atelier.local"} {
		for _, at := range []time.Duration{-24 * time.Hour, 0, 24 * time.Hour} {
			if err := verified(s.TLS, s.Authority, name, noon.Add(at)); err != nil {
				t.Errorf("%s at %s: %v", name, at, err)
			}
		}
		for _, at := range []time.Duration{-26 * time.Hour, 8 * 24 * time.Hour} {
			if verified(s.TLS, s.Authority, name, noon.Add(at)) == nil {
				t.Errorf("%s is good at %s", name, at)
			}
		}
	}
	for _, name := range []string{"192.168.7.21", "example.org", "localhost"} {
		if verified(s.TLS, s.Authority, name, noon) == nil {
			t.Errorf("good for %s", name)
		}
	}
}

// Whoever had the key could vouch for nothing else: crypto/x509 and OpenSSL both refuse what it signs for a foreign name, by the
// constraints (RFC 5280, 4.2.1.10), and take what it signs for its own.
func TestTheAuthorityVouchesForNothingElse(t *testing.T) {
	if _, err := exec.LookPath("openssl"); err != nil {
		t.Fatal("no openssl: make test installs it")
	}
	a, err := begin(here, noon)
	if err != nil {
		t.Fatal(err)
	}
	nameless, err := begin(Names{Addresses: here.Addresses}, noon)
	if err != nil {
		t.Fatal(err)
	}
	one := func(ip string) Names { return Names{Addresses: []netip.Addr{netip.MustParseAddr(ip)}} }
	host := func(h string) Names { return Names{Hosts: []string{h}} }
	for _, c := range []struct {
		by   *authority
		n    Names
		good bool
	}{
		{a, here, true},
		{a, one("192.168.7.20"), true},
		{a, one("192.168.7.21"), false},
		{a, one("8.8.8.8"), false},
		{a, one("fd00::3"), false},
		{a, host("atelier.local"), true},
		{a, host("bank.example"), false},
		{a, Names{here.Addresses, []string{"bank.example"}}, false},
		{nameless, one("fd00::2"), true},
		{nameless, host("atelier.local"), false},
	} {
		leaf, err := c.by.vouch(c.n, noon)
		if err != nil {
			t.Fatal(err)
		}
		name := append(c.n.Hosts, "")[0]
		if len(c.n.Addresses) > 0 {
			name = "[" + c.n.Addresses[0].String() + "]"
		}
		err = verified(leaf, c.by.cert.Raw, name, noon)
		if (err == nil) != c.good {
			t.Errorf("crypto/x509 says of %v: %v", c.n, err)
		}
		said, ok := opensslVerifies(t, c.by.cert.Raw, leaf.Certificate[0])
		if ok != c.good || !c.good && !strings.Contains(said, "permitted subtree violation") {
			t.Errorf("OpenSSL says of %v: %s", c.n, said)
		}
	}
	ca := exec.Command("openssl", "x509", "-noout", "-text")
	ca.Stdin = strings.NewReader(string(pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: a.cert.Raw})))
	text, err := ca.Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Name Constraints: critical", "IP:192.168.7.20/255.255.255.255", "CA:TRUE, pathlen:0", "TLS Web Server Authentication", "ASN1 OID: prime256v1"} {
		if !strings.Contains(string(text), want) {
			t.Errorf("OpenSSL does not read %q in the authority:\n%s", want, text)
		}
	}
}

func opensslVerifies(t *testing.T, ca, leaf []byte) (said string, ok bool) {
	t.Helper()
	dir := t.TempDir()
	for name, der := range map[string][]byte{"ca.pem": ca, "leaf.pem": leaf} {
		if err := os.WriteFile(filepath.Join(dir, name), pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	out, err := exec.Command("openssl", "verify", "-x509_strict", "-purpose", "sslserver", "-attime", "1930219200", "-CAfile", filepath.Join(dir, "ca.pem"), filepath.Join(dir, "leaf.pem")).CombinedOutput() // noon
	return string(out), err == nil
}

// The authority stays while the machine is called as it was, also after a start; it is another one at another address, and the first
// again where the address is the first again.
func TestTheAuthorityStays(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "deep", "trust")
	k := Own(folder)
	get := func(k *Keeper, n Names, at time.Time) Shown {
		t.Helper()
		s, err := k.For(n, at)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	fair := Names{[]netip.Addr{netip.MustParseAddr("10.0.0.9")}, here.Hosts}
	first := get(k, here, noon)
	if again := get(k, here, noon.Add(time.Hour)); again.TLS != first.TLS {
		t.Error("a new certificate within the hour")
	}
	if later := get(k, here, noon.Add(4*24*time.Hour)); later.TLS == first.TLS || string(later.Authority) != string(first.Authority) {
		t.Error("after four days the certificate is not another of the same authority")
	}
	if back := get(k, here, noon.Add(-26*time.Hour)); verified(back.TLS, back.Authority, "atelier.local", noon.Add(-26*time.Hour)) != nil {
		t.Error("the clock was put back, and the certificate does not hold")
	}
	there := get(k, fair, noon.Add(time.Hour))
	if string(there.Authority) == string(first.Authority) {
		t.Error("one authority for two places")
	}
	if verified(there.TLS, there.Authority, "10.0.0.9", noon) != nil || verified(there.TLS, first.Authority, "10.0.0.9", noon) == nil {
		t.Error("the authority of one place vouches for the other")
	}
	if home := get(Own(folder), here, noon.Add(2*time.Hour)); string(home.Authority) != string(first.Authority) {
		t.Error("back home after a start, the authority is another")
	}
	part := Names{here.Addresses[:1], nil}
	if home := get(k, part, noon); string(home.Authority) != string(first.Authority) || len(home.TLS.Leaf.IPAddresses) != 1 {
		t.Error("with one address less it is another authority, or vouches for the lost one")
	}
	if old := get(k, here, noon.Add(life-lastDays)); string(old.Authority) == string(first.Authority) {
		t.Error("it is used to its last day")
	}
	if runtime.GOOS != "windows" {
		onlyHers(t, folder)
	}
}

func onlyHers(t *testing.T, folder string) {
	t.Helper()
	if info, err := os.Stat(folder); err != nil || info.Mode().Perm() != 0o700 {
		t.Errorf("the folder: %v, %v", info.Mode(), err)
	}
	keys, err := filepath.Glob(filepath.Join(folder, "*.key"))
	if err != nil || len(keys) < 3 {
		t.Fatalf("%d keys, %v", len(keys), err)
	}
	for _, key := range keys {
		if info, err := os.Stat(key); err != nil || info.Mode().Perm() != 0o600 {
			t.Errorf("%s: %v, %v", key, info.Mode(), err)
		}
	}
	if err := os.Chmod(keys[len(keys)-1], 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := Own(folder).For(here, noon); !fault.Is(err, fault.Refused) {
		t.Errorf("a key that others can read: %v", err)
	}
}

// Half of a pair, or a file that is none, is passed over; the folder does not grow without end.
func TestAFolderInDisorder(t *testing.T) {
	folder := t.TempDir()
	first, err := Own(folder).For(here, noon)
	if err != nil {
		t.Fatal(err)
	}
	keys, _ := filepath.Glob(filepath.Join(folder, "*.key"))
	if err := os.Truncate(keys[0], 20); err != nil {
		t.Fatal(err)
	}
	second, err := Own(folder).For(here, noon.Add(time.Minute))
	if err != nil || string(second.Authority) == string(first.Authority) {
		t.Errorf("a broken key: %v", err)
	}
	for i := range 20 {
		if _, err := Own(folder).For(Names{Addresses: []netip.Addr{netip.AddrFrom4([4]byte{10, 0, 0, byte(i)})}}, noon.Add(time.Duration(i)*time.Hour)); err != nil {
			t.Fatal(err)
		}
	}
	if all, _ := filepath.Glob(filepath.Join(folder, "*")); len(all) > 2*(mostKept+1) {
		t.Errorf("%d files", len(all))
	}
}

func TestAGivenCertificate(t *testing.T) {
	dir := t.TempDir()
	cert, key := filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	k := Given(cert, key)
	if _, err := k.For(here, noon); !fault.Is(err, fault.Invalid) {
		t.Errorf("no files: %v", err)
	}
	out, err := exec.Command("openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-nodes", "-keyout", key, "-out", cert,
		"-subj", "/CN=atelier", "-addext", "subjectAltName=DNS:atelier.example", "-days", "30").CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	now := time.Now()
	s, err := k.For(here, now)
	if err != nil || s.Authority != nil || s.TLS.Leaf.DNSNames[0] != "atelier.example" {
		t.Errorf("%+v, %v", s, err)
	}
	for _, at := range []time.Duration{-24 * time.Hour, 31 * 24 * time.Hour} {
		if _, err := k.For(here, now.Add(at)); !fault.Is(err, fault.Refused) {
			t.Errorf("at %s: %v", at, err)
		}
	}
	if err := os.Chmod(key, 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := k.For(here, now); runtime.GOOS != "windows" && !fault.Is(err, fault.Refused) {
		t.Errorf("a key that others can read: %v", err)
	}
}

// The fingerprint is the one that other programs show.
func TestPrint(t *testing.T) {
	a, err := begin(Names{Addresses: []netip.Addr{netip.MustParseAddr("10.1.2.3")}}, noon)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("openssl", "x509", "-inform", "DER", "-noout", "-fingerprint", "-sha256")
	cmd.Stdin = strings.NewReader(string(a.cert.Raw))
	out, err := cmd.Output()
	if err != nil || !strings.Contains(string(out), "="+Print(a.cert.Raw)) {
		t.Errorf("OpenSSL says %s (%v), Print %s", out, err, Print(a.cert.Raw))
	}
	if !net.ParseIP("10.1.2.3").Equal(a.cert.PermittedIPRanges[0].IP) {
		t.Error("another address")
	}
}
