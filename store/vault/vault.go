// Package vault keeps cells in cipher: XChaCha20-Poly1305 (draft-irtf-cfrg-xchacha-03), each with a nonce of its own by chance. Where a
// cell stands (table, column, row) is bound into it, so that a cell that was put elsewhere is found. It knows no table.
//
// The key is 32 bytes of chance in a file of its own, outside the database. Of it two keys are made (HKDF, RFC 5869): one for cells, one
// by which texts are compared without being kept (HMAC-SHA-256, RFC 2104).
package vault

import (
	"crypto/cipher"
	"crypto/hkdf"
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"strings"

	"golang.org/x/crypto/chacha20poly1305"

	"solander/fault"
)

// mark begins every cell that is in cipher.
const mark = "sealed:1:"

// Key is a key, ready for use.
type Key struct {
	aead  cipher.AEAD
	blind []byte
}

// New makes a key of its 32 bytes.
func New(secret []byte) (*Key, error) {
	if len(secret) != chacha20poly1305.KeySize {
		return nil, fmt.Errorf("a key has %d bytes, not %d", len(secret), chacha20poly1305.KeySize)
	}
	cells, err := hkdf.Key(sha256.New, secret, nil, "solander cells 1", chacha20poly1305.KeySize)
	if err != nil {
		return nil, err
	}
	blind, err := hkdf.Key(sha256.New, secret, nil, "solander blind 1", 32)
	if err != nil {
		return nil, err
	}
	aead, err := chacha20poly1305.NewX(cells)
	return &Key{aead, blind}, err
}

// Place is where a cell stands.
type Place struct{ Table, Column, Row string }

func (p Place) text() string {
	return mark + p.Table + "." + p.Column + ":" + base64.RawURLEncoding.EncodeToString([]byte(p.Row)) + ":"
}

// Is reports whether a cell is in cipher.
func Is(cell string) bool { return strings.HasPrefix(cell, mark) }

// Seal puts a text into cipher.
func (k *Key) Seal(p Place, text string) string {
	head := p.text()
	nonce := make([]byte, chacha20poly1305.NonceSizeX)
	rand.Read(nonce) // never fails: crypto/rand
	return head + base64.RawURLEncoding.EncodeToString(k.aead.Seal(nonce, nonce, []byte(text), []byte(head)))
}

var (
	errForged = errors.New("a cell in cipher was changed, or is of another key")
	errMoved  = errors.New("a cell in cipher stands where it was not written")
)

// Open reads a cell that stands at a place. Faults: an error when it was changed, is of another key, or was put there from elsewhere.
func (k *Key) Open(p Place, cell string) (string, error) {
	if head := p.text(); !strings.HasPrefix(cell, head) {
		return "", fmt.Errorf("%w: %s.%s of row %s", errMoved, p.Table, p.Column, p.Row)
	}
	return k.read(cell)
}

// OpenAny reads a cell of a column, of whatever row.
func (k *Key) OpenAny(table, column, cell string) (string, error) {
	if !strings.HasPrefix(cell, mark+table+"."+column+":") {
		return "", fmt.Errorf("%w: %s.%s", errMoved, table, column)
	}
	return k.read(cell)
}

func (k *Key) read(cell string) (string, error) {
	at := strings.LastIndexByte(cell, ':')
	body, err := base64.RawURLEncoding.DecodeString(cell[at+1:])
	if err != nil || len(body) < chacha20poly1305.NonceSizeX {
		return "", errForged
	}
	text, err := k.aead.Open(nil, body[:chacha20poly1305.NonceSizeX], body[chacha20poly1305.NonceSizeX:], []byte(cell[:at+1]))
	if err != nil {
		return "", errForged
	}
	return string(text), nil
}

// Blind is a text by which another is known again, and which tells nothing else of it; of no text, none.
func (k *Key) Blind(text string) string {
	if text == "" {
		return ""
	}
	sum := hmac.New(sha256.New, k.blind)
	sum.Write([]byte(text))
	return hex.EncodeToString(sum.Sum(nil)[:16])
}

// proven is what a proof says.
var proven = Place{"vault", "proof", "1"}

// Proof is a text by which a store knows its key.
func (k *Key) Proof() string { return k.Seal(proven, "this is the key") }

// Fits reports whether a proof is of this key.
func (k *Key) Fits(proof string) bool {
	text, err := k.Open(proven, proof)
	return err == nil && text == "this is the key"
}

// What is said of keys.
func lost(file string) *fault.Error {
	return fault.New(fault.Refused, "the key of this studio is not there").At("%s", file).
		ToMend("put the key file there; or, from the file that holds it under a passphrase: solander privacy key load FILE. Nothing was changed")
}

// NoPlace is what is said where a key has no place.
func NoPlace() *fault.Error {
	return fault.New(fault.Refused, "there is no place for a key").ToMend("set SOLANDER_KEY to a file that does not lie on the database server")
}

func wrong(file string) *fault.Error {
	return fault.New(fault.Refused, "this is the key of another studio, or an older key").At("%s", file).
		ToMend("put the right key file there. Nothing was changed")
}
