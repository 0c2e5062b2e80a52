package pdf

import (
	"slices"

	"golang.org/x/text/unicode/bidi"
)

// visual puts a line in the order in which it is drawn from left to right. It follows Unicode Standard
// Annex 9 as far as a line on these papers needs it: the first letter gives the direction of the line
// (P2), numbers run from left to right within right-to-left text, what is neither takes the direction of
// its neighbours when they agree and else that of the line (N1, N2), runs are reversed by level (L2), and
// brackets in them are mirrored (L4). There are no embeddings.
func visual(line string) string {
	runes := []rune(line)
	classes, base := classesOf(runes)
	if base == 0 && !slices.Contains(classes, right) {
		return line
	}
	levels := levelsOf(classes, base)
	for level := slices.Max(levels); level > 0; level-- {
		for i := 0; i < len(runes); {
			j := i
			for j < len(runes) && levels[j] >= level {
				j++
			}
			slices.Reverse(runes[i:j])
			slices.Reverse(levels[i:j])
			i = max(j, i+1)
		}
	}
	for i, r := range runes {
		if m, ok := mirrored[r]; ok && levels[i]%2 == 1 {
			runes[i] = m
		}
	}
	return string(runes)
}

var mirrored = map[rune]rune{'(': ')', ')': '(', '[': ']', ']': '[', '{': '}', '}': '{', '<': '>', '>': '<', '«': '»', '»': '«'}

// class is the direction of one character.
type class int

const (
	neither class = iota
	left
	right
	number
)

// classesOf returns the class of every character and the level of the line: 0 from left to right, 1 from
// right to left. A separator between two digits belongs to their number; a number after a left-to-right
// letter, or in a line of none, counts as left.
func classesOf(runes []rune) ([]class, int) {
	classes := make([]class, len(runes))
	base, strong := -1, left
	digit := func(i int) bool { return i >= 0 && i < len(runes) && runes[i] >= '0' && runes[i] <= '9' }
	for i, r := range runes {
		p, _ := bidi.LookupRune(r)
		switch p.Class() {
		case bidi.L:
			classes[i], strong = left, left
		case bidi.R, bidi.AL:
			classes[i], strong = right, right
		default:
			switch {
			case digit(i) || digit(i-1) && digit(i+1) && r != ' ':
				classes[i] = number
				if strong == left && base != 1 {
					classes[i] = left
				}
			}
			continue
		}
		if base < 0 {
			base = int(classes[i]) - int(left)
			if base == 1 { // numbers before the first letter of a right-to-left line
				for j := range i {
					if classes[j] == left {
						classes[j] = number
					}
				}
			}
		}
	}
	return classes, max(base, 0)
}

// levelsOf resolves what is neither and returns the level of every character.
func levelsOf(classes []class, base int) []int {
	levels := make([]int, len(classes))
	side := func(from, step int) class { // the direction of the nearest letter or number that way
		for i := from; i >= 0 && i < len(classes); i += step {
			switch classes[i] {
			case left:
				return left
			case right, number:
				return right
			}
		}
		return left + class(base)
	}
	for i, c := range classes {
		if c == neither {
			c = left + class(base)
			if before := side(i, -1); before == side(i, 1) {
				c = before
			}
		}
		switch {
		case c == right:
			levels[i] = 1
		case c == number, base == 1:
			levels[i] = 2
		}
	}
	return levels
}
