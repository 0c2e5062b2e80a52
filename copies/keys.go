package copies

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"runtime"

	"solander/copies/place"
	"solander/fault"
)

// Keys is the file of what is secret on this machine.
type Keys struct {
	File string
	Get  func(name string) string // an environment variable; it goes before what the file says
}

// The environment variables that let in at a storage.
const (
	AccessVariable = "SOLANDER_COPIES_ACCESS_KEY"
	SecretVariable = "SOLANDER_COPIES_SECRET_KEY"
)

// kept is what stands in the file.
type kept struct {
	Studio string `json:"studio"` // whose it is
	Key    string `json:"key,omitempty"`
	Access string `json:"access,omitempty"`
	Secret string `json:"secret,omitempty"`
}

// of reads the file for the studio of a mark; nothing when there is none, or it is another studio's.
func (k Keys) of(mark string) (kept, error) {
	var is kept
	info, err := os.Stat(k.File)
	if errors.Is(err, fs.ErrNotExist) {
		return is, nil
	}
	if err == nil && runtime.GOOS != "windows" && info.Mode().Perm()&0o077 != 0 {
		return is, fault.New(fault.Refused, "other users of this computer may read the keys of the copies").At("%s", k.File).ToMend("chmod 600 that file")
	}
	b, readErr := os.ReadFile(k.File)
	if err := errors.Join(err, readErr); err != nil {
		return is, fault.New(fault.Refused, "the file of the keys cannot be read").At("%s", k.File).ToMend("look at its permissions").Because(err)
	}
	if err := json.Unmarshal(b, &is); err != nil {
		return is, fault.New(fault.Refused, "the file of the keys is damaged").At("%s", k.File).ToMend("take it away, and choose where copies go once more").Because(err)
	}
	if is.Studio != mark {
		return kept{}, nil
	}
	return is, nil
}

// keep writes the file, whole or not at all, for its owner alone.
func (k Keys) keep(is kept) error {
	b, err := json.Marshal(is)
	if err != nil {
		return err
	}
	next := k.File + ".next"
	os.Remove(next)
	f, err := os.OpenFile(next, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err == nil {
		_, err = f.Write(b)
		err = errors.Join(err, f.Sync(), f.Close())
	}
	if err == nil {
		err = os.Rename(next, k.File)
	}
	if err != nil {
		return fault.New(fault.Refused, "the keys of the copies cannot be kept").At("%s", k.File).ToMend("make room there, or look at the permissions of its folder").Because(err)
	}
	return nil
}

func (k Keys) credentials(mark string) (place.Credentials, error) {
	if a, s := k.Get(AccessVariable), k.Get(SecretVariable); a != "" && s != "" {
		return place.Credentials{Access: a, Secret: s}, nil
	}
	is, err := k.of(mark)
	return place.Credentials{Access: is.Access, Secret: is.Secret}, err
}
