package header

import (
	"bytes"
	"errors"
	"image"
	"image/gif"
	"image/jpeg"
	"image/png"
	"testing"

	"golang.org/x/image/tiff"

	"solander/fault"
)

// FuzzRead: whatever the bytes, a header says a size that a picture may have, or a fault says why it is none; nothing breaks, and nothing is
// read behind the end of the file.
func FuzzRead(f *testing.F) {
	small := image.NewRGBA(image.Rect(0, 0, 5, 3))
	for _, write := range []func(*bytes.Buffer) error{
		func(b *bytes.Buffer) error { return jpeg.Encode(b, small, nil) },
		func(b *bytes.Buffer) error { return png.Encode(b, small) },
		func(b *bytes.Buffer) error { return tiff.Encode(b, small, nil) },
		func(b *bytes.Buffer) error { return gif.Encode(b, small, nil) },
	} {
		var b bytes.Buffer
		if err := write(&b); err != nil {
			f.Fatal(err)
		}
		f.Add(b.Bytes())
	}
	f.Add([]byte("RIFF\x1a\x00\x00\x00WEBPVP8L\x0d\x00\x00\x00\x2f\x00\x00\x00\x10\x07\x10\x11\x11\x88\x88\xfe\x07\x00"))
	f.Add([]byte("RIFF\x12\x00\x00\x00WEBPVP8X\x0a\x00\x00\x00\x02\x00\x00\x00\x04\x00\x00\x02\x00\x00"))
	f.Fuzz(func(t *testing.T, file []byte) {
		h, err := Read(file)
		var told *fault.Error
		switch {
		case err == nil && (h.Width <= 0 || h.Height <= 0):
			t.Fatalf("a picture of %d × %d", h.Width, h.Height)
		case err != nil && (!errors.As(err, &told) || told.What == "" || told.Mend == ""):
			t.Fatalf("it says %v, and not how to mend it", err)
		}
		again, twice := Read(append(bytes.Clone(file), "what follows the file in memory"...)[:len(file):len(file)])
		if (err == nil) != (twice == nil) || again.Kind != h.Kind || again.Box != h.Box || again.Turn != h.Turn || !bytes.Equal(again.Profile, h.Profile) || again.Memory != h.Memory {
			t.Fatalf("%+v, %v the first time, %+v, %v the second", h, err, again, twice)
		}
	})
}
