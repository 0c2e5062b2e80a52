package record

import (
	"bytes"
	_ "embed"
	"html/template"
)

//go:embed page.html
var pageText string

var page = template.Must(template.New("page").Parse(pageText))

// pageOf is the page of the public record: it asks for nothing else, and works from a file.
func pageOf(p Published) ([]byte, error) {
	var b bytes.Buffer
	err := page.Execute(&b, p)
	return b.Bytes(), err
}
