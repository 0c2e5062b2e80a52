// Package testpdf reads a PDF back the way its readers do: its text, its pages as pictures, and the bar
// codes on them. It uses pdftotext and pdftoppm of poppler, and a bar-code reader that shares no code
// with what draws the codes. Without poppler a test fails, unless SOLANDER_NO_POPPLER=1 says that it may
// be skipped.
package testpdf

import (
	"bytes"
	"context"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// Text returns the text of all pages in reading order, laid out as on the page; pages are parted by a
// form feed.
func Text(t testing.TB, pdf []byte) string {
	t.Helper()
	return string(poppler(t, pdf, "pdftotext", "-layout", "-enc", "UTF-8", "-", "-"))
}

// Pages returns the text of each page.
func Pages(t testing.TB, pdf []byte) []string {
	t.Helper()
	return strings.Split(strings.TrimSuffix(Text(t, pdf), "\f"), "\f")
}

// Image returns a page, counted from 1, as it prints at dots per inch.
func Image(t testing.TB, pdf []byte, page, dpi int) image.Image {
	t.Helper()
	n := strconv.Itoa(page)
	b := poppler(t, pdf, "pdftoppm", "-png", "-r", strconv.Itoa(dpi), "-f", n, "-l", n, "-")
	img, err := png.Decode(bytes.NewReader(b))
	if err != nil {
		t.Fatalf("testpdf: page %d of %d bytes: %v", page, len(pdf), err)
	}
	return img
}

// Shot writes a page as a PNG file, whose folder it makes.
func Shot(t testing.TB, pdf []byte, page, dpi int, file string) {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, Image(t, pdf, page, dpi)); err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

func poppler(t testing.TB, pdf []byte, program string, args ...string) []byte {
	t.Helper()
	path, err := exec.LookPath(program)
	if err != nil {
		if os.Getenv("SOLANDER_NO_POPPLER") == "1" {
			t.Skip("SOLANDER_NO_POPPLER=1: reading PDF back is left out")
		}
		t.Fatalf("testpdf: no %s in PATH\ninstall poppler (Debian: poppler-utils), or set SOLANDER_NO_POPPLER=1 to leave these tests out", program)
	}
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	c := exec.CommandContext(ctx, path, args...)
	var out, warnings bytes.Buffer
	c.Stdin, c.Stdout, c.Stderr = bytes.NewReader(pdf), &out, &warnings
	if err := c.Run(); err != nil {
		t.Fatalf("testpdf: %s %s: %v\n%s", program, strings.Join(args, " "), err, &warnings)
	}
	if warnings.Len() > 0 {
		t.Errorf("testpdf: %s finds fault with the file: %s", program, &warnings)
	}
	return out.Bytes()
}
