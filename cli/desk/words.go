package desk

import "strings"

// OneLine puts a text of several lines into one.
func OneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// Filled are the texts that are not empty.
func Filled(texts ...string) []string {
	var out []string
	for _, t := range texts {
		if t != "" {
			out = append(out, t)
		}
	}
	return out
}

// OrText is a, or b when a is empty.
func OrText(a, b string) string {
	if a != "" {
		return a
	}
	return b
}
