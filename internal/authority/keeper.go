package authority

import (
	"crypto/ecdsa"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"time"

	"solander/fault"
)

// Shown is what a phone is shown of this machine.
type Shown struct {
	TLS       *tls.Certificate
	Authority []byte // the certificate that a phone may trust, as DER; nil: the artist gave one that it trusts already
}

// A Keeper knows what to show. It is safe for concurrent use.
type Keeper struct {
	folder     string // of authorities; "" = a certificate is given
	cert, keys string // the files that are given

	mu    sync.Mutex
	by    *authority
	shown Shown
	names Names
}

// Own keeps authorities of the program's own in a folder, which is made when it is needed.
func Own(folder string) *Keeper { return &Keeper{folder: folder} }

// Given shows the certificate, with those that vouch for it, and the key that stand in two PEM files.
func Given(cert, key string) *Keeper { return &Keeper{cert: cert, keys: key} }

// For returns what to show of a machine with these names at an instant; the same as before while that is good.
// Faults: Refused when a file of a key can be read by others, or what was given is no more valid; Invalid when it cannot be read.
func (k *Keeper) For(n Names, now time.Time) (Shown, error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.folder == "" {
		return k.given(now)
	}
	if k.by == nil || !k.by.good(n, now) {
		by, err := find(k.folder, n, now)
		if err != nil {
			return Shown{}, err
		}
		k.by, k.shown = by, Shown{}
	}
	if k.shown.TLS != nil && slices.Equal(k.names.Addresses, n.Addresses) && slices.Equal(k.names.Hosts, n.Hosts) && fresh(k.shown.TLS.Leaf, now) {
		return k.shown, nil
	}
	leaf, err := k.by.vouch(n, now)
	if err != nil {
		return Shown{}, err
	}
	k.shown, k.names = Shown{leaf, k.by.cert.Raw}, Names{slices.Clone(n.Addresses), slices.Clone(n.Hosts)}
	return k.shown, nil
}

// fresh reports whether the certificate of the machine is in the first half of its life, so that a phone's clock may go before as well.
func fresh(c *x509.Certificate, now time.Time) bool {
	return !now.Before(c.NotBefore.Add(slack)) && now.Before(c.NotAfter.Add(-week/2))
}

// good reports whether an authority may be used for these names at an instant.
func (a *authority) good(n Names, now time.Time) bool {
	return a.permits(n) && !now.Before(a.cert.NotBefore.Add(slack)) && now.Before(a.cert.NotAfter.Add(-lastDays))
}

const (
	certTail = ".crt"
	keyTail  = ".key"
	mostKept = 12 // authorities in the folder; the oldest go first
)

// find returns the youngest authority of a folder that is good for these names, or makes one.
func find(folder string, n Names, now time.Time) (*authority, error) {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, unreadable(err, folder)
	}
	files, err := filepath.Glob(filepath.Join(folder, "*"+certTail)) // by name, which begins with when it was made
	if err != nil {
		return nil, unreadable(err, folder)
	}
	slices.Reverse(files)
	for i, file := range files {
		if i >= mostKept {
			_ = errors.Join(os.Remove(file), os.Remove(keyOf(file))) // what stays is old, and tried again next time
			continue
		}
		a, err := read(file)
		if err != nil {
			return nil, err
		}
		if a != nil && a.good(n, now) {
			return a, nil
		}
	}
	a, err := begin(n, now)
	if err != nil {
		return nil, err
	}
	return a, a.keep(folder, now)
}

func keyOf(cert string) string { return cert[:len(cert)-len(certTail)] + keyTail }

// read returns an authority, nil when its files are no pair any more: then it is passed over.
// Faults: Refused when others can read its key.
func read(file string) (*authority, error) {
	if err := alone(keyOf(file)); err != nil {
		return nil, err
	}
	pair, err := tls.LoadX509KeyPair(file, keyOf(file))
	if err != nil {
		return nil, nil
	}
	key, ok := pair.PrivateKey.(*ecdsa.PrivateKey)
	if !ok || !pair.Leaf.IsCA {
		return nil, nil
	}
	return &authority{pair.Leaf, key}, nil
}

// alone refuses a key that others of this machine can read. On Windows the user's data folder is the user's alone.
func alone(file string) error {
	info, err := os.Stat(file)
	if err != nil || runtime.GOOS == "windows" || info.Mode().Perm()&0o077 == 0 {
		return nil // one that is not there is told by whoever reads it
	}
	return fault.New(fault.Refused, "others on this computer can read the key that vouches for it").At("%s", file).
		ToMend("remove it and the .crt beside it; another is made, which the phones have to trust anew")
}

// keep writes an authority: its key first, each file whole or not at all.
func (a *authority) keep(folder string, now time.Time) error {
	key, err := x509.MarshalPKCS8PrivateKey(a.key)
	if err != nil {
		return err
	}
	at := filepath.Join(folder, fmt.Sprintf("%s-%.8x", now.UTC().Format("20060102T150405"), a.cert.SerialNumber.Bytes()))
	for _, f := range []struct {
		tail, kind string
		body       []byte
	}{{keyTail, "PRIVATE KEY", key}, {certTail, "CERTIFICATE", a.cert.Raw}} {
		next := at + f.tail + ".next"
		body := pem.EncodeToMemory(&pem.Block{Type: f.kind, Bytes: f.body})
		if err := errors.Join(os.WriteFile(next, body, 0o600), os.Rename(next, at+f.tail)); err != nil {
			return unreadable(err, at+f.tail)
		}
	}
	return nil
}

func unreadable(err error, at string) error {
	code := fault.Refused
	if errors.Is(err, fs.ErrNotExist) {
		code = fault.Missing
	}
	return fault.New(code, "it cannot be read or written: %s", err).At("%s", at).ToMend("see whose it is, and that the disk has room").Because(err)
}

// given reads the certificate anew: she may have renewed it.
func (k *Keeper) given(now time.Time) (Shown, error) {
	if err := alone(k.keys); err != nil {
		return Shown{}, fault.New(fault.Refused, "others on this computer can read the key of the certificate").At("%s", k.keys).In("phones-cert-key").
			ToMend("let nobody but you read the file: chmod 600")
	}
	pair, err := tls.LoadX509KeyPair(k.cert, k.keys)
	if err != nil {
		return Shown{}, fault.New(fault.Invalid, "the certificate and its key cannot be used: %s", err).At("%s", k.cert).In("phones-cert").
			ToMend("give two PEM files, the certificate with those that vouch for it and its own key").Because(err)
	}
	c := pair.Leaf
	switch {
	case now.After(c.NotAfter):
		return Shown{}, fault.New(fault.Refused, "the certificate ended on %s", c.NotAfter.Format(time.DateOnly)).At("%s", k.cert).In("phones-cert").ToMend("renew it, or leave it out: the program makes one")
	case now.Before(c.NotBefore):
		return Shown{}, fault.New(fault.Refused, "the certificate begins on %s", c.NotBefore.Format(time.DateOnly)).At("%s", k.cert).In("phones-cert").ToMend("look at the clock of this computer")
	case len(c.DNSNames)+len(c.IPAddresses) == 0:
		return Shown{}, fault.New(fault.Invalid, "the certificate names no host and no address").At("%s", k.cert).In("phones-cert").ToMend("browsers want the name as a subject alternative name")
	}
	return Shown{TLS: &pair}, nil
}
