package cli

import "strings"

// oneLine puts a text of several lines into one.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// filled are the texts that are not empty.
func filled(texts ...string) []string {
	var out []string
	for _, t := range texts {
		if t != "" {
			out = append(out, t)
		}
	}
	return out
}

// orText is a, or b when a is empty.
func orText(a, b string) string {
	if a != "" {
		return a
	}
	return b
}
