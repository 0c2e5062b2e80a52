// Package nearby opens the studio to phones on the local network, and to nobody else: a door with TLS that is shut unless it was opened, and
// shuts itself when its time is over.
//
// Who comes from elsewhere is dropped before a word is said. A request must name the machine as its certificate does. It holds no rule of
// who may do what: whoever answers asks Came, and lets in only those it knows.
package nearby

import (
	"cmp"
	"net"
	"net/netip"
	"os"
	"slices"
	"strings"

	"solander/internal/authority"
)

// Local reports whether an address is one of a local network: private (RFC 1918; RFC 4193) or of the link (RFC 3927; RFC 4291, 2.5.6).
func Local(a netip.Addr) bool {
	a = a.Unmap()
	return a.IsPrivate() || a.IsLinkLocalUnicast()
}

// names returns what this machine is called on its local networks, the address by which it would reach the world first. Those of the
// link alone, and the many that IPv6 gives, are left out while there is a better one: a phone cannot be told the first, and the others
// change by the day.
func names() (authority.Names, error) {
	all, err := net.Interfaces()
	if err != nil {
		return authority.Names{}, err
	}
	var found []netip.Addr
	for _, i := range all {
		if i.Flags&net.FlagUp == 0 || i.Flags&(net.FlagLoopback|net.FlagPointToPoint) != 0 {
			continue
		}
		at, err := i.Addrs()
		if err != nil {
			return authority.Names{}, err
		}
		for _, a := range at {
			if p, err := netip.ParsePrefix(a.String()); err == nil {
				found = append(found, p.Addr().Unmap())
			}
		}
	}
	host, _ := os.Hostname() // without one the addresses are enough
	return authority.Names{Addresses: best(found, outward()), Hosts: hosts(host)}, nil
}

// kinds of addresses, the better the lower.
const (
	private = iota // RFC 1918
	unique         // RFC 4193
	ofLink         // RFC 3927
)

func kindOf(a netip.Addr) int {
	switch {
	case a.IsLinkLocalUnicast():
		return ofLink
	case a.Is4():
		return private
	}
	return unique
}

// best returns the local addresses of the best kind that there is, first before the others.
func best(found []netip.Addr, first netip.Addr) []netip.Addr {
	var out []netip.Addr
	for _, a := range found {
		if !Local(a) || a.Is6() && a.IsLinkLocalUnicast() { // which no address bar takes
			continue
		}
		if len(out) > 0 && kindOf(a) < kindOf(out[0]) {
			out = nil
		}
		if (len(out) == 0 || kindOf(a) == kindOf(out[0])) && !slices.Contains(out, a) {
			out = append(out, a)
		}
	}
	slices.SortFunc(out, func(a, b netip.Addr) int {
		if a == first || b == first {
			return cmp.Compare(boolTo(b == first), boolTo(a == first))
		}
		return a.Compare(b)
	})
	return out
}

func boolTo(b bool) int {
	if b {
		return 1
	}
	return 0
}

// outward is the address of this machine from which it would reach the world. Nothing is sent: UDP has no greeting, and the address is
// one of those kept for documents (RFC 5737).
func outward() netip.Addr {
	c, err := net.Dial("udp4", "198.51.100.1:9")
	if err != nil {
		return netip.Addr{}
	}
	defer c.Close()
	a, _ := netip.ParseAddrPort(c.LocalAddr().String())
	return a.Addr().Unmap()
}

// hosts returns the name of a machine as it is asked for on its link (RFC 6762): NAME.local; none when its name is no name of a host
// (RFC 1123, 2.1).
func hosts(name string) []string {
	name, _, _ = strings.Cut(strings.ToLower(name), ".")
	odd := strings.ContainsFunc(name, func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') && r != '-' })
	if name == "" || name == "localhost" || len(name) > 63 || odd || strings.HasPrefix(name, "-") || strings.HasSuffix(name, "-") {
		return nil
	}
	return []string{name + ".local"}
}
