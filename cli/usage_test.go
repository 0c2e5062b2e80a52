package cli

import (
	"io"
	"regexp"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
)

// parsers are words of the parser, and of what it parses with, that nobody who sells prints would say.
var parsers = regexp.MustCompile(`strconv|\bexpected (?:a|one|\w+ (?:value )?but|")|EOL|short flag|bit u?int|invalid duration|missing unit|time: |value must be|parsing "`)

// Whatever is typed for a flag, it is refused in our words, or taken: what is no number, negative, far too large, no time, nothing at all. It
// names the flag, and says how to write it.
func TestFlagsAreRefusedInOurWords(t *testing.T) {
	var a app
	parser, err := grammar(&a, io.Discard, io.Discard)
	if err != nil {
		t.Fatal(err)
	}
	tried, refused := 0, 0
	_ = kong.Visit(parser.Model.Node, func(node kong.Visitable, next kong.Next) error {
		n, ok := node.(*kong.Node)
		if !ok || n.Type == kong.ArgumentNode {
			return next(nil)
		}
		command := strings.Fields(commandOf(n.FullPath()))[1:]
		for _, f := range n.Flags {
			if f.Name == "help" {
				continue
			}
			for _, typed := range [][]string{
				{"--" + f.Name + "=-2"},
				{"--" + f.Name, "-2"},
				{"--" + f.Name, "-2h"},
				{"--" + f.Name + "=soon"},
				{"--" + f.Name + "=5"},
				{"--" + f.Name},
				{"--" + f.Name + "=1e999"},
				{"--" + f.Name + "=99999999999999999999"},
				{"--" + f.Name + "="},
				{"--" + f.Name + "=1.5"},
			} {
				tried++
				if f.IsBool() && len(typed) == 2 {
					continue // what follows is another argument
				}
				_, err := parser.Parse(append(append([]string{}, command...), typed...))
				if err == nil {
					continue
				}
				refused++
				if told := usage(err).Error(); parsers.MatchString(told) {
					t.Errorf("solander %s %s: %s", strings.Join(command, " "), strings.Join(typed, " "), told)
				}
			}
		}
		return next(nil)
	})
	if tried < 1000 || refused < 500 {
		t.Errorf("only %d were tried, and %d refused", tried, refused)
	}
}
