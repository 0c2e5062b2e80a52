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
	"path/filepath"
	"runtime/debug"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"
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
	files := target{"darwin", "arm64"}.program([]byte("program"), "1.2.3")
	if len(files) != 2 || !files[1].runs || !strings.HasSuffix(files[1].name, ".app/Contents/MacOS/solander") {
		t.Fatalf("it is %v", files)
	}
	if err := xml.Unmarshal(files[0].data, new(struct{ XMLName xml.Name })); err != nil {
		t.Error(err)
	}
	if !bytes.Contains(files[0].data, []byte("<key>CFBundleExecutable</key><string>solander</string>")) {
		t.Error("it does not name its program")
	}
}

// TestLicences: each part of this very test has a licence; a part without one is refused.
func TestLicences(t *testing.T) {
	t.Chdir("../..")
	held, err := licences([]*debug.Module{{Path: "golang.org/x/net"}})
	if err != nil {
		t.Fatal(err)
	}
	names := map[string]bool{}
	for _, f := range held {
		if len(f.data) == 0 {
			t.Errorf("%s is empty", f.name)
		}
		names[f.name] = true
	}
	for _, want := range []string{"licences/LICENSE", "licences/go/LICENSE", "licences/golang.org/x/net/LICENSE", "licences/NOTICE.md"} {
		if !names[want] {
			t.Errorf("there is no %s in %v", want, names)
		}
	}
	if _, err := licences([]*debug.Module{{Path: "example.org/none"}}); err == nil {
		t.Error("a part that has no licence is let through")
	}
}
