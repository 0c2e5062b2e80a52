package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"encoding/xml"
	"errors"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/debug"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/net/html"

	"solander/internal/testpicture"
)

var written = time.Date(2026, 4, 14, 9, 30, 0, 0, time.UTC)

var some = []file{{"solander-1/a.txt", []byte("text"), false}, {"solander-1/solander", bytes.Repeat([]byte("program"), 1000), true}}

// TestArchives writes an archive of each kind twice, into folders of different names, and reads it back.
func TestArchives(t *testing.T) {
	for _, sys := range []target{{"linux", "amd64"}, {"windows", "arm64"}, {"darwin", "arm64"}} {
		t.Run(sys.String(), func(t *testing.T) {
			var twice [2][]byte
			for i := range twice {
				path := filepath.Join(t.TempDir(), "x"+sys.tail())
				if err := sys.write(path, some, written); err != nil {
					t.Fatal(err)
				}
				var err error
				if twice[i], err = os.ReadFile(path); err != nil {
					t.Fatal(err)
				}
			}
			if !bytes.Equal(twice[0], twice[1]) {
				t.Error("the second one has other bytes")
			}
			read := unzipped
			if sys.tail() == ".tar.gz" {
				read = untarred
			}
			got, err := read(twice[0])
			if err != nil {
				t.Fatal(err)
			}
			if len(got) != len(some) {
				t.Fatalf("it holds %d files", len(got))
			}
			for i, f := range got {
				if want := some[i]; f.name != want.name || !bytes.Equal(f.data, want.data) || f.runs != want.runs {
					t.Errorf("file %d is %s of %d bytes, runs %t", i, f.name, len(f.data), f.runs)
				}
			}
		})
	}
}

func untarred(b []byte) (files []file, err error) {
	packed, err := gzip.NewReader(bytes.NewReader(b))
	if err != nil {
		return nil, err
	}
	for r := tar.NewReader(packed); ; {
		h, err := r.Next()
		if errors.Is(err, io.EOF) {
			return files, nil
		} else if err != nil {
			return nil, err
		}
		data, err := io.ReadAll(r)
		if err != nil || !h.ModTime.Equal(written) || h.Uid != 0 || h.Uname != "" {
			return nil, errors.Join(err, errors.New("not of the time and the owner of all"))
		}
		files = append(files, file{h.Name, data, h.FileInfo().Mode().Perm()&0o111 != 0})
	}
}

func unzipped(b []byte) (files []file, err error) {
	r, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		return nil, err
	}
	for _, f := range r.File {
		data, err := fs.ReadFile(r, f.Name)
		if err != nil || !f.Modified.Equal(written) {
			return nil, errors.Join(err, errors.New("not of the time of all"))
		}
		files = append(files, file{f.Name, data, f.Mode().Perm()&0o111 != 0})
	}
	return files, nil
}

func TestFirstPage(t *testing.T) {
	for _, sys := range targets {
		page := string(firstPage(sys, "1.2.3"))
		if _, err := html.Parse(strings.NewReader(page)); err != nil {
			t.Fatal(err)
		}
		for _, want := range []string{"solander-1.2.3-" + sys.named() + sys.tail(), "checksum", "invented studio"} {
			if !strings.Contains(page, want) {
				t.Errorf("%s: its page lacks %q", sys, want)
			}
		}
		if strings.Contains(page, "{{") || strings.Contains(page, "<no value>") {
			t.Errorf("%s: a part of its page was not filled in", sys)
		}
	}
}

func TestApplicationFolder(t *testing.T) {
	t.Chdir("../..")
	files, err := target{"darwin", "arm64"}.program([]byte("program"), "1.2.3")
	if err != nil {
		t.Fatal(err)
	}
	if last := files[len(files)-1]; len(files) != 3 || !last.runs || !strings.HasSuffix(last.name, ".app/Contents/MacOS/solander") {
		t.Fatalf("it is %v", files)
	}
	if err := xml.Unmarshal(files[0].data, new(struct{ XMLName xml.Name })); err != nil {
		t.Error(err)
	}
	for _, want := range []string{"<key>CFBundleExecutable</key><string>solander</string>", "<key>CFBundleIconFile</key><string>solander</string>"} {
		if !bytes.Contains(files[0].data, []byte(want)) {
			t.Errorf("it does not say %s", want)
		}
	}
}

// TestIcon: the icon is the mark, at each size; what reads it is Pillow, which is not ours.
func TestIcon(t *testing.T) {
	t.Chdir("../..")
	whole, err := icon()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "solander.icns"), whole, 0o600); err != nil {
		t.Fatal(err)
	}
	var got []struct {
		Side                        int
		Ground, Print, Corner, Bent []int
	}
	testpicture.Pillow(t, dir, `
import json
from PIL import Image
all = []
for size in sorted(Image.open("solander.icns").info["sizes"]):
    im = Image.open("solander.icns"); im.size = size; im.load(); im = im.convert("RGB"); n = im.width
    at = lambda x, y: im.getpixel((int(x * n / 32), int(y * n / 32)))
    all.append({"Side": n, "Ground": at(2, 2), "Print": at(16, 16), "Corner": at(6, 8), "Bent": at(5.5, 5.5)})
print(json.dumps(all))`, &got)
	var sides []int
	for _, p := range got {
		sides = append(sides, p.Side)
		// The hues stand in the mark, which the pages show; its corners are lines of one and a half units, around 6 and 26.
		want := [][]int{{0xf3, 0xf4, 0xf0}, {0x0a, 0x5a, 0x4f}, {0x19, 0x1c, 0x1b}, {0x19, 0x1c, 0x1b}}
		if diff := cmp.Diff(want, [][]int{p.Ground, p.Print, p.Corner, p.Bent}); diff != "" {
			t.Errorf("at %d pixels: %s", p.Side, diff)
		}
	}
	if diff := cmp.Diff([]int{128, 256, 512, 1024}, sides); diff != "" {
		t.Error(diff)
	}
}

// TestServices: systemd itself reads both service files, and finds nothing wrong; the one of a machine leaves little open.
func TestServices(t *testing.T) {
	analyse, err := exec.LookPath("systemd-analyze")
	if err != nil {
		t.Skip("there is no systemd-analyze here, which reads such files")
	}
	dir := t.TempDir()
	for name, program := range map[string]string{"solander.service": "%h/.local/bin/solander", "solander-server.service": "/usr/local/bin/solander"} {
		text, err := forLinux.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Contains(text, []byte("ExecStart="+program+" serve")) {
			t.Errorf("%s does not start %s", name, program)
		}
		path := filepath.Join(dir, name) // with a program that is there: this one
		if err := os.WriteFile(path, bytes.ReplaceAll(text, []byte(program), []byte(os.Args[0])), 0o600); err != nil {
			t.Fatal(err)
		}
		scope := "--system"
		if name == "solander.service" {
			scope = "--user"
		}
		verify := exec.Command(analyse, "verify", scope, "--man=no", "--recursive-errors=no", path)
		verify.Env = append(os.Environ(), "XDG_RUNTIME_DIR="+dir)
		if said, err := verify.CombinedOutput(); err != nil || len(said) > 0 {
			t.Errorf("%s: %v\n%s", name, err, said)
		}
	}
	// Source: systemd-analyze(1): from 0.0, nothing is open, to 10.0; --threshold, in tenths of that, fails above it.
	if said, err := exec.Command(analyse, "security", "--offline=true", "--threshold=20", filepath.Join(dir, "solander-server.service")).CombinedOutput(); err != nil {
		t.Errorf("%v\n%s", err, said)
	}
}

// TestLicences: each part of this very test has a licence; a part without one is refused.
func TestLicences(t *testing.T) {
	t.Chdir("../..")
	held, err := licences([]*debug.Module{{Path: "golang.org/x/net"}})
	if err != nil {
		t.Fatal(err)
	}
	texts := map[string]string{}
	for _, f := range held {
		if len(f.data) == 0 {
			t.Errorf("%s is empty", f.name)
		}
		texts[f.name] = string(f.data)
	}
	for _, want := range []string{"licences/LICENSE", "licences/NOTICE.md", ofModules} {
		if texts[want] == "" {
			t.Errorf("there is no %s", want)
		}
	}
	for _, want := range []string{"\nGo, LICENSE\n", "\ngolang.org/x/net, LICENSE\n", "Redistributions of source code must retain the above copyright"} {
		if !strings.Contains(texts[ofModules], want) {
			t.Errorf("%s lacks %q:\n%.2000s", ofModules, want, texts[ofModules])
		}
	}
	if _, err := licences([]*debug.Module{{Path: "example.org/none"}}); err == nil {
		t.Error("a part that has no licence is let through")
	}
}
