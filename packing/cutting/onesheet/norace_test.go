//go:build !race

package onesheet_test

const slow = 1
