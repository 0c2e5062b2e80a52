package fault

import (
	"strings"
	"testing"
)

func TestClip(t *testing.T) {
	for in, want := range map[string]string{
		"":                             "",
		"8 furlongs":                   "8 furlongs",
		"a\xffb":                       "a�b",
		strings.Repeat("é", 40):        strings.Repeat("é", 40),
		strings.Repeat("é", 41):        strings.Repeat("é", 40) + "…",
		strings.Repeat("x", 1_000_000): strings.Repeat("x", 40) + "…",
	} {
		if got := Clip(in); got != want {
			t.Errorf("%.50q: %q, want %q", in, got, want)
		}
	}
}
