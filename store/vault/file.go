package vault

import (
	"crypto/rand"
	"encoding/base64"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"golang.org/x/crypto/chacha20poly1305"

	"solander/fault"
)

// head begins the file of a key.
const head = "solander-key/1 "

// next is behind the name of a key file that is about to take its place.
const next = ".next"

// Read reads the key of a file; nil when there is no such file. Faults: Refused.
func Read(file string) (*Key, error) {
	if file == "" {
		return nil, nil
	}
	body, err := os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fault.New(fault.Refused, "the key cannot be read").At("%s", file).ToMend("look at who may read the file").Because(err)
	}
	return Parse(file, body)
}

// Parse reads the text of a key file. Faults: Refused.
func Parse(file string, body []byte) (*Key, error) {
	text, ok := strings.CutPrefix(strings.TrimSpace(string(body)), strings.TrimSpace(head))
	secret, err := base64.StdEncoding.DecodeString(strings.TrimSpace(text))
	if !ok || err != nil || len(secret) != chacha20poly1305.KeySize {
		return nil, fault.New(fault.Refused, "this is no key of a studio").At("%s", file).ToMend("put the key file there as it was made")
	}
	return New(secret)
}

// Find is the key that fits a proof: of the file or, when a change of keys was cut short, of the one that was about to take its place.
// Faults: Refused when there is none, or it does not fit.
func Find(file, proof string) (*Key, error) {
	k, err := Read(file)
	if err != nil {
		return nil, err
	}
	if k != nil && k.Fits(proof) {
		return k, nil
	}
	if n, err := Read(file + next); err == nil && n != nil && n.Fits(proof) {
		return n, os.Rename(file+next, file)
	}
	if k == nil {
		return nil, lost(file)
	}
	return nil, wrong(file)
}

// Make makes a key and its file, for this user alone; as the next one, beside the one that is in use. Faults: Taken when the file is
// there; Refused.
func Make(file string, asNext bool) (*Key, error) {
	if file == "" {
		return nil, NoPlace()
	}
	if asNext {
		file += next
		if err := os.Remove(file); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, err
		}
	}
	secret := make([]byte, chacha20poly1305.KeySize)
	rand.Read(secret) // never fails: crypto/rand
	if err := Write(file, []byte(head+base64.StdEncoding.EncodeToString(secret)+"\n")); err != nil {
		return nil, err
	}
	return New(secret)
}

// Write writes the file of a key, which must not be there. Faults: Taken, Refused.
func Write(file string, body []byte) error {
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	switch {
	case errors.Is(err, fs.ErrExist):
		return fault.New(fault.Taken, "a key lies there already").At("%s", file).ToMend("move it away first, and do not lose it")
	case err != nil:
		return fault.New(fault.Refused, "the key cannot be written").At("%s", file).ToMend("look at the folder").Because(err)
	}
	_, err = f.Write(body)
	if err := errors.Join(err, f.Sync(), f.Close()); err != nil {
		return err
	}
	if d, err := os.Open(filepath.Dir(file)); err == nil { // so that the name is on the disk, too
		_ = d.Sync()
		_ = d.Close()
	}
	return nil
}

// Turn puts the next key in the place of the one that was in use.
func Turn(file string) error { return os.Rename(file+next, file) }
