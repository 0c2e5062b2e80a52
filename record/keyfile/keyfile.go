// Package keyfile keeps the register's key in a file of its own, outside the database, sealed in the open format age: by her passphrase (scrypt), or, when
// she chose none, to a key (X25519) in a file of her own settings, which is made with it. The first guards against who has the whole computer: nothing is
// signed until somebody gives the passphrase; the second against who has the studio's folder, or a copy of it, without her settings. Where there is no
// place for such a file the key stands as it is, readable for its user alone.
package keyfile

import (
	"bytes"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"solander/copies/sealed"
	"solander/fault"
	"solander/sealog"
)

// head begins the text of a key; the name of its log and its seed in base64 follow.
const head = "solander-register-key/1 "

// mostText bounds a key file, in bytes.
const mostText = 64 << 10

// text is the text of a key.
func text(k sealog.Key) string {
	return head + k.Name() + " " + base64.StdEncoding.EncodeToString(k.Seed()) + "\n"
}

// Locked is a fault for want of what opens the key.
var Locked = fault.New(fault.Refused, "the register's key is locked by a passphrase, or by the file of another user or computer").In("passphrase").
	ToMend("give its passphrase, or load the key from where it was exported to")

// secretHead begins what opens a key by a file. Source: age-encryption.org/v1, "native X25519".
const secretHead = "AGE-SECRET-KEY-"

// Opener is what a user's file holds, by which a key is opened without a passphrase; "" = there is no file, or it cannot be read.
func Opener(file string) string {
	if file == "" {
		return ""
	}
	body, err := os.ReadFile(file)
	if err != nil {
		return ""
	}
	for line := range strings.Lines(string(body)) {
		if text := strings.TrimSpace(line); strings.HasPrefix(text, secretHead) {
			return text
		}
	}
	return ""
}

// MakeOpener is Opener, and makes the file when there is none; "" = it cannot be made.
func MakeOpener(file string) string {
	if text := Opener(file); text != "" || file == "" {
		return text
	}
	secret, _, err := sealed.NewKey()
	if err != nil || os.MkdirAll(filepath.Dir(file), 0o700) != nil {
		return ""
	}
	body := "# Opens the register's keys of the studios of this user. Without it, and without a passphrase or an exported key, they are lost.\n" + secret + "\n"
	if err := Write(file, []byte(body), true); err != nil {
		return Opener(file) // another program was quicker, or it cannot be written
	}
	return secret
}

// OpensBy reports whether an opener, as a user's file holds it, opens the text of a key file.
func OpensBy(body []byte, opener string) bool {
	if opener == "" || !Sealed(body) {
		return false
	}
	_, err := Parse(body, opener)
	return err == nil
}

// Sealed reports whether the text of a file is sealed by a passphrase.
func Sealed(body []byte) bool {
	is, _, err := sealed.Is(bytes.NewReader(body))
	return is && err == nil
}

// ByPassphrase reports whether it is a passphrase that seals the text of a file, and no key. Source: age-encryption.org/v1, "the scrypt recipient type".
func ByPassphrase(body []byte) bool {
	return Sealed(body) && bytes.Contains(body[:min(len(body), 400)], []byte("\n-> scrypt "))
}

// Parse reads the text of a key file; "" opens one that is not sealed, an opener or a passphrase one that is. Faults: Invalid, Refused when the passphrase is missing or wrong.
func Parse(body []byte, passphrase string) (sealog.Key, error) {
	bad := noKey
	clear, err := OpenText(body, passphrase)
	if err != nil {
		return sealog.Key{}, err
	}
	of, ok := strings.CutPrefix(strings.TrimSpace(clear), strings.TrimSpace(head)+" ")
	name, seed, ok2 := strings.Cut(of, " ")
	raw, err := base64.StdEncoding.DecodeString(seed)
	if !ok || !ok2 || err != nil {
		return sealog.Key{}, bad
	}
	return sealog.NewKey(name, raw)
}

var noKey = fault.New(fault.Invalid, "this is no key of a register").ToMend("choose the file that was made by this program")

// OpenText is the text that a file of a key holds; "" opens one that is not sealed. Faults: as Parse.
func OpenText(body []byte, passphrase string) (string, error) {
	if !Sealed(body) {
		return string(body), nil
	}
	if passphrase == "" {
		return "", Locked
	}
	r, err := sealed.Open(bytes.NewReader(body), passphrase)
	if err != nil {
		var f *fault.Error
		if errors.As(err, &f) {
			err = f.In("passphrase")
		}
		return "", err
	}
	clear, err := io.ReadAll(io.LimitReader(r, mostText))
	if err != nil {
		return "", noKey.Because(err)
	}
	return string(clear), nil
}

// Body is what a key file holds: sealed by a passphrase or to an opener, unless that is "".
func Body(k sealog.Key, passphrase string) ([]byte, error) { return SealText(text(k), passphrase) }

// SealText is what a file holds of the text of a key: sealed by a passphrase or to an opener, unless that is "".
func SealText(text, passphrase string) ([]byte, error) {
	if passphrase == "" {
		return []byte(text), nil
	}
	var b bytes.Buffer
	seal, to := sealed.By, passphrase
	if strings.HasPrefix(passphrase, secretHead) {
		public, err := sealed.Public(passphrase)
		if err != nil {
			return nil, err
		}
		seal, to = sealed.To, public
	}
	w, err := seal(&b, to)
	if err != nil {
		return nil, err
	}
	_, err = io.WriteString(w, text)
	err = errors.Join(err, w.Close())
	return b.Bytes(), err
}

// Read reads a key file; there is false when there is none. Faults: Refused.
func Read(file string) (body []byte, there bool, err error) {
	body, err = os.ReadFile(file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, false, nil
	case err != nil:
		return nil, false, fault.New(fault.Refused, "the register's key cannot be read").At("%s", file).ToMend("look at who may read the file").Because(err)
	}
	return body, true, nil
}

// Write puts a file whole in its place, for this user alone; new refuses to replace one. Faults: Taken, Refused.
func Write(file string, body []byte, onlyNew bool) error {
	refused := func(err error) error {
		return fault.New(fault.Refused, "the file cannot be written").At("%s", file).ToMend("look at the folder, and whether there is room").Because(err)
	}
	next, err := os.CreateTemp(filepath.Dir(file), "."+filepath.Base(file)+"-*") // 0600
	if err != nil {
		return refused(err)
	}
	defer os.Remove(next.Name())
	_, err = next.Write(body)
	if err := errors.Join(err, next.Sync(), next.Close()); err != nil {
		return refused(err)
	}
	if !onlyNew {
		if err := os.Rename(next.Name(), file); err != nil {
			return refused(err)
		}
		return nil
	}
	err = os.Link(next.Name(), file)
	if errors.Is(err, fs.ErrExist) {
		return fault.New(fault.Taken, "a key lies there already").At("%s", file).ToMend("move it away first, and do not lose it")
	}
	if err != nil { // a file system without links
		if _, there, err := Read(file); there || err != nil {
			return fault.New(fault.Taken, "a key lies there already").At("%s", file).ToMend("move it away first, and do not lose it")
		}
		if err := os.Rename(next.Name(), file); err != nil {
			return refused(err)
		}
	}
	return nil
}

// Aside moves a key that is of no use out of the way; it is not deleted. Faults: Taken when too many lie there.
func Aside(file string) error {
	for i := 1; i < 100; i++ {
		to := fmt.Sprintf("%s.unused-%d", file, i)
		if _, err := os.Stat(to); errors.Is(err, fs.ErrNotExist) {
			return os.Rename(file, to)
		}
	}
	return fault.New(fault.Taken, "too many keys that were put aside lie there").At("%s", file).ToMend("move them away first")
}
