package cli

import (
	"errors"
	"html/template"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"solander/cli/desk"
	"solander/fault"
)

// unseen reports whether what a double click writes is read by nobody: there is no terminal, or, on Windows, one that closes with the program.
func unseen(d *desk.Desk) bool { return runtime.GOOS == "windows" || !d.Shows(d.Err) }

// unopened is the page that says why a double click opened nothing. It needs nothing beside itself: no pages are served then.
var unopened = template.Must(template.New("unopened").Parse(`<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>The studio was not opened</title>
<style>
:root { color-scheme: light dark; }
body { font: 1.05rem/1.55 Georgia, "Source Serif 4", serif; max-width: 40rem; margin: 3rem auto; padding: 0 1rem; color: #1c1a17; background: #f3f3ef; overflow-wrap: anywhere; }
h1 { font-weight: 400; font-size: 2rem; line-height: 1.2; }
@media (prefers-color-scheme: dark) { body { color: #e7e4dc; background: #191a18; } }
</style>
<h1>The studio was not opened</h1>
{{range .}}
<p><strong>{{.Text}}</strong>{{if .Where}}<br>{{.Where}}{{end}}</p>
{{if .Mend}}<p>What helps: {{.Mend}}.</p>{{end}}
{{end}}
<p>Then start Solander again.</p>
</html>
`))

// tellOnPage shows in her browser why nothing was opened.
func tellOnPage(d *desk.Desk, why error) error {
	f, err := os.CreateTemp("", "solander-*.html")
	if err != nil {
		return err
	}
	type line struct{ Text, Where, Mend string }
	var lines []line
	for _, x := range fault.All(why) {
		lines = append(lines, line{what(x), x.Where, strings.TrimSuffix(x.Mend, ".")})
	}
	if err := errors.Join(unopened.Execute(f, lines), f.Close()); err != nil {
		return err
	}
	path := "/" + strings.TrimPrefix(filepath.ToSlash(f.Name()), "/") // on Windows it begins with a drive
	return d.Env.Browse((&url.URL{Scheme: "file", Path: path}).String())
}
