package certificate

import (
	_ "embed"
	"encoding/json"
	"strings"
)

// The parts of the page on which anybody checks a certificate. The licences of the libraries
// lie beside them.
var (
	//go:embed page/check.html
	pageHTML string
	//go:embed page/check.js
	checkJS string
	//go:embed page/page.js
	pageJS string
	//go:embed page/ed25519.js
	ed25519JS string
	//go:embed page/ed25519-licence.txt
	ed25519Licence string
	//go:embed page/jsqr.js
	jsqrJS string
	//go:embed page/jsqr-licence.txt
	jsqrLicence string
)

// Page is the page on which anybody checks a certificate: one file that asks no server. It knows the keys of a studio and its newest list;
// with neither it asks for them.
func Page(studio string, known Known) (string, error) {
	raw, err := json.Marshal(struct { // < and > come out escaped: it stands within a script
		Keys []string `json:"keys"`
		List string   `json:"list"`
	}{known.Keys, known.List})
	if err != nil {
		return "", err
	}
	open := " open"
	if len(known.Keys) > 0 {
		open = ""
	}
	named := ""
	if studio != "" {
		named = "These are the keys of " + escapeHTML(studio) + ", as this page was given out. "
	}
	return strings.NewReplacer(
		"@open@", open, "@studio@", named,
		"@known@", string(raw), "@library@", library(), "@codes@", codes(), "@check@", checkJS, "@page@", pageJS,
	).Replace(pageHTML), nil
}

// library is the library as a script that is no module, with its licence.
func library() string {
	body, _, _ := strings.Cut(ed25519JS, "\nexport {")
	return "/*\n" + ed25519Licence + "*/\nglobalThis.solanderEd25519 = (() => {\n" + body + "\nreturn { verifyAsync };\n})();\n"
}

// codes reads codes from pictures, where a browser does not; with its licence.
func codes() string { return "/*\n" + jsqrLicence + "*/\n" + jsqrJS }

func escapeHTML(text string) string {
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&#34;").Replace(text)
}
