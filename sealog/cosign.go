package sealog

import (
	"crypto/ed25519"
	"encoding/base64"
	"encoding/binary"
	"fmt"
	"strconv"
	"strings"
	"time"

	"golang.org/x/mod/sumdb/note"

	"solander/fault"
)

// NewVerifier reads the public half of a key: that of a register, or of a witness who co-signs checkpoints. Faults: Invalid.
func NewVerifier(text string) (note.Verifier, error) {
	bad := fault.New(fault.Invalid, "this is no public key of a register or of a witness").ToMend("give it as it was shown: name+id+key")
	parts := strings.SplitN(strings.TrimSpace(text), "+", 3)
	if len(parts) != 3 {
		return nil, bad
	}
	id, err := strconv.ParseUint(parts[1], 16, 32)
	public, err2 := base64.StdEncoding.DecodeString(parts[2])
	if err != nil || err2 != nil || len(public) != 1+ed25519.PublicKeySize || uint32(id) != keyID(parts[0], public[0], public[1:]) {
		return nil, bad
	}
	switch public[0] {
	case typeEd25519:
		v, err := note.NewVerifier(strings.TrimSpace(text))
		if err != nil {
			return nil, bad.Because(err)
		}
		return v, nil
	case typeCosigned:
		return witness{parts[0], uint32(id), public[1:]}, nil
	}
	return nil, bad
}

// witness verifies co-signatures: an instant of eight bytes, and a signature over it and the checkpoint. Source: C2SP tlog-cosignature.
type witness struct {
	name   string
	id     uint32
	public ed25519.PublicKey
}

func (w witness) Name() string    { return w.name }
func (w witness) KeyHash() uint32 { return w.id }

func (w witness) Verify(text, sig []byte) bool {
	at, ok := cosignedAt(sig)
	return ok && ed25519.Verify(w.public, cosigned(text, at), sig[8:])
}

func cosignedAt(sig []byte) (uint64, bool) {
	if len(sig) != 8+ed25519.SignatureSize {
		return 0, false
	}
	return binary.BigEndian.Uint64(sig), true
}

func cosigned(text []byte, at uint64) []byte {
	return fmt.Appendf(nil, "cosignature/v1\ntime %d\n%s", at, text)
}

// Cosignature is what a witness said of a checkpoint.
type Cosignature struct {
	Name string
	At   time.Time
}

// Cosignatures are those of witnesses that were verified on a signed checkpoint.
func Cosignatures(n *note.Note, witnesses ...note.Verifier) []Cosignature {
	var out []Cosignature
	for _, s := range n.Sigs {
		for _, v := range witnesses {
			if w, ok := v.(witness); ok && w.name == s.Name && w.id == s.Hash {
				if raw, err := base64.StdEncoding.DecodeString(s.Base64); err == nil && len(raw) > 4 {
					if at, ok := cosignedAt(raw[4:]); ok {
						out = append(out, Cosignature{s.Name, time.Unix(int64(at), 0).UTC()})
					}
				}
			}
		}
	}
	return out
}
