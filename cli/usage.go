package cli

import (
	"errors"
	"regexp"
	"strings"

	"github.com/alecthomas/kong"

	"solander/fault"
)

// The parser's own words for what a person says otherwise.
var (
	notWhole   = regexp.MustCompile(`^(?:--)?(\S+): expected a valid \d+ bit u?int but got "(.*)"$`)
	notNamed   = regexp.MustCompile(`^[[<]*([a-z0-9-]+)[>\]]*(?: \.\.\.\])?: expected a valid \d+ bit u?int but got "(.*)"$`)
	noValue    = regexp.MustCompile(`^--([a-z0-9-]+): expected \w+ value but got "EOL" \(<EOL>\)$`)
	noArgument = regexp.MustCompile(`^expected "<([a-z0-9-]+)>.*"$`)
	notOne     = regexp.MustCompile(`^--([a-z0-9-]+) must be one of (.*) but got (".*")$`)
	notYesNo   = regexp.MustCompile(`^--([a-z0-9-]+): bool value must be .* but got "(.*)"$`)
	notTime    = regexp.MustCompile(`^--([a-z0-9-]+): expected duration but got "(.*?)": time: .*$`)
	asFlag     = regexp.MustCompile(`^--([a-z0-9-]+): expected \w+ value but got "(-.*?)" \(short flag\).*$`)
	notSaid    = regexp.MustCompile(`^expected (?:one of )?".*$`)
	unexpected = regexp.MustCompile(`^unexpected argument (\S+)(?:, did you mean .*)?$`)
	minus      = regexp.MustCompile(`^unknown flag (-[0-9.,]+)\b`)
)

// usage turns the parser's words into a fault that names the argument, what is wrong with it, and the mend.
func usage(err error) error {
	var p *kong.ParseError
	mend := "solander --help lists the commands"
	if errors.As(err, &p) && p.Context != nil && p.Context.Command() != "" {
		mend = "solander " + commandOf(p.Context.Command()) + " --help shows an example"
	}
	said := strings.TrimSuffix(err.Error(), ".")
	told := func(field, what string, args ...any) error {
		return fault.Invalidf(field, what, args...).ToMend("%s", mend).Because(err)
	}
	if m := minus.FindStringSubmatch(said); m != nil {
		mend = "amounts and counts are not negative; what must begin with a minus stands behind --"
		return told("", "%q begins with a minus and is read as a flag", m[1])
	}
	if m := unexpected.FindStringSubmatch(said); m != nil && p != nil && p.Context != nil {
		if lives := astray(p.Context.Model.Node, m[1]); len(lives) > 0 {
			mend = "did you mean " + strings.Join(lives, ", or ") + "? " + mend
		}
		return told("", "%q is no command or argument here", fault.Clip(m[1]))
	}
	if m := notYesNo.FindStringSubmatch(said); m != nil {
		mend = "write --" + m[1] + ", or leave it out; " + mend
		return told(m[1], "%q is neither yes nor no", fault.Clip(m[2]))
	}
	if m := notTime.FindStringSubmatch(said); m != nil {
		mend = "write it with its unit, like 5s, 2m or 8h; " + mend
		return told(m[1], "%q is no time", fault.Clip(m[2]))
	}
	if m := asFlag.FindStringSubmatch(said); m != nil {
		mend = "amounts, counts and times are not negative; what must begin with a minus is written --" + m[1] + "=" + m[2]
		return told(m[1], "%q begins with a minus and is read as a flag", fault.Clip(m[2]))
	}
	if m := notNamed.FindStringSubmatch(said); m != nil {
		mend = "write it in digits, like 12; " + mend
		return told(m[1], "%q is not a whole number", fault.Clip(m[2]))
	}
	if m := notWhole.FindStringSubmatch(said); m != nil {
		mend = "write it in digits, like 12; " + mend
		return told(m[1], "%q is not a whole number", fault.Clip(m[2]))
	}
	if m := noValue.FindStringSubmatch(said); m != nil {
		return told(m[1], "nothing stands behind --%s", m[1])
	}
	if m := noArgument.FindStringSubmatch(said); m != nil {
		return told(m[1], "it is missing")
	}
	if notSaid.MatchString(said) && p != nil && p.Context != nil {
		if n := p.Context.Selected(); n == nil || !n.Leaf() {
			return told("", "no command is named")
		}
	}
	if m := notOne.FindStringSubmatch(said); m != nil {
		words := strings.ReplaceAll(strings.ReplaceAll(strings.ReplaceAll(m[2], `,""`, ""), `"`, ""), ",", ", ")
		mend = "use one of " + words
		return told(m[1], "%s is none of its words", m[3])
	}
	return told("", "%s", said)
}

// commandOf is a command as it is typed: the words before its arguments.
func commandOf(grammar string) string {
	var words []string
	for _, w := range strings.Fields(grammar) {
		if strings.HasPrefix(w, "<") || strings.HasPrefix(w, "[") {
			break
		}
		words = append(words, w)
	}
	return strings.Join(words, " ")
}
