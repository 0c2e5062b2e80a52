package main

import (
	"bytes"
	"embed"
	"html/template"
)

//go:embed first.html
var firstHTML string

var first = template.Must(template.New("first").Parse(firstHTML))

// firstPage is the page of the first five minutes with a system's program.
func firstPage(t target, version string) []byte {
	var b bytes.Buffer
	if err := first.Execute(&b, map[string]string{"System": t.system, "Version": version, "Archive": "solander-" + version + "-" + t.named() + t.tail()}); err != nil {
		panic(err) // the page is embedded above and takes nothing but words
	}
	return b.Bytes()
}

// about is what macOS asks of the folder that is an application. Source: Apple, Information Property List, CFBundle… keys; LSUIElement: the
// program shows no window of its own. From memory.
var about = template.Must(template.New("about").Parse(`<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE plist PUBLIC "-//Apple//DTD PLIST 1.0//EN" "http://www.apple.com/DTDs/PropertyList-1.0.dtd">
<plist version="1.0">
<dict>
	<key>CFBundleName</key><string>Solander</string>
	<key>CFBundleDisplayName</key><string>Solander</string>
	<key>CFBundleIdentifier</key><string>solander.studio</string>
	<key>CFBundleVersion</key><string>{{.}}</string>
	<key>CFBundleShortVersionString</key><string>{{.}}</string>
	<key>CFBundleExecutable</key><string>solander</string>
	<key>CFBundleIconFile</key><string>solander</string>
	<key>CFBundlePackageType</key><string>APPL</string>
	<key>LSMinimumSystemVersion</key><string>12.0</string>
	<key>LSUIElement</key><true/>
</dict>
</plist>
`))

// What those get who run it on Linux: a service of a user, one of a machine, and a container of the program beside it.
//
//go:embed solander.service solander-server.service Containerfile
var forLinux embed.FS

var besideLinux = []string{"solander.service", "solander-server.service", "Containerfile"}

// program is the program as a system wants it, itself last: on macOS in a folder that is an application.
func (t target) program(whole []byte, version string) (files []file, err error) {
	switch t.system {
	case "windows":
		return []file{{"solander.exe", whole, true}}, nil
	case "darwin":
		var b bytes.Buffer
		if err := about.Execute(&b, version); err != nil {
			return nil, err
		}
		drawn, err := icon()
		const in = "Solander.app/Contents/"
		return []file{{in + "Info.plist", b.Bytes(), false}, {in + "Resources/solander.icns", drawn, false}, {in + "MacOS/solander", whole, true}}, err
	}
	for _, name := range besideLinux {
		text, err := forLinux.ReadFile(name)
		if err != nil {
			return nil, err
		}
		files = append(files, file{name, text, false})
	}
	return append(files, file{"solander", whole, true}), nil
}
