//go:build !race

package bins

const slow = 1
