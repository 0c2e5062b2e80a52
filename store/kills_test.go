//go:build !race

package store

// kills is how often TestKilled kills; numbers is how many the takers have before them.
const (
	kills   = 100
	numbers = 8_000
)
