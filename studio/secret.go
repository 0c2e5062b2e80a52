package studio

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"io"
)

// Secret returns 256 bits of chance as text.
func (s *Studio) Secret() (string, error) {
	b := make([]byte, 32)
	if _, err := io.ReadFull(s.Random, b); err != nil {
		return "", err
	}
	return base64.RawURLEncoding.EncodeToString(b), nil
}

// HashOf is the SHA-256 of a text, in hex: of a secret nothing else is kept.
func HashOf(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:])
}
