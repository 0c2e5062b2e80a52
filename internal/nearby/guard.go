package nearby

import (
	"context"
	"net"
	"net/http"
	"net/netip"
	"strings"
)

// came is the key under which the context of a request says that it came by this door.
type came struct{}

// Came reports whether a request came from the local network.
func Came(ctx context.Context) bool { return ctx.Value(came{}) != nil }

// dropping is a listener that drops who does not come from a local network, or to an address that is none.
type dropping struct {
	net.Listener
	door *Door
}

func (l *dropping) Accept() (net.Conn, error) {
	for {
		c, err := l.Listener.Accept()
		if err != nil {
			return nil, err
		}
		if l.near(c.RemoteAddr()) && l.near(c.LocalAddr()) && l.door.isOpen() {
			return c, nil
		}
		l.door.opt.Log.Debug("who is not of the local network was dropped", "from", c.RemoteAddr())
		_ = c.Close()
	}
}

func (l *dropping) near(a net.Addr) bool {
	p, err := netip.ParseAddrPort(a.String())
	return err == nil && l.door.opt.Local(p.Addr().WithZone(""))
}

// guarded answers requests that name the machine as its certificate does, while the door is open: a page of another site whose
// name was pointed at this machine would come this way.
func (d *Door) guarded() http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		switch {
		case !d.isOpen():
			w.Header().Set("Connection", "close")
			http.Error(w, "the studio is shut to phones again; open it on the computer", http.StatusServiceUnavailable)
		case !d.called(r.Host):
			http.Error(w, "this studio does not answer to that name; open it as its page says", http.StatusMisdirectedRequest)
		default:
			d.handler.ServeHTTP(w, r)
		}
	})
}

func (d *Door) called(host string) bool {
	name := host
	if h, port, err := net.SplitHostPort(host); err == nil {
		name = h
		if !d.atPort(port) {
			return false
		}
	}
	if name = strings.Trim(name, "[]"); name == "" {
		return false
	}
	cert, err := d.certificate()
	return err == nil && cert.Leaf.VerifyHostname(name) == nil
}

func (d *Door) atPort(port string) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.open != nil && d.open.port == port
}
