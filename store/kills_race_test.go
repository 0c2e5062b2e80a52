//go:build race

package store

// kills is how often TestKilled kills; fullEdition is how many the takers have before them. The race detector
// slows every start and every check of the file many times over and has nothing to find in a process that
// is killed, so a handful will do here.
const (
	kills       = 8
	fullEdition = 1_000
)
