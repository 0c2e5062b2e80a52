// Package certificate is what a certificate of a print says, byte by byte: the statement that the studio's key signs, the small code that
// carries it, the large code that proves besides that it stands in the register's log, and how both are checked.
// docs/formats/certificate.md describes every byte, so that anybody can check one without this program.
//
// The room is pure: keys and proofs come in as arguments. A check never says more than was proven, and each way to fail has a word of its own.
package certificate

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/mod/sumdb/note"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/sealog"
)

// head is the first line of a statement: no other text that the register's key signs begins so.
const head = "solander-certificate/1"

// DigestSize is how many bytes of the SHA-256 of the facts stand in a statement.
const DigestSize = 16

// SignatureSize is the size of a signature of Ed25519 (RFC 8032).
const SignatureSize = 64

// Statement is what is certified of one impression.
type Statement struct {
	Key      uint32 // the id of the key that signs it (C2SP signed-note)
	Serial   int64  // of the certificate, within its studio
	Edition  int64
	Number   edition.Number
	Limit    int
	Proofs   edition.Proofs
	Year     int          // of the work; 0 = not said
	Declared calendar.Day // on which the limit was declared
	Day      calendar.Day // on which the certificate was made
	Title    string
	Artist   string
	Facts    [DigestSize]byte // of the facts that go with it; see Digest
}

// Digest is what a statement says of the facts that go with it.
func Digest(facts string) (out [DigestSize]byte) {
	sum := sha256.Sum256([]byte(facts))
	copy(out[:], sum[:])
	return out
}

// Text is the bytes that are signed.
func (s Statement) Text() string {
	p := s.Proofs
	return fmt.Sprintf("%s\nkey %08x\nserial %d\nedition %d\nnumber %s %d\nlimit %d\nproofs %d %d %d %d\nyear %d\ndeclared %s\nday %s\ntitle %s\nartist %s\nfacts %s\n",
		head, s.Key, s.Serial, s.Edition, s.Number.Kind, s.Number.N, s.Limit, p.AP, p.PP, p.HC, p.BAT, s.Year, s.Declared, s.Day, s.Title, s.Artist, hex.EncodeToString(s.Facts[:]))
}

// Label is the number as it stands on the sheet.
func (s Statement) Label() string {
	return s.Number.Of(edition.Edition{Limit: s.Limit, Proofs: s.Proofs})
}

// Signed is a statement with its signature.
type Signed struct {
	Statement
	Signature [SignatureSize]byte
}

// Sign signs a statement with the register's key. Faults: Invalid.
func Sign(s Statement, k sealog.Key) (Signed, error) {
	v, err := note.NewVerifier(k.Verifier())
	if err != nil {
		return Signed{}, err
	}
	s.Key = v.KeyHash()
	s.Title, s.Artist = s.room()
	signed, err := k.Sign(s.Text())
	if err != nil {
		return Signed{}, err
	}
	out := Signed{Statement: s}
	return out, signatureIn(signed, &out.Signature)
}

// signatureIn takes the bare signature out of a signed text with one.
func signatureIn(signed []byte, to *[SignatureSize]byte) error {
	_, line, _ := strings.Cut(string(signed), "\n\n— ")
	_, text, _ := strings.Cut(strings.TrimSuffix(line, "\n"), " ")
	raw, err := base64.StdEncoding.DecodeString(text)
	if err != nil || len(raw) != 4+SignatureSize {
		return fault.New(fault.Internal, "a signature of %d bytes", len(raw))
	}
	copy(to[:], raw[4:])
	return nil
}

// noted puts a text and a bare signature together as a signed text.
func noted(text, name string, key uint32, signature []byte) []byte {
	raw := append([]byte{byte(key >> 24), byte(key >> 16), byte(key >> 8), byte(key)}, signature...)
	return []byte(text + "\n— " + name + " " + base64.StdEncoding.EncodeToString(raw) + "\n")
}

// signedBy reports whether the key of a verifier signed a text.
func signedBy(text string, v note.Verifier, signature []byte) bool {
	_, err := note.Open(noted(text, v.Name(), v.KeyHash(), signature), note.VerifierList(v))
	return err == nil
}

// room cuts title and artist to what a small code has room for: the artist to a third of it at most.
func (s Statement) room() (title, artist string) {
	s.Title, s.Artist = plain(s.Title), plain(s.Artist)
	left := smallRoom - len(Signed{Statement: Statement{Key: s.Key, Serial: s.Serial, Edition: s.Edition, Number: s.Number, Limit: s.Limit, Proofs: s.Proofs, Year: s.Year, Declared: s.Declared, Day: s.Day}}.bytes())
	artist = cut(s.Artist, max(left/3, left-len(s.Title)))
	return cut(s.Title, left-len(artist)), artist
}

// plain is a text on one line.
func plain(text string) string {
	seen := strings.Map(func(r rune) rune {
		if edition.Unprintable(r) && !unicode.IsSpace(r) {
			return -1
		}
		return r
	}, strings.ToValidUTF8(text, ""))
	return strings.Join(strings.Fields(seen), " ")
}

// cut cuts a text to so many bytes, with an ellipsis where something is left out.
func cut(text string, most int) string {
	if len(text) <= most {
		return text
	}
	const more = "…"
	most -= len(more)
	for most > 0 && !utf8.RuneStart(text[most]) {
		most--
	}
	return text[:max(most, 0)] + more
}
