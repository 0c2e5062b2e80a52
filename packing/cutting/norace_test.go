//go:build !race

package cutting

const slow = 1
