package nearby

import (
	"context"
	"crypto/tls"
	"errors"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"strings"
	"sync"
	"time"

	"golang.org/x/net/netutil"

	"solander/fault"
	"solander/internal/authority"
)

const (
	// Usual is how long the door stays open when nothing else is said.
	Usual = 8 * time.Hour
	// Least and Most bound it.
	Least = 5 * time.Minute
	Most  = 24 * time.Hour
	// LookEvery is how often Run should look at the clock and the addresses.
	LookEvery = 20 * time.Second

	mostAtOnce = 96              // connections
	goodbye    = 3 * time.Second // for requests that run when it is shut
)

// Options are what a door needs. Log defaults to slog.Default.
type Options struct {
	Listen string // address and port, as in ":8421"
	Keeper *authority.Keeper
	Clock  func() time.Time
	Server func(http.Handler) *http.Server // with its limits on time and size
	Log    *slog.Logger
	Note   string // the file that says where it is open, while it is; "" = none

	Names func() (authority.Names, error) // what the machine is called; nil = it is looked up
	Local func(netip.Addr) bool           // who may come; nil = Local
}

// A Door is shut until Open. It is safe for concurrent use.
type Door struct {
	opt Options

	mu      sync.Mutex
	handler http.Handler
	open    *opening // nil = it is shut
	running sync.WaitGroup
}

// opening is one time that the door is open.
type opening struct {
	until    time.Time
	server   *http.Server
	listener *dropping
	shown    authority.Shown
	names    authority.Names
	port     string
}

// State is how the door stands.
type State struct {
	On        bool
	Until     time.Time
	Bases     []string // addresses of the pages, without / at the end, the best first
	Authority []byte   // what a phone may trust, as DER; nil: what she gave is trusted already
	Print     string   // the fingerprint of it, or of the certificate that she gave
}

// New returns a door that is shut, and answers by Answer's handler.
func New(opt Options) *Door {
	if opt.Names == nil {
		opt.Names = names
	}
	if opt.Local == nil {
		opt.Local = Local
	}
	if opt.Log == nil {
		opt.Log = slog.Default()
	}
	return &Door{opt: opt}
}

// Answer says who answers; it is called before the door is opened.
func (d *Door) Answer(h http.Handler) { d.handler = h }

// now is the instant by the clock on the wall: a computer that slept has slept through its time.
func (d *Door) now() time.Time { return d.opt.Clock().Round(0) }

// Open opens the door for so long, or says anew how long it stays open.
// Faults: Invalid for a time that is too short or too long; Refused when there is no local network, the port is in use, or the certificate
// cannot be shown.
func (d *Door) Open(long time.Duration) error {
	if long < Least || long > Most {
		return fault.Invalidf("hours", "%s is no time for phones to be let in", long).ToMend("say from five minutes to 24 hours")
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if o := d.open; o != nil {
		o.until = d.now().Add(long)
		return d.note(o)
	}
	o, err := d.begin(long)
	if err != nil {
		return err
	}
	d.open = o
	d.running.Go(func() {
		if err := o.server.ServeTLS(o.listener, "", ""); !errors.Is(err, http.ErrServerClosed) && !errors.Is(err, net.ErrClosed) {
			d.opt.Log.Error("the door to the local network broke", "err", err)
			_ = d.Shut()
		}
	})
	d.opt.Log.Info("the pages are open to the local network", "until", o.until)
	return nil
}

func (d *Door) begin(long time.Duration) (*opening, error) {
	o := &opening{until: d.now().Add(long)}
	if err := d.show(o); err != nil {
		return nil, err
	}
	l, err := net.Listen("tcp", d.opt.Listen)
	if err != nil {
		return nil, fault.New(fault.Refused, "the port of %s cannot be opened: %s", d.opt.Listen, err).In("phones-listen").
			ToMend("stop what runs there, or choose another port").Because(err)
	}
	_, o.port, _ = net.SplitHostPort(l.Addr().String()) // it is an address
	o.listener = &dropping{Listener: netutil.LimitListener(l, mostAtOnce), door: d}
	o.server = d.opt.Server(d.guarded())
	o.server.ErrorLog = slog.NewLogLogger(d.opt.Log.Handler(), slog.LevelDebug) // scanners and phones that trust nothing yet end most greetings
	o.server.BaseContext = func(net.Listener) context.Context { return context.WithValue(context.Background(), came{}, true) }
	o.server.TLSConfig = &tls.Config{
		MinVersion: tls.VersionTLS12,
		CipherSuites: []uint16{ // of TLS 1.2: fresh keys, and what is sent cannot be changed unseen (RFC 9325, 4.2)
			tls.TLS_ECDHE_ECDSA_WITH_AES_128_GCM_SHA256, tls.TLS_ECDHE_ECDSA_WITH_AES_256_GCM_SHA384, tls.TLS_ECDHE_ECDSA_WITH_CHACHA20_POLY1305_SHA256,
			tls.TLS_ECDHE_RSA_WITH_AES_128_GCM_SHA256, tls.TLS_ECDHE_RSA_WITH_AES_256_GCM_SHA384, tls.TLS_ECDHE_RSA_WITH_CHACHA20_POLY1305_SHA256, // a given certificate may be RSA
		},
		GetCertificate: func(*tls.ClientHelloInfo) (*tls.Certificate, error) { return d.certificate() },
	}
	if err := d.note(o); err != nil {
		return nil, errors.Join(err, l.Close())
	}
	return o, nil
}

// show looks up what the machine is called and what vouches for it.
func (d *Door) show(o *opening) error {
	n, err := d.opt.Names()
	if err != nil {
		return fault.New(fault.Refused, "it cannot be seen which networks this computer is on: %s", err).ToMend("try again").Because(err)
	}
	if len(n.Addresses) == 0 {
		return fault.New(fault.Refused, "this computer is on no local network").ToMend("join the network that the phone is in, then try again")
	}
	shown, err := d.opt.Keeper.For(n, d.now())
	if err != nil {
		return err
	}
	o.names, o.shown = n, shown
	return nil
}

func (d *Door) certificate() (*tls.Certificate, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.open == nil {
		return nil, errors.New("the door is shut")
	}
	return d.open.shown.TLS, nil
}

// Shut shuts the door: nobody comes in, who is in is sent out. It waits for neither.
func (d *Door) Shut() error {
	d.mu.Lock()
	defer d.mu.Unlock()
	o := d.open
	if o == nil {
		return nil
	}
	d.open = nil
	err := o.listener.Close()
	d.running.Go(func() {
		ctx, stop := context.WithTimeout(context.Background(), goodbye)
		defer stop()
		if o.server.Shutdown(ctx) != nil {
			_ = o.server.Close()
		}
	})
	d.opt.Log.Info("the pages are shut to the local network")
	return errors.Join(d.forgetNote(), ignoreClosed(err))
}

func ignoreClosed(err error) error {
	if errors.Is(err, net.ErrClosed) {
		return nil
	}
	return err
}

// isOpen reports whether its time is not over; when it is, it is shut.
func (d *Door) isOpen() bool {
	d.mu.Lock()
	on := d.open != nil && d.now().Before(d.open.until)
	d.mu.Unlock()
	if !on {
		if err := d.Shut(); err != nil {
			d.opt.Log.Error("the door to the local network did not shut cleanly", "err", err)
		}
	}
	return on
}

// State tells how the door stands.
func (d *Door) State() State {
	if !d.isOpen() {
		return State{}
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.open == nil {
		return State{}
	}
	return d.open.state()
}

func (o *opening) state() State {
	s := State{On: true, Until: o.until, Authority: o.shown.Authority}
	if s.Authority == nil {
		s.Print = authority.Print(o.shown.TLS.Certificate[0])
		for _, h := range o.shown.TLS.Leaf.DNSNames {
			if !strings.HasPrefix(h, "*") {
				s.Bases = append(s.Bases, o.base(h))
			}
		}
		for _, ip := range o.shown.TLS.Leaf.IPAddresses {
			s.Bases = append(s.Bases, o.base(ip.String()))
		}
		return s
	}
	s.Print = authority.Print(s.Authority)
	for _, a := range o.names.Addresses {
		s.Bases = append(s.Bases, o.base(a.String()))
	}
	for _, h := range o.names.Hosts {
		s.Bases = append(s.Bases, o.base(h))
	}
	return s
}

func (o *opening) base(host string) string { return "https://" + net.JoinHostPort(host, o.port) }

// Run looks at the clock and at the machine's addresses at each tick, until ctx ends; then it shuts the door, and waits until all are out.
func (d *Door) Run(ctx context.Context, tick <-chan time.Time) {
	defer d.running.Wait()
	defer func() { _ = d.Shut() }() // the program ends
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick:
			d.look()
		}
	}
}

// look shuts the door when its time is over, and shows another certificate when the machine is called otherwise or the old one ages. While
// there is no network it stays as it was.
func (d *Door) look() {
	if !d.isOpen() {
		return
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.open == nil {
		return
	}
	if err := errors.Join(d.show(d.open), d.note(d.open)); err != nil {
		d.opt.Log.Warn("the door to the local network stays as it was", "err", err)
	}
}
