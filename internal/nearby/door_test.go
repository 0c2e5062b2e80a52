package nearby

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"solander/fault"
	"solander/internal/authority"
)

// clock is a clock that a test puts.
type clock struct{ at atomic.Int64 }

func (c *clock) now() time.Time        { return time.Unix(c.at.Load(), 0) }
func (c *clock) after(d time.Duration) { c.at.Add(int64(d / time.Second)) }

// tried is a door whose local network is this machine alone.
type tried struct {
	*Door
	t     *testing.T
	clock *clock
	tick  chan time.Time
	names authority.Names
	note  string
}

func aDoor(t *testing.T, change ...func(*Options)) *tried {
	t.Helper()
	d := &tried{
		t: t, clock: &clock{}, tick: make(chan time.Time), note: filepath.Join(t.TempDir(), "open.json"),
		names: authority.Names{Addresses: []netip.Addr{netip.MustParseAddr("127.0.0.1")}, Hosts: []string{"atelier.local"}},
	}
	d.clock.at.Store(time.Now().Unix())
	opt := Options{
		Listen: "127.0.0.1:0", Keeper: authority.Own(t.TempDir()), Clock: d.clock.now, Note: d.note,
		Server: func(h http.Handler) *http.Server {
			return &http.Server{Handler: h, ReadHeaderTimeout: time.Second, MaxHeaderBytes: 64 << 10}
		},
		Names: func() (authority.Names, error) { return d.names, nil }, Local: netip.Addr.IsLoopback,
	}
	for _, c := range change {
		c(&opt)
	}
	d.Door = New(opt)
	d.Answer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { fmt.Fprint(w, "came: ", Came(r.Context())) }))
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan bool)
	go func() { d.Run(ctx, d.tick); close(ended) }()
	t.Cleanup(func() {
		stop()
		<-ended
	})
	return d
}

// opened opens it and returns its first address, and a client that trusts its authority alone.
func (d *tried) opened(long time.Duration) (base string, c *http.Client) {
	d.t.Helper()
	if err := d.Open(long); err != nil {
		d.t.Fatal(err)
	}
	s := d.State()
	return s.Bases[0], trusting(d.t, s.Authority)
}

func trusting(t *testing.T, der []byte) *http.Client {
	t.Helper()
	ca, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	pool := x509.NewCertPool()
	pool.AddCert(ca)
	tr := &http.Transport{TLSClientConfig: &tls.Config{RootCAs: pool}, ForceAttemptHTTP2: true}
	t.Cleanup(tr.CloseIdleConnections)
	return &http.Client{Transport: tr, Timeout: 10 * time.Second}
}

func said(c *http.Client, url, host string) (status int, body string, err error) {
	req, err := http.NewRequest(http.MethodGet, url, nil)
	if err != nil {
		return 0, "", err
	}
	req.Host = host
	res, err := c.Do(req)
	if err != nil {
		return 0, "", err
	}
	defer res.Body.Close()
	b, err := io.ReadAll(res.Body)
	return res.StatusCode, string(b), err
}

// Shut at first, open when she says so, shut again when its time is over: also for who is connected already, and for who comes before
// anybody looked at the clock.
func TestTheDoorShutsItself(t *testing.T) {
	d := aDoor(t)
	if s := d.State(); s.On {
		t.Error("it was open from the beginning")
	}
	base, c := d.opened(time.Hour)
	if code, body, err := said(c, base+"/", ""); err != nil || code != 200 || body != "came: true" {
		t.Fatalf("%d %q %v", code, body, err)
	}
	if n, err := Noted(d.note, d.clock.now()); err != nil || n.Bases[0] != base || n.Print != d.State().Print {
		t.Errorf("the note: %+v, %v", n, err)
	}
	d.clock.after(59 * time.Minute)
	d.tick <- time.Time{}
	if code, _, err := said(c, base+"/", ""); err != nil || code != 200 {
		t.Errorf("a minute before its end: %d %v", code, err)
	}
	d.clock.after(time.Minute)
	if code, _, err := said(c, base+"/", ""); err == nil && code == 200 {
		t.Error("it answers after its time, on a connection of before")
	}
	if s := d.State(); s.On || s.Bases != nil {
		t.Errorf("after its time: %+v", s)
	}
	if _, err := net.DialTimeout("tcp", strings.TrimPrefix(base, "https://"), time.Second); err == nil {
		t.Error("the port is still open")
	}
	if _, err := Noted(d.note, d.clock.now()); !fault.Is(err, fault.Refused) {
		t.Errorf("the note: %v", err)
	}
	base, c = d.opened(time.Hour)
	d.clock.after(2 * time.Hour) // as after a sleep of the computer
	d.tick <- time.Time{}
	d.tick <- time.Time{} // the first was taken: it has looked
	if _, _, err := said(c, base+"/", ""); err == nil {
		t.Error("a tick did not shut it")
	}
}

func TestTheDoorIsShutByHand(t *testing.T) {
	d := aDoor(t)
	base, c := d.opened(8 * time.Hour)
	if err := d.Open(time.Hour); err != nil {
		t.Fatal(err)
	}
	if left := d.State().Until.Sub(d.clock.now()); left != time.Hour {
		t.Errorf("said anew, it stays open for %s", left)
	}
	if err := errors.Join(d.Shut(), d.Shut()); err != nil {
		t.Error(err)
	}
	if _, _, err := said(c, base+"/", ""); err == nil {
		t.Error("it answers")
	}
	for _, long := range []time.Duration{0, time.Minute, 25 * time.Hour} {
		if err := d.Open(long); !fault.Is(err, fault.Invalid) {
			t.Errorf("%s: %v", long, err)
		}
	}
	d.names = authority.Names{}
	if err := d.Open(time.Hour); !fault.Is(err, fault.Refused) || d.State().On {
		t.Errorf("without a network: %v", err)
	}
}

// A page of another site whose name was pointed here is not answered; nor is the name of this machine alone, or another port.
func TestTheDoorKnowsItsNames(t *testing.T) {
	d := aDoor(t)
	base, c := d.opened(time.Hour)
	at := strings.TrimPrefix(base, "https://")
	_, port, _ := net.SplitHostPort(at)
	for host, want := range map[string]int{
		at: 200, "127.0.0.1": 200, "atelier.local:" + port: 200, "ATELIER.local": 200,
		"localhost:" + port: 421, "evil.example": 421, "127.0.0.1.evil.example:" + port: 421, "127.0.0.2:" + port: 421, "atelier.local:1": 421, "x.atelier.local": 421, "[::1]": 421,
	} {
		if code, _, err := said(c, base+"/", host); err != nil || code != want {
			t.Errorf("Host %s: %d %v, not %d", host, code, err, want)
		}
	}
	if res, err := http.Get("http://" + at + "/"); err != nil || res.StatusCode != 400 { // net/http says that it speaks TLS
		t.Errorf("without TLS: %v %v", res, err)
	}
}

// The machine gets another address: the next one who comes is shown another certificate, by another authority.
func TestTheDoorIsCalledOtherwise(t *testing.T) {
	d := aDoor(t, func(o *Options) { o.Listen = ":0" })
	base, c := d.opened(time.Hour)
	was := d.State()
	d.names = authority.Names{Addresses: []netip.Addr{netip.MustParseAddr("127.0.0.3")}}
	d.tick <- time.Time{}
	d.tick <- time.Time{}
	is := d.State()
	if is.Print == was.Print || len(is.Bases) != 1 || !strings.Contains(is.Bases[0], "127.0.0.3") {
		t.Fatalf("%+v", is)
	}
	c.CloseIdleConnections()
	if _, _, err := said(c, base+"/", ""); err == nil {
		t.Error("the old address is still good")
	}
	if code, _, err := said(trusting(t, is.Authority), is.Bases[0]+"/", ""); err != nil || code != 200 {
		t.Errorf("the new address: %d %v", code, err)
	}
	d.names = authority.Names{}
	d.tick <- time.Time{}
	d.tick <- time.Time{}
	if s := d.State(); !s.On || s.Print != is.Print {
		t.Errorf("without a network for a moment: %+v", s)
	}
}

// Who is not of the local network is dropped before a word; so is this machine itself, which has a door of its own.
func TestStrangersAreDropped(t *testing.T) {
	d := aDoor(t, func(o *Options) { o.Local = Local })
	base, c := d.opened(time.Hour)
	if code, _, err := said(c, base+"/", ""); err == nil {
		t.Errorf("who is no neighbour is answered with %d", code)
	}
	conn, err := net.Dial("tcp", strings.TrimPrefix(base, "https://"))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	_ = conn.SetDeadline(time.Now().Add(10 * time.Second))
	if n, err := conn.Read(make([]byte, 1)); n > 0 || !errors.Is(err, io.EOF) && !strings.Contains(err.Error(), "reset") {
		t.Errorf("%d bytes were said, %v", n, err)
	}
}

// With the addresses that this machine has: answered where it has a local one.
func TestTheDoorInTheNetworkOfThisMachine(t *testing.T) {
	n, err := names()
	if err != nil {
		t.Fatal(err)
	}
	d := aDoor(t, func(o *Options) { o.Names, o.Local, o.Listen = nil, nil, ":0" })
	if len(n.Addresses) == 0 {
		if err := d.Open(time.Hour); !fault.Is(err, fault.Refused) {
			t.Errorf("without a network: %v", err)
		}
		return
	}
	base, c := d.opened(time.Hour)
	if code, body, err := said(c, base+"/", ""); err != nil || code != 200 || body != "came: true" {
		t.Errorf("at %s: %d %q %v", base, code, body, err)
	}
	u, err := url.Parse(base)
	if err != nil {
		t.Fatal(err)
	}
	for _, at := range []string{"127.0.0.1", "192.0.2.2"} { // the last is of no network; where it is this machine's (documents' range) it is no local one
		if code, _, err := said(c, "https://"+net.JoinHostPort(at, u.Port())+"/", u.Host); err == nil {
			t.Errorf("at %s: %d", at, code)
		}
	}
}

// Sources: RFC 1918, section 3; RFC 4193, section 3; RFC 3927, section 2.1; RFC 4291, 2.5.6; RFC 6598 (shared address space is no local network).
func TestLocal(t *testing.T) {
	for a, want := range map[string]bool{
		"10.0.0.0": true, "10.255.255.255": true, "9.255.255.255": false, "11.0.0.0": false,
		"172.16.0.0": true, "172.31.255.255": true, "172.15.255.255": false, "172.32.0.0": false,
		"192.168.0.0": true, "192.168.255.255": true, "192.167.255.255": false, "192.169.0.0": false,
		"169.254.1.1": true, "169.253.1.1": false, "fc00::1": true, "fdff::1": true, "fe00::1": false, "fe80::1": true, "febf::1": true, "fec0::1": false,
		"2001:db8::1": false, "::1": false, "127.0.0.1": false, "0.0.0.0": false, "100.64.0.1": false, "8.8.8.8": false, "::ffff:192.168.1.1": true, "::ffff:8.8.8.8": false,
	} {
		if got := Local(netip.MustParseAddr(a)); got != want {
			t.Errorf("%s is local: %t", a, got)
		}
	}
}

func TestBestAddresses(t *testing.T) {
	list := func(all ...string) (out []netip.Addr) {
		for _, a := range all {
			out = append(out, netip.MustParseAddr(a))
		}
		return out
	}
	for _, c := range []struct {
		found       []netip.Addr
		first, want string
	}{
		{list("172.17.0.1", "8.8.8.8", "fd00::2", "192.168.1.5", "169.254.3.3"), "192.168.1.5", "[192.168.1.5 172.17.0.1]"},
		{list("192.168.1.5", "10.0.0.2"), "8.8.8.8", "[10.0.0.2 192.168.1.5]"},
		{list("192.168.1.5", "192.168.1.5"), "10.0.0.2", "[192.168.1.5]"},
		{list("169.254.3.3", "fd00::2", "2001:db8::1"), "10.0.0.2", "[fd00::2]"},
		{list("fe80::1", "169.254.3.3"), "10.0.0.2", "[169.254.3.3]"},
		{list("8.8.8.8", "fe80::1"), "8.8.8.8", "[]"},
	} {
		if got := fmt.Sprint(best(c.found, netip.MustParseAddr(c.first))); got != c.want {
			t.Errorf("of %v: %s, not %s", c.found, got, c.want)
		}
	}
}

// Source: RFC 1123, 2.1; RFC 6762, section 3.
func TestHosts(t *testing.T) {
	for name, want := range map[string]string{
		"Atelier": "[atelier.local]", "atelier.lan.example": "[atelier.local]", "a-1": "[a-1.local]",
		"": "[]", "localhost": "[]", "my computer": "[]", "-x": "[]", "x-": "[]", "größe": "[]", strings.Repeat("a", 64): "[]",
	} {
		if got := fmt.Sprint(hosts(name)); got != want {
			t.Errorf("%q: %s, not %s", name, got, want)
		}
	}
}

// An independent scanner finds TLS 1.2 and 1.3 alone, and no cipher without fresh keys and authenticated encryption (RFC 9325, 3.1.1 and 4.2).
func TestWhatTheScannerFinds(t *testing.T) {
	if testing.Short() {
		t.Skip("-short: make test has the scanner")
	}
	if _, err := exec.LookPath("sslscan"); err != nil {
		t.Fatal("no sslscan: make test installs it")
	}
	d := aDoor(t)
	base, _ := d.opened(time.Hour)
	file := filepath.Join(t.TempDir(), "found.xml")
	if out, err := exec.Command("sslscan", "--no-colour", "--xml="+file, strings.TrimPrefix(base, "https://")).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var found struct {
		Test struct {
			Protocols []struct {
				Type    string `xml:"type,attr"`
				Version string `xml:"version,attr"`
				Enabled int    `xml:"enabled,attr"`
			} `xml:"protocol"`
			Compression struct {
				Supported int `xml:"supported,attr"`
			} `xml:"compression"`
			Renegotiation struct {
				Supported int `xml:"supported,attr"`
				Secure    int `xml:"secure,attr"`
			} `xml:"renegotiation"`
			Heartbleed []struct {
				Vulnerable int `xml:"vulnerable,attr"`
			} `xml:"heartbleed"`
			Ciphers []struct {
				Version string `xml:"sslversion,attr"`
				Name    string `xml:"cipher,attr"`
				Bits    int    `xml:"bits,attr"`
			} `xml:"cipher"`
		} `xml:"ssltest"`
	}
	if err := xml.Unmarshal(b, &found); err != nil {
		t.Fatal(err)
	}
	f := found.Test
	on := map[string]bool{}
	for _, p := range f.Protocols {
		on[p.Type+" "+p.Version] = p.Enabled == 1
	}
	for p, want := range map[string]bool{"ssl 2": false, "ssl 3": false, "tls 1.0": false, "tls 1.1": false, "tls 1.2": true, "tls 1.3": true} {
		if is, looked := on[p]; is != want || !looked {
			t.Errorf("%s is on: %t (looked at: %t)", p, is, looked)
		}
	}
	if len(f.Ciphers) < 5 || len(f.Heartbleed) == 0 {
		t.Fatalf("the scanner found %d ciphers: nothing was tested\n%s", len(f.Ciphers), b)
	}
	for _, c := range f.Ciphers {
		fresh := strings.HasPrefix(c.Name, "ECDHE-") || strings.HasPrefix(c.Name, "TLS_")
		sealed := strings.Contains(c.Name, "GCM") || strings.Contains(c.Name, "CHACHA20")
		if !fresh || !sealed || c.Bits < 128 {
			t.Errorf("%s takes %s of %d bits", c.Version, c.Name, c.Bits)
		}
	}
	for _, h := range f.Heartbleed {
		if h.Vulnerable != 0 {
			t.Error("the scanner says: heartbleed")
		}
	}
	if f.Compression.Supported != 0 || f.Renegotiation.Supported != 0 && f.Renegotiation.Secure == 0 {
		t.Errorf("compression %+v, renegotiation %+v", f.Compression, f.Renegotiation)
	}
}
