package intake

import (
	"crypto/sha256"
	"encoding/hex"
	"strings"
	"unicode/utf8"
)

// ForAll ends the id of an answer that holds for every question of its kind that has none of its own: "year:*", "prints:*".
const ForAll = "*"

// Of returns the answer to a question: its own, or the one for all of its kind.
func (a Answers) Of(id string) string {
	if v := a[id]; v != "" {
		return v
	}
	kind, rest, many := strings.Cut(id, ":")
	if !many || rest == "" {
		return ""
	}
	return a[kind+":"+ForAll]
}

func (r *reader) answer(id string) string { return r.in.Answers.Of(id) }

// shortSum tells long texts apart.
func shortSum(s string) string {
	sum := sha256.Sum256([]byte(s))
	return "…" + hex.EncodeToString(sum[:6])
}

// cutAt returns the last place up to n where no character is cut.
func cutAt(s string, n int) int {
	for n > 0 && !utf8.RuneStart(s[n]) {
		n--
	}
	return n
}
