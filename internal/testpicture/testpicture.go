// Package testpicture lets tests look at pictures with programs that are not ours: Pillow (with littleCMS) decodes, converts and makes
// files, ExifTool tells what is written in them. Without them a test fails, unless SOLANDER_NO_PILLOW=1 says that it may be left out.
package testpicture

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// Pillow runs a script of Python, with args, in a folder, and decodes what it prints, JSON, into answer.
func Pillow(t testing.TB, dir, script string, answer any, args ...string) {
	t.Helper()
	cmd := exec.Command(python(t), append([]string{"-c", script}, args...)...)
	cmd.Dir = dir
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("testpicture: %v\n%s", err, errs.String())
	}
	if err := json.Unmarshal(out, answer); err != nil {
		t.Fatalf("testpicture: %v in %.300q", err, out)
	}
}

// mayLook leaves a test out where other programs are not to be asked.
func mayLook(t testing.TB) {
	t.Helper()
	if os.Getenv("SOLANDER_NO_PILLOW") == "1" {
		t.Skip("SOLANDER_NO_PILLOW=1: looking at pictures with other programs is left out")
	}
	if testing.Short() {
		t.Skip("-short: make test looks at pictures with other programs")
	}
}

// python is one that has Pillow: the system's own, or the first of the path.
func python(t testing.TB) string {
	t.Helper()
	mayLook(t)
	for _, p := range []string{"/usr/bin/python3", "python3"} {
		if exec.Command(p, "-c", "from PIL import Image, ImageCms, features; assert features.check('webp')").Run() == nil {
			return p
		}
	}
	t.Fatal("testpicture: no Python with Pillow\ninstall it (Debian: python3-pil), or set SOLANDER_NO_PILLOW=1 to leave these tests out")
	return ""
}

// Told is what ExifTool reads in a file, by group and name ("GPS:GPSLatitude"), but for what it tells of itself and of the file as such.
func Told(t testing.TB, file []byte) map[string]any {
	t.Helper()
	out := exiftool(t, file, "-j", "-G1", "-a", "-u", "-U", "-ee")
	var all []map[string]any
	if err := json.Unmarshal(out, &all); err != nil || len(all) != 1 {
		t.Fatalf("testpicture: %v in %.300q", err, out)
	}
	for name := range all[0] {
		group, _, _ := strings.Cut(name, ":")
		if group == "ExifTool" || group == "System" || name == "SourceFile" {
			delete(all[0], name)
		}
	}
	return all[0]
}

// Tell writes what is to stand in a file, in the words of ExifTool ("-GPS:GPSLatitude=41.2"), and returns the file.
func Tell(t testing.TB, file []byte, words ...string) []byte {
	t.Helper()
	path := filepath.Join(t.TempDir(), "told.jpg")
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(tool(t), append(words, "-overwrite_original", "-q", path)...).CombinedOutput(); err != nil {
		t.Fatalf("testpicture: exiftool: %v: %s", err, out)
	}
	out, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func exiftool(t testing.TB, file []byte, args ...string) []byte {
	t.Helper()
	path := filepath.Join(t.TempDir(), "looked.jpg")
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(tool(t), append(args, path)...).Output()
	if err != nil {
		t.Fatalf("testpicture: exiftool: %v", err)
	}
	return out
}

func tool(t testing.TB) string {
	t.Helper()
	mayLook(t)
	path, err := exec.LookPath("exiftool")
	if err != nil {
		t.Fatal("testpicture: no exiftool in PATH\ninstall it (Debian: libimage-exiftool-perl), or set SOLANDER_NO_PILLOW=1 to leave these tests out")
	}
	return path
}
