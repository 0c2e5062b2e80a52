//go:build !race

package store

// kills is how often TestKilled kills; fullEdition is how many the takers have before them.
const (
	kills       = 100
	fullEdition = 8_000
)
