package sealog

import (
	"bytes"
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"fmt"

	"golang.org/x/mod/sumdb/note"

	"solander/fault"
)

// The types of keys. Source: C2SP signed-note and tlog-cosignature.
const (
	typeEd25519  = 1
	typeCosigned = 4
)

// SeedSize is how many bytes of chance a key is made of (RFC 8032, 5.1.5).
const SeedSize = ed25519.SeedSize

// Key is the register's key: by it the studio signs.
type Key struct {
	name    string
	private ed25519.PrivateKey
}

// NewKey makes a key of its seed; name is the origin of its log. Faults: Invalid.
func NewKey(name string, seed []byte) (Key, error) {
	if len(seed) != SeedSize {
		return Key{}, fault.New(fault.Invalid, "a key has %d bytes, not %d", SeedSize, len(seed))
	}
	k := Key{name, ed25519.NewKeyFromSeed(seed)}
	if _, err := note.NewVerifier(k.Verifier()); err != nil {
		return Key{}, fault.New(fault.Invalid, "%.60q is no name of a key", name).Because(err)
	}
	return k, nil
}

// Name is the name of the key.
func (k Key) Name() string { return k.name }

// Seed is what the key is made of.
func (k Key) Seed() []byte { return k.private.Seed() }

// Public is the public half.
func (k Key) Public() ed25519.PublicKey { return k.private.Public().(ed25519.PublicKey) }

// Verifier is the public half as a text that other programs take: name+id+base64.
func (k Key) Verifier() string { return verifierText(k.name, typeEd25519, k.Public()) }

// Sign signs a text, which ends in a line feed. Faults: Invalid for a text that cannot be signed.
func (k Key) Sign(text string) ([]byte, error) {
	signer, err := k.signer()
	if err != nil {
		return nil, err
	}
	signed, err := note.Sign(&note.Note{Text: text}, signer)
	if err != nil {
		return nil, fault.New(fault.Invalid, "this text cannot be signed").Because(err)
	}
	return signed, nil
}

func (k Key) signer() (note.Signer, error) {
	return note.NewSigner(fmt.Sprintf("PRIVATE+KEY+%s+%08x+%s", k.name, keyID(k.name, typeEd25519, k.Public()),
		base64.StdEncoding.EncodeToString(append([]byte{typeEd25519}, k.Seed()...))))
}

func keyID(name string, kind byte, public []byte) uint32 {
	sum := sha256.Sum256(bytes.Join([][]byte{[]byte(name), {'\n', kind}, public}, nil))
	return binary.BigEndian.Uint32(sum[:])
}

func verifierText(name string, kind byte, public []byte) string {
	return fmt.Sprintf("%s+%08x+%s", name, keyID(name, kind, public), base64.StdEncoding.EncodeToString(append([]byte{kind}, public...)))
}
