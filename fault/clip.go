package fault

import "strings"

// Clip returns the beginning of a text as a fault may show it: at most 40 characters, in valid UTF-8.
func Clip(s string) string {
	r := []rune(strings.ToValidUTF8(s[:min(len(s), 320)], "�"))
	if len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return string(r)
}
