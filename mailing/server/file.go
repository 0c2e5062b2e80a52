package server

import (
	"context"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"

	"solander/fault"
	"solander/mailing"
)

// File is where the server is kept: beside the studio, for its owner alone, and in no copy. The password stands there as it is.
type File struct{ Path string }

// Read returns the server; false when none was named. Faults: Refused.
func (f File) Read() (Server, bool, error) {
	var s Server
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
		return Server{}, false, fault.New(fault.Refused, "the file of the mail server is damaged").At("%s", f.Path).ToMend("take it away, and name the server once more")
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
	b, err := json.Marshal(s)
	if err != nil {
		return err
	}
	next := f.Path + ".next"
	os.Remove(next)
	var to *os.File
	if err = os.MkdirAll(filepath.Dir(f.Path), 0o700); err == nil {
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
