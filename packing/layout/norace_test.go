//go:build !race

package layout

const slow = 1
