package form

import (
	"net/url"
	"slices"
	"strings"

	"solander/letters"
)

// unprinted are the last words of fields that stand on no paper that others read.
var unprinted = []string{"note", "paid_note", "reason", "email", "phone", "wraps", "rules", "mapping", "q", "once", "back"}

// printed reports whether what is typed into a field may come to stand on a label or a slip.
func printed(name string) bool {
	return !slices.Contains(unprinted, name[strings.LastIndexByte(name, '.')+1:])
}

// Lacks names the letters of the field that the papers' type lacks; "" when it can be printed.
func (fd *Field) Lacks() string {
	if !printed(fd.Name) || fd.Kind == "hidden" || fd.Kind == "code" || fd.Kind == "select" || fd.Kind == "check" {
		return ""
	}
	return letters.Named(fd.Value)
}

// mostLacking bounds how many letters an address of a page carries along.
const mostLacking = 24

// Lacking returns the letters of what was sent that no label or slip can be printed with.
func Lacking(sent url.Values) string {
	var texts []string
	for name, values := range sent {
		if printed(name) {
			texts = append(texts, values...)
		}
	}
	bad := letters.Lacking(strings.Join(texts, " "))
	return string(bad[:min(mostLacking, len(bad))])
}
