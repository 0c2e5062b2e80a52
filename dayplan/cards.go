package dayplan

import (
	"crypto/sha256"

	"solander/tariff"
)

// Digest tells one content of a card from another.
type Digest = [sha256.Size]byte

// Card is a price card with the digest of its content.
type Card struct {
	tariff.Card
	Digest Digest
	Own    bool
}
