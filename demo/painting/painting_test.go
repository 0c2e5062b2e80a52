package painting

import (
	"bytes"
	"hash/crc32"
	"testing"
)

// Every painting is whole: painted to its edges, the same each time, like no other, and said in words.
func TestPaintings(t *testing.T) {
	t.Parallel()
	if len(sheets) != 14 {
		t.Fatalf("%d paintings", len(sheets))
	}
	seen := map[uint32]string{}
	for title, s := range sheets {
		img, ok := Paint(title)
		again, _ := Paint(title)
		if !ok || !bytes.Equal(img.Pix, again.Pix) {
			t.Errorf("%s is not the same twice", title)
		}
		w, h := img.Rect.Dx(), img.Rect.Dy()
		if max(w, h) != Long || w*s.high/s.wide-h > 1 || h-w*s.high/s.wide > 1 {
			t.Errorf("%s is %d × %d", title, w, h)
		}
		colours := map[[3]byte]bool{}
		for i := 0; i < len(img.Pix); i += 4 {
			p := img.Pix[i : i+4]
			if p[3] != 255 {
				t.Fatalf("%s is bare at %d, %d", title, i/4%w, i/4/w)
			}
			colours[[3]byte(p)] = true
		}
		if len(colours) < 1000 || len(Seen(title)) < 40 {
			t.Errorf("%s: %d colours, %q", title, len(colours), Seen(title))
		}
		sum := crc32.ChecksumIEEE(img.Pix)
		if other := seen[sum]; other != "" {
			t.Errorf("%s is %s", title, other)
		}
		seen[sum] = title
	}
	if _, ok := Paint("No such work"); ok || Seen("No such work") != "" {
		t.Error("a painting of nothing")
	}
}

func BenchmarkAll(b *testing.B) {
	for b.Loop() {
		for title := range sheets {
			Paint(title)
		}
	}
}
