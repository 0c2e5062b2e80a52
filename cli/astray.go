package cli

import (
	"slices"
	"strings"

	"github.com/alecthomas/kong"
)

// mostAstray bounds how many commands are offered for a word that stands where no command of it is.
const mostAstray = 4

// astray are the commands, as they are typed, that a word may have meant that is no command where it stands: those of that very name, wherever they
// are in the tree; else those whose name is a slip away from it. Nearest to the top first.
func astray(app *kong.Node, word string) []string {
	best, found := 2, []string(nil)
	if len([]rune(word)) < 4 { // of short words nearly everything is a slip away
		best = 1
	}
	for level := app.Children; len(level) > 0; {
		var below []*kong.Node
		for _, n := range level {
			if n.Type == kong.CommandNode && !n.Hidden {
				for _, name := range append([]string{n.Name}, n.Aliases...) {
					switch d := slips(strings.ToLower(word), name); {
					case d < best:
						best, found = d, []string{commandOf(n.FullPath())}
					case d == best && !slices.Contains(found, commandOf(n.FullPath())):
						found = append(found, commandOf(n.FullPath()))
					}
				}
			}
			below = append(below, n.Children...)
		}
		level = below
	}
	return found[:min(len(found), mostAstray)]
}

// slips is how many signs were added, left out, replaced, or swapped with their neighbour, between what was meant and what was typed.
// Source: F. J. Damerau, "A technique for computer detection and correction of spelling errors", 1964, from memory: those four are most slips.
func slips(typed, meant string) int {
	a, b := []rune(typed), []rune(meant)
	before, last := make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := range a {
		now := make([]int, len(b)+1)
		now[0] = i + 1
		for j := range b {
			other := 1
			if a[i] == b[j] {
				other = 0
			}
			now[j+1] = min(last[j+1]+1, now[j]+1, last[j]+other)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				now[j+1] = min(now[j+1], before[j-1]+1)
			}
		}
		before, last = last, now
	}
	return last[len(b)]
}
