// Package sealed writes and reads files that only who has the key can read, in the open format age (age-encryption.org/v1), so that
// other programs of that format open them too. A file is sealed to a key, of which the public half is enough to seal, or by a passphrase.
// What is read of it is given out only as far as it is proven to be what was written; the end of a file that was cut off is a fault.
package sealed

import (
	"bufio"
	"crypto/rand"
	"errors"
	"io"
	"regexp"
	"strings"

	"filippo.io/age"

	"solander/fault"
)

// head begins every sealed file. Source: age-encryption.org/v1, "Header" (C2SP age.md).
const head = "age-encryption.org/v1\n"

// NewKey makes a key: secret opens files, public seals them.
func NewKey() (secret, public string, err error) {
	id, err := age.GenerateX25519Identity()
	if err != nil {
		return "", "", err
	}
	return id.String(), id.Recipient().String(), nil
}

// NewPassphrase makes a passphrase of 125 bits of chance, in five groups that can be read out.
func NewPassphrase() string {
	text := rand.Text()
	var groups []string
	for i := 0; i < made; i += 5 {
		groups = append(groups, text[i:i+5])
	}
	return strings.Join(groups, "-")
}

// made is how many letters and digits a passphrase has that was made here: of base32 (RFC 4648), 5 bits each.
const made = 25

var madeHere = regexp.MustCompile(`^([A-Z2-7]{5}-){4}[A-Z2-7]{5}$`)

// KeyFile is the text of a file that holds a key, as programs of the format read it.
func KeyFile(secret, studio string) string {
	return "# Opens the copies of the studio " + studio + ". Whoever has this file can read them: keep it apart from them.\n" + secret + "\n"
}

// To seals what is written to it for a key, into w; it must be closed. Faults: Invalid for no key.
func To(w io.Writer, public string) (io.WriteCloser, error) {
	r, err := age.ParseX25519Recipient(public)
	if err != nil {
		return nil, fault.New(fault.Invalid, "the key that copies are sealed to cannot be read").ToMend("choose where copies go once more").Because(err)
	}
	return age.Encrypt(w, r)
}

// By seals by a passphrase.
func By(w io.Writer, passphrase string) (io.WriteCloser, error) {
	r, err := age.NewScryptRecipient(passphrase)
	if err != nil {
		return nil, fault.Invalidf("passphrase", "the passphrase is empty").ToMend("give one")
	}
	if madeHere.MatchString(passphrase) {
		r.SetWorkFactor(14) // nobody guesses it, however quick a guess is
	}
	return age.Encrypt(w, r)
}

// Is reports whether a file is sealed; what r holds is still to be read from the reader that is returned.
func Is(r io.Reader) (sealed bool, all io.Reader, err error) {
	b := bufio.NewReaderSize(r, 1<<16)
	begins, err := b.Peek(len(head))
	if err != nil && !errors.Is(err, io.EOF) {
		return false, b, err
	}
	return string(begins) == head, b, nil
}

// Open reads what was sealed. key is the text of a file with keys, or a passphrase; one that was made here may be typed in small
// letters, and without its hyphens. Faults: Invalid, in the field "key".
func Open(r io.Reader, key string) (io.Reader, error) {
	ids, err := identities(key)
	if err != nil {
		return nil, err
	}
	out, err := age.Decrypt(r, ids...)
	var none *age.NoIdentityMatchError
	switch {
	case err == nil:
		return tested{out}, nil
	case errors.As(err, &none):
		return nil, fault.Invalidf("key", "this key or passphrase does not open the file").ToMend("look for the one that was kept when the file was made").Because(err)
	}
	return nil, broken(err)
}

func identities(key string) ([]age.Identity, error) {
	if strings.Contains(key, "AGE-SECRET-KEY-") {
		ids, err := age.ParseIdentities(strings.NewReader(key))
		if err != nil {
			return nil, fault.Invalidf("key", "the file of the key cannot be read").ToMend("choose the file that was saved when copies were chosen").Because(err)
		}
		return ids, nil
	}
	key = strings.TrimSpace(key)
	if key == "" {
		return nil, fault.Invalidf("key", "the file is sealed, and no key or passphrase is given").ToMend("give the file of the key, or the passphrase")
	}
	var ids []age.Identity
	for _, words := range spellings(key) {
		id, err := age.NewScryptIdentity(words)
		if err != nil {
			return nil, err
		}
		ids = append(ids, id)
	}
	return ids, nil
}

// spellings are a passphrase as it was typed and, when that could be one that was made here, as it was made.
func spellings(typed string) []string {
	bare := strings.ToUpper(strings.NewReplacer("-", "", " ", "").Replace(typed))
	if len(bare) != made || madeHere.MatchString(typed) {
		return []string{typed}
	}
	return []string{typed, strings.Join([]string{bare[:5], bare[5:10], bare[10:15], bare[15:20], bare[20:]}, "-")}
}

// tested tells what goes wrong while a sealed file is read.
type tested struct{ io.Reader }

func (t tested) Read(p []byte) (int, error) {
	n, err := t.Reader.Read(p)
	if err != nil && !errors.Is(err, io.EOF) {
		err = broken(err)
	}
	return n, err
}

func broken(err error) error {
	return fault.New(fault.Invalid, "the sealed file is damaged or cut off").ToMend("use another copy; nothing was changed").Because(err)
}

// Public is the half of a key that seals. Faults: Invalid.
func Public(secret string) (string, error) {
	id, err := age.ParseX25519Identity(secret)
	if err != nil {
		return "", fault.New(fault.Invalid, "the key on this computer cannot be read").ToMend("take the file of the keys away, and choose where copies go once more").Because(err)
	}
	return id.Recipient().String(), nil
}
