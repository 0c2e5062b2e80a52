package server

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"

	"solander/fault"
	"solander/mailing"
	"solander/store/vault"
)

// File is where the server is kept: beside the studio, for its owner alone, and in no copy. The password stands there in cipher, by the key of the
// studio's secrets, bound to its server and user.
type File struct {
	Path string
	Key  string // the file of the key; "" = one of its own beside Path
}

// written is what stands in the file. One that an older program wrote has the password as it is.
type written struct {
	Server
	Sealed string `json:"sealed_password,omitempty"`
}

// bound is where a password stands: with this server, by this way, for this user, and nowhere else.
func bound(s Server) vault.Place {
	return vault.Place{Table: "mail", Column: "password", Row: fmt.Sprintf("%s %d %s %s", s.Host, s.Port, s.TLS, s.User)}
}

func (f File) keyFile() string { return cmp.Or(f.Key, f.Path+"-key") }

// Read returns the server; false when none was named. A password that an older program left in clear is put into cipher; one whose key is not there is
// left out (Server.Lost). Faults: Refused.
func (f File) Read() (Server, bool, error) {
	w, named, err := f.read()
	s := w.Server
	switch {
	case err != nil || !named:
		return s, named, err
	case w.Sealed == "" && s.Password != "":
		_ = f.write(s) // the folder may be one that is only read: then it stays as it was
	case w.Sealed != "":
		k, err := vault.Read(f.keyFile())
		if k != nil && err == nil {
			s.Password, err = k.Open(bound(s), w.Sealed)
		}
		s.lost = k == nil || err != nil
	}
	return s, true, nil
}

func (f File) read() (s written, named bool, err error) {
	if f.Path == "" {
		return s, false, nil
	}
	info, err := os.Stat(f.Path)
	if errors.Is(err, fs.ErrNotExist) {
		return s, false, nil
	}
	if err == nil && runtime.GOOS != "windows" && info.Mode().Perm()&0o077 != 0 {
		return s, false, fault.New(fault.Refused, "other users of this computer may read the password of the mail server").At("%s", f.Path).ToMend("chmod 600 that file")
	}
	b, readErr := os.ReadFile(f.Path)
	if err := errors.Join(err, readErr); err != nil {
		return s, false, fault.New(fault.Refused, "the file of the mail server cannot be read").At("%s", f.Path).ToMend("look at its permissions").Because(err)
	}
	if json.Unmarshal(b, &s) != nil {
		return written{}, false, fault.New(fault.Refused, "the file of the mail server is damaged").At("%s", f.Path).ToMend("take it away, and name the server once more")
	}
	return s, true, nil
}

// Keep keeps a server, whole or not at all. Without a password the one before stays, as long as it goes to the same server by the same way for the same
// user. Faults: Invalid, Refused.
func (f File) Keep(s Server) error {
	if f.Path == "" {
		return fault.New(fault.Refused, "no letters are sent from the invented studio").ToMend("open your own studio")
	}
	s = s.Tidy()
	if s.Password == "" && s.User != "" {
		was, _, err := f.Read()
		if err != nil {
			return err
		}
		if was.Host == s.Host && was.Port == s.Port && was.TLS == s.TLS && was.User == s.User {
			s.Password = was.Password
		}
	}
	if s.User == "" {
		s.Password = ""
	}
	if err := s.Validate(); err != nil {
		return err
	}
	return f.write(s)
}

// Through does something that changes the key, and keeps the password by the one of then.
func (f File) Through(do func() error) error {
	s, named, err := f.Read()
	if err := do(); err != nil {
		return err
	}
	if err != nil || !named || s.Password == "" {
		return nil // there was nothing that could be read before
	}
	return f.write(s)
}

// sealed is a server as it is written.
func (f File) sealed(s Server) (written, error) {
	w := written{Server: s}
	if s.Password == "" {
		return w, nil
	}
	k, err := vault.Read(f.keyFile())
	if k == nil && err == nil {
		k, err = vault.Make(f.keyFile(), false)
	}
	if err != nil {
		return w, err
	}
	w.Password, w.Sealed = "", k.Seal(bound(s), s.Password)
	return w, nil
}

// write writes a server, whole or not at all.
func (f File) write(s Server) error {
	folder := os.MkdirAll(filepath.Dir(f.Path), 0o700)
	w, err := f.sealed(s)
	if err != nil {
		return err
	}
	b, err := json.Marshal(w)
	if err != nil {
		return err
	}
	next := f.Path + ".next"
	os.Remove(next)
	var to *os.File
	if err = folder; err == nil {
		to, err = os.OpenFile(next, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	}
	if err == nil {
		_, err = to.Write(b)
		err = errors.Join(err, to.Sync(), to.Close())
	}
	if err == nil {
		err = os.Rename(next, f.Path)
	}
	if err != nil {
		return fault.New(fault.Refused, "the mail server cannot be kept").At("%s", f.Path).ToMend("make room there, or look at the permissions of its folder").Because(err)
	}
	return nil
}

// Send sends a letter by the server that is kept, from a name. Faults: as Read and Server.Send; Refused when none was named.
func (f File) Send(ctx context.Context, name string, d mailing.Draft) error {
	s, named, err := f.Read()
	if err != nil {
		return err
	}
	if !named {
		return fault.New(fault.Refused, "no mail server was named").ToMend("name it under Papers of money, or by solander owed mail-server")
	}
	if s.Lost() {
		return fault.New(fault.Refused, "the password of the mail server is in cipher, and its key is not there").At("%s", f.keyFile()).
			ToMend("put the key file back; or give the password once more under Papers of money, or by solander owed mail-server")
	}
	return s.Send(ctx, name, d)
}

// Forget takes the server out, with its password. Faults: Refused.
func (f File) Forget() error {
	if f.Path == "" {
		return nil
	}
	if err := os.Remove(f.Path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fault.New(fault.Refused, "the file of the mail server cannot be taken away").At("%s", f.Path).ToMend("take it away by hand").Because(err)
	}
	return nil
}
