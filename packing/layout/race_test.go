//go:build race

package layout

const slow = 8 // the race detector makes everything slower
