//go:build race

package cutting

const slow = 8 // the race detector makes everything slower
