// Package password says which passwords are good enough, and keeps them by argon2id (RFC 9106), each with a salt of its own and with the
// parameters that it was kept by. A password is taken as it was typed: nothing is cut off, trimmed or turned into capitals. It keeps none.
package password

import (
	"crypto/subtle"
	"encoding/base64"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/trustelem/zxcvbn"
	"golang.org/x/crypto/argon2"

	"solander/fault"
)

// Today's parameters. Source: OWASP, Password Storage Cheat Sheet: argon2id with 19 MiB, two passes, one lane; RFC 9106, 3.1: a salt of
// 16 bytes.
const (
	memory = 19 * 1024 // KiB
	passes = 2
	lanes  = 1
	salted = 16 // bytes
	length = 32 // bytes
)

// Bounds of a password, in characters and bytes. Source: OWASP ASVS 5.0, 6.2.1 (8 at least, more is better) and 6.2.9 (64 are taken).
const (
	Least = 10
	most  = 256
)

// atOnce bounds how many are reckoned at once: each takes the memory above.
var atOnce = make(chan struct{}, 4)

// Good refuses a password that is short or soon guessed: by its frequency among those that leaked, by the words and patterns that it is
// made of, and by words that are known of who chooses it. Source: ASVS 5.0, 6.2.1, 6.2.4, 6.2.11; composition is not asked for (6.2.5).
// Faults: Invalid.
func Good(word string, about ...string) error {
	const field = "password"
	switch n := utf8.RuneCountInString(word); {
	case !utf8.ValidString(word) || strings.ContainsRune(word, 0):
		return fault.Invalidf(field, "it is not UTF-8 text").ToMend("type it again")
	case n < Least:
		return fault.Invalidf(field, "it has %d characters", n).ToMend("take %d or more: four words that have nothing to do with one another are good", Least)
	case len(word) > most:
		return fault.Invalidf(field, "it has more than %d bytes", most).ToMend("take a shorter one")
	}
	if zxcvbn.PasswordStrength(looked(word), parts(about)).Score < 3 {
		return fault.Invalidf(field, "it is soon guessed: it is a common one, a pattern, or made of words known of you").
			ToMend("take four words that have nothing to do with one another")
	}
	return nil
}

// looked is the beginning of a password: to guess it takes longer than to guess its beginning, and to reckon with all of it too.
func looked(word string) string {
	if r := []rune(word); len(r) > 64 {
		return string(r[:64])
	}
	return word
}

// parts are the words of what is known.
func parts(about []string) []string {
	out := []string{"solander"}
	for _, text := range about {
		out = append(out, strings.ToLower(text))
		out = append(out, strings.Fields(strings.ToLower(text))...)
	}
	return out
}

// Keep returns what is kept of a password: "$argon2id$v=19$m=…,t=…,p=…$salt$hash", both in base64 without padding.
func Keep(random io.Reader, word string) (string, error) {
	salt := make([]byte, salted)
	if _, err := io.ReadFull(random, salt); err != nil {
		return "", err
	}
	return kept(word, salt, memory, passes, lanes), nil
}

func kept(word string, salt []byte, m, t uint32, p uint8) string {
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, m, t, p,
		base64.RawStdEncoding.EncodeToString(salt), base64.RawStdEncoding.EncodeToString(hash(word, salt, m, t, p, length)))
}

func hash(word string, salt []byte, m, t uint32, p uint8, n uint32) []byte {
	atOnce <- struct{}{}
	defer func() { <-atOnce }()
	return argon2.IDKey([]byte(word), salt, t, m, p, n)
}

// nobody is kept of nobody: a name that is not there takes as long as one that is.
var nobody = "$argon2id$v=19$m=19456,t=2,p=1$c29sYW5kZXJub2JvZHk$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"

// Is reports whether a password is the one that is kept; "" is kept of nobody, and takes as long. weak says that it should be kept anew,
// by today's parameters.
func Is(keptAs, word string) (is, weak bool) {
	there := keptAs != ""
	if !there {
		keptAs = nobody
	}
	var version int
	var m, t uint32
	var p uint8
	parts := strings.Split(keptAs, "$")
	if len(parts) != 6 || parts[1] != "argon2id" {
		return false, false
	}
	_, e1 := fmt.Sscanf(parts[2], "v=%d", &version)
	_, e2 := fmt.Sscanf(parts[3], "m=%d,t=%d,p=%d", &m, &t, &p)
	salt, e3 := base64.RawStdEncoding.DecodeString(parts[4])
	want, e4 := base64.RawStdEncoding.DecodeString(parts[5])
	if e1 != nil || e2 != nil || e3 != nil || e4 != nil || version != argon2.Version || t == 0 || p == 0 || m > 1<<21 || t > 64 || len(want) < 16 || len(word) > most {
		return false, false
	}
	got := hash(word, salt, m, t, p, uint32(len(want)))
	is = subtle.ConstantTimeCompare(got, want) == 1 && there
	return is, is && (m < memory || m == memory && t < passes)
}
