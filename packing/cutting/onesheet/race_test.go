//go:build race

package onesheet_test

const slow = 8 // the race detector makes everything slower
