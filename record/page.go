package record

import (
	"bytes"
	_ "embed"
	"html/template"
	"slices"
)

//go:embed page.html
var pageText string

var page = template.Must(template.New("page").Parse(pageText))

// pageOf is the page of the public record: it asks for nothing else, and works from a file.
func pageOf(p Published, beside []File) ([]byte, error) {
	var b bytes.Buffer
	checks := slices.ContainsFunc(beside, func(f File) bool { return f.Path == CheckPage })
	err := page.Execute(&b, struct {
		Published
		Checks bool // the page that checks certificates lies beside it
	}{p, checks})
	return b.Bytes(), err
}
