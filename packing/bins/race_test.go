//go:build race

package bins

const slow = 8 // the race detector makes everything slower
