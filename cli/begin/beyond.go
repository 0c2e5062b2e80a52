package begin

import (
	"context"
	"crypto/tls"
	"errors"
	"net"
	"strings"

	"solander/access"
	"solander/cli/desk"
	"solander/fault"
	"solander/people"
	"solander/studio"
)

// beyond are the flags by which the pages are answered beyond this machine.
type beyond struct {
	Host    []string `sep:"none" placeholder:"NAME" help:"A name by which browsers ask for the studio from beyond this machine; say it again for another one."`
	Cert    string   `placeholder:"FILE" predictor:"file" help:"The certificate of that name and those above it, as PEM."`
	CertKey string   `placeholder:"FILE" predictor:"file" help:"The key of the certificate, as PEM; you alone may read it."`
	Proxied bool     `help:"A proxy stands before the studio that speaks TLS with browsers, passes the name on (Host) and adds to X-Forwarded-For from where they come."`
}

// shut reports whether others than this machine may reach the pages: then nobody comes in without an account.
func (c *Serve) shut() bool {
	host, _, err := net.SplitHostPort(c.Listen)
	return c.Proxied || c.Cert != "" || c.CertKey != "" || len(c.Host) > 0 || err == nil && !loopback(host)
}

func loopback(host string) bool {
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}

// toOthers answers the pages beyond this machine: by TLS alone, and not without an owner's account.
func (c *Serve) toOthers(d *desk.Desk, name string, h *health) error {
	if c.Browser {
		return fault.New(fault.Refused, "a browser is opened for this machine alone").In("browser").ToMend("leave out --browser, and open the address in one")
	}
	conf, err := c.tls()
	if err != nil {
		return err
	}
	hosts, err := c.names()
	if err != nil {
		return err
	}
	l, err := c.listen(d.Ctx)
	if err != nil {
		return err
	}
	p, err := c.pages(d, h)
	if err != nil {
		return errors.Join(err, l.Close())
	}
	defer p.done()
	address := addressOf(l)
	if conf != nil {
		_, port, _ := net.SplitHostPort(l.Addr().String()) // it is one
		address = "https://" + net.JoinHostPort(hosts[0], port) + "/"
		l = tls.NewListener(l, conf)
	}
	return serve(d.Ctx, d, l, address, p.face(desk.Face{Hosts: hosts, Shut: true, Secure: true, Proxied: c.Proxied, Until: d.Ctx}), p.grace, name, func() {})
}

// tls reads certificate and key; nil where a proxy speaks TLS. Faults: Refused, Invalid.
func (c *Serve) tls() (*tls.Config, error) {
	switch {
	case c.Proxied && (c.Cert != "" || c.CertKey != ""):
		return nil, fault.New(fault.Refused, "either a proxy speaks TLS, or the studio does").In("proxied").ToMend("leave out --proxied, or the certificate")
	case c.Proxied:
		return nil, nil
	case c.Cert == "" || c.CertKey == "":
		return nil, fault.New(fault.Refused, "beyond this machine the studio is answered by TLS alone: passwords would go over the network for all to read").In("listen").
			ToMend("give a certificate (--cert, --cert-key), put a proxy before it that speaks TLS (--proxied), or use 127.0.0.1")
	}
	pair, err := tls.LoadX509KeyPair(c.Cert, c.CertKey)
	if err != nil {
		return nil, fault.New(fault.Invalid, "certificate and key cannot be read: %s", err).At("%s", c.Cert).In("cert").
			ToMend("give both as PEM files that belong together").Because(err)
	}
	return &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12, NextProtos: []string{"h2", "http/1.1"}}, nil
}

// names are those under which the studio answers: those that are said, else the address that it listens on. Faults: Refused.
func (c *Serve) names() ([]string, error) {
	host, _, err := net.SplitHostPort(c.Listen)
	if ip := net.ParseIP(host); len(c.Host) == 0 && err == nil && (ip == nil || !ip.IsUnspecified()) && host != "" && !c.Proxied {
		return []string{strings.ToLower(host)}, nil
	}
	if len(c.Host) == 0 {
		return nil, fault.New(fault.Refused, "by which name browsers ask for the studio is not said: it answers to no other").In("host").ToMend("say it: --host studio.example")
	}
	var out []string
	for _, h := range c.Host {
		h = strings.ToLower(strings.TrimSuffix(strings.TrimSpace(h), "."))
		if h == "" || strings.ContainsAny(h, "/: ") && net.ParseIP(h) == nil {
			return nil, fault.Invalidf("host", "%.60q is not a name", h).ToMend("write it without https:// and port, like studio.example")
		}
		out = append(out, h)
	}
	return out, nil
}

// ownerIsThere refuses to answer beyond this machine while nobody has to sign in.
func ownerIsThere(ctx context.Context, st *studio.Studio) error {
	all, err := people.All(ctx, st)
	if err != nil {
		return err
	}
	for _, p := range all {
		if p.Active() && p.Role == access.Owner {
			return nil
		}
	}
	return fault.New(fault.Refused, "there is no owner’s account: whoever reached the studio would be you").In("listen").
		ToMend("make one first: solander people add NAME --role owner, or on the page Studio → People on this machine")
}
