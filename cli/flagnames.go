package cli

import (
	"regexp"
	"strings"

	"github.com/alecthomas/kong"
)

// flagNames are the flags of a command: a fault of a field is told by the flag that it was typed with.
type flagNames map[string]bool

// namesOf are the flags of the command that was parsed; none when what it does comes from a file, whose names stay.
func namesOf(parsed *kong.Context) flagNames {
	names := flagNames{}
	for _, f := range parsed.Flags() {
		if f.Name == "file" && f.Set {
			return nil
		}
		names[f.Name] = true
	}
	return names
}

// others are fields whose flag has another name than their last part.
var others = map[string]string{
	"ship_to.name": "to", "settings.address.name": "to", "lines": "print", "lines.edition": "print", "lines.number": "print", "lines.price": "print",
	"prints": "print", "prints.edition": "print", "prints.number": "print", "prints.price": "print", "unit_cost": "cost",
}

var inBrackets = regexp.MustCompile(`\[[^]]*\]`)

// of is the flag of a field, "--line1" of "ship_to.line1"; the field itself when it has none.
func (n flagNames) of(field string) string {
	plain := inBrackets.ReplaceAllString(field, "")
	last := plain[strings.LastIndex(plain, ".")+1:]
	for _, name := range []string{others[plain], strings.ReplaceAll(plain, "_", "-"), strings.ReplaceAll(last, "_", "-")} {
		if n[name] {
			return "--" + name
		}
	}
	return field
}
