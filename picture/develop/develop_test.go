package develop_test

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"image/png"
	"strings"
	"testing"

	"golang.org/x/image/tiff"

	"solander/fault"
	"solander/picture"
	"solander/picture/develop"
	"solander/picture/header"
)

// corners is a picture of four colours, wider than high: red and green above, blue and yellow below.
func corners(w, h int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.Set(x, y, [][]color.RGBA{{red, green}, {blue, yellow}}[2*y/h][2*x/w])
		}
	}
	return img
}

var (
	red, green   = color.RGBA{200, 30, 30, 255}, color.RGBA{30, 160, 60, 255}
	blue, yellow = color.RGBA{30, 50, 190, 255}, color.RGBA{220, 200, 40, 255}
)

func jpegOf(t testing.TB, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func pngOf(t testing.TB, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func tiffOf(t testing.TB, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := tiff.Encode(&b, img, &tiff.Options{Compression: tiff.Deflate}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// exif is Exif data of one entry: the orientation.
func exif(turn int) []byte {
	b := []byte("MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01")
	return append(b, 0, byte(turn), 0, 0, 0, 0, 0, 0)
}

// segment puts a segment of a JPEG file behind its beginning.
func segment(file []byte, marker byte, body []byte) []byte {
	s := append([]byte{0xff, marker}, binary.BigEndian.AppendUint16(nil, uint16(len(body)+2))...)
	return append(append(append([]byte{}, file[:2]...), append(s, body...)...), file[2:]...)
}

// chunk puts a part of a PNG file behind its head.
func chunk(file []byte, name string, body []byte) []byte {
	c := binary.BigEndian.AppendUint32(nil, uint32(len(body)))
	c = append(append(c, name...), body...)
	c = binary.BigEndian.AppendUint32(c, crc32.ChecksumIEEE(c[4:]))
	const head = 8 + 25
	return append(append(append([]byte{}, file[:head]...), c...), file[head:]...)
}

func developed(t testing.TB, file []byte) picture.Prints {
	t.Helper()
	p, err := develop.Develop(t.Context(), file)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func decoded(t testing.TB, p picture.Print) image.Image {
	t.Helper()
	img, err := jpeg.Decode(bytes.NewReader(p.JPEG))
	if err != nil {
		t.Fatal(err)
	}
	if got := (picture.Box{Width: img.Bounds().Dx(), Height: img.Bounds().Dy()}); got != p.Box {
		t.Fatalf("it is %v, and said to be %v", got, p.Box)
	}
	return img
}

// near fails unless a colour is another one within so many steps of 8 bits on each axis.
func near(t testing.TB, what string, got, want color.Color, within int) {
	t.Helper()
	r, g, b, _ := got.RGBA()
	wr, wg, wb, _ := want.RGBA()
	for _, d := range []int{int(r>>8) - int(wr>>8), int(g>>8) - int(wg>>8), int(b>>8) - int(wb>>8)} {
		if d > within || d < -within {
			t.Errorf("%s: got %d %d %d, want %d %d %d", what, r>>8, g>>8, b>>8, wr>>8, wg>>8, wb>>8)
			return
		}
	}
}

// Every orientation comes out upright, from every kind of file that can say it. Source: CIPA DC-008 (Exif), tag 274: where row 0 and
// column 0 of what is stored stand when the picture is seen; from memory.
func TestOrientation(t *testing.T) {
	t.Parallel()
	// The colours of the corners when it is seen: above left, above right, below left, below right.
	seen := map[int][4]color.Color{
		1: {red, green, blue, yellow}, 2: {green, red, yellow, blue}, 3: {yellow, blue, green, red}, 4: {blue, yellow, red, green},
		5: {red, blue, green, yellow}, 6: {blue, red, yellow, green}, 7: {yellow, green, blue, red}, 8: {green, yellow, red, blue},
	}
	stored := corners(60, 40)
	for turn, want := range seen {
		data := exif(turn)
		for kind, file := range map[string][]byte{
			"JPEG": segment(jpegOf(t, stored), 0xe1, append([]byte("Exif\x00\x00"), data...)),
			"PNG":  chunk(pngOf(t, stored), "eXIf", data),
		} {
			p := developed(t, file)
			box := picture.Box{Width: 60, Height: 40}
			if turn >= 5 {
				box = picture.Box{Width: 40, Height: 60}
			}
			if p.Large.Box != box {
				t.Errorf("%s, %d: %v", kind, turn, p.Large.Box)
			}
			img := decoded(t, p.Large)
			for i, c := range want {
				x, y := box.Width/4+i%2*box.Width/2, box.Height/4+i/2*box.Height/2
				near(t, fmt.Sprintf("%s, turned %d, corner %d", kind, turn, i), img.At(x, y), c, 6)
			}
		}
	}
}

// Sizes keep the proportion, and nothing is blown up.
func TestSizes(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		w, h int
		want [3]picture.Box
	}{
		{3200, 2400, [3]picture.Box{{Width: 160, Height: 120}, {Width: 640, Height: 480}, {Width: 1600, Height: 1200}}},
		{500, 1000, [3]picture.Box{{Width: 80, Height: 160}, {Width: 320, Height: 640}, {Width: 500, Height: 1000}}},
		{30, 20, [3]picture.Box{{Width: 30, Height: 20}, {Width: 30, Height: 20}, {Width: 30, Height: 20}}},
		{4000, 3, [3]picture.Box{{Width: 160, Height: 1}, {Width: 640, Height: 1}, {Width: 1600, Height: 1}}},
		{1, 1, [3]picture.Box{{Width: 1, Height: 1}, {Width: 1, Height: 1}, {Width: 1, Height: 1}}},
	} {
		p := developed(t, pngOf(t, image.NewGray(image.Rect(0, 0, c.w, c.h))))
		for i, s := range picture.Sizes() {
			if p.At(s).Box != c.want[i] {
				t.Errorf("%d × %d, %s: %v, want %v", c.w, c.h, s, p.At(s).Box, c.want[i])
			}
			decoded(t, *p.At(s))
		}
	}
}

// Fine black and white lines, seen from afar, are as light as half the light of white, which is the value 188 of sRGB (IEC 61966-2-1:
// 255 × (1.055 × 0.5^(1/2.4) - 0.055) = 187.5), not the mean of the values, 128. A plain area stays exactly as it is.
func TestLightIsKept(t *testing.T) {
	t.Parallel()
	lines := image.NewGray(image.Rect(0, 0, 2560, 2560))
	for i := range lines.Pix {
		lines.Pix[i] = uint8(i & 1 * 255)
	}
	img := decoded(t, developed(t, pngOf(t, lines)).Small)
	near(t, "lines", img.At(80, 80), color.Gray{188}, 1)
	for _, v := range []uint8{0, 1, 9, 10, 11, 60, 128, 200, 254, 255} {
		plain := image.NewGray(image.Rect(0, 0, 1700, 300))
		for i := range plain.Pix {
			plain.Pix[i] = v
		}
		p := developed(t, pngOf(t, plain))
		for _, s := range picture.Sizes() {
			near(t, fmt.Sprint(s, " of ", v), decoded(t, *p.At(s)).At(7, 5), color.Gray{v}, 0)
		}
	}
}

// Every form in which a decoder hands pixels over gives the same picture.
func TestFormsOfPixels(t *testing.T) {
	t.Parallel()
	rgba := corners(80, 60)
	palette := image.NewPaletted(rgba.Rect, color.Palette{red, green, blue, yellow})
	deep, deepClear := image.NewRGBA64(rgba.Rect), image.NewNRGBA64(rgba.Rect)
	half := image.NewNRGBA(rgba.Rect)
	for y := range 60 {
		for x := range 80 {
			palette.Set(x, y, rgba.At(x, y))
			deep.Set(x, y, rgba.At(x, y))
			deepClear.Set(x, y, rgba.At(x, y))
			half.Set(x, y, rgba.At(x, y))
		}
	}
	half.SetNRGBA(0, 0, color.NRGBA{0, 0, 0, 254}) // so that it is kept with a fourth sample
	for name, file := range map[string][]byte{
		"PNG": pngOf(t, rgba), "PNG with a palette": pngOf(t, palette), "PNG of 16 bits": pngOf(t, deep), "PNG, clear": pngOf(t, half), "PNG of 16 bits, clear": pngOf(t, deepClear),
		"TIFF": tiffOf(t, rgba), "TIFF of 16 bits": tiffOf(t, deep), "JPEG": jpegOf(t, rgba), "TIFF, clear": tiffOf(t, half),
	} {
		img := decoded(t, developed(t, file).Large)
		for i, c := range []color.Color{red, green, blue, yellow} {
			near(t, name, img.At(20+i%2*40, 15+i/2*30), c, 6)
		}
	}
	clear := image.NewNRGBA(image.Rect(0, 0, 64, 64)) // clear all over: white paper
	near(t, "clear", decoded(t, developed(t, pngOf(t, clear)).Large).At(30, 30), color.White, 0)
}

// What cannot be a picture here is refused, and the sentence says why.
func TestRefused(t *testing.T) {
	t.Parallel()
	whole := jpegOf(t, corners(300, 200))
	whole2 := pngOf(t, corners(300, 200))
	huge := func() []byte { // a head that says 60 000 × 60 000, and nothing behind it
		b := bytes.Clone(whole2)
		binary.BigEndian.PutUint32(b[16:], 60_000)
		binary.BigEndian.PutUint32(b[20:], 60_000)
		binary.BigEndian.PutUint32(b[29:], crc32.ChecksumIEEE(b[12:29]))
		return b
	}()
	long := bytes.Clone(huge)
	binary.BigEndian.PutUint32(long[16:], 70_000)
	binary.BigEndian.PutUint32(long[20:], 10)
	var moving bytes.Buffer
	frame := image.NewPaletted(image.Rect(0, 0, 8, 8), color.Palette{red, blue})
	if err := gif.EncodeAll(&moving, &gif.GIF{Image: []*image.Paletted{frame, frame}, Delay: []int{1, 1}}); err != nil {
		t.Fatal(err)
	}
	inks := bytes.Clone(whole)
	sof := bytes.Index(inks, []byte{0xff, 0xc0})
	inks[sof+9] = 4 // four colours: it is not read so far that the rest matters
	inks = append(inks[:sof+19:sof+19], append([]byte{4, 0x11, 0}, inks[sof+19:]...)...)
	inks[sof+3] += 3
	for name, c := range map[string]struct {
		file []byte
		code fault.Code
		says string
	}{
		"nothing":              {nil, fault.Invalid, "the file is empty"},
		"text":                 {[]byte("a heron"), fault.Invalid, "no picture"},
		"a drawing":            {[]byte("\ufeff <?xml version='1.0'?>\n<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>"), fault.Invalid, "SVG"},
		"a page":               {[]byte("<html><script>alert(1)</script>"), fault.Invalid, "no picture"},
		"a moving GIF":         {moving.Bytes(), fault.Invalid, "GIF"},
		"a PDF":                {[]byte("%PDF-1.7 "), fault.Invalid, "PDF"},
		"a phone's kind":       {[]byte("\x00\x00\x00\x18ftypheic\x00\x00"), fault.Invalid, "HEIC"},
		"half a JPEG":          {whole[:len(whole)/2], fault.Invalid, "ends too early"},
		"a JPEG's head":        {whole[:100], fault.Invalid, "ends too early"},
		"half a PNG":           {whole2[:len(whole2)/2], fault.Invalid, "ends too early"},
		"a PNG's head":         {whole2[:20], fault.Invalid, "ends too early"},
		"60 000 × 60 000":      {huge, fault.TooLarge, "60000 × 60000"},
		"70 000 × 10":          {long, fault.TooLarge, "70000 × 10"},
		"an animated PNG":      {chunk(whole2, "acTL", make([]byte, 8)), fault.Invalid, "animated"},
		"printing inks":        {inks, fault.Invalid, "CMYK"},
		"41 MB":                {append(bytes.Clone(whole), make([]byte, header.MaxFile)...), fault.TooLarge, "40 MB"},
		"a profile that lies":  {segment(whole, 0xe2, append([]byte("ICC_PROFILE\x00\x01\x01"), bytes.Repeat([]byte{0xff}, 300)...)), fault.Invalid, "colour profile"},
		"a part of a profile":  {segment(whole, 0xe2, []byte("ICC_PROFILE\x00\x01\x02abc")), fault.Invalid, "colour profile"},
		"a profile of a PNG":   {chunk(whole2, "iCCP", []byte("x\x00\x00nothing packed")), fault.Invalid, "colour profile"},
		"a PNG that is a JPEG": {append([]byte("\x89PNG\r\n\x1a\n"), whole...), fault.Invalid, "ends too early"},
	} {
		_, err := develop.Develop(t.Context(), c.file)
		var f *fault.Error
		if !errors.As(err, &f) || f.Code != c.code || !strings.Contains(f.What, c.says) || f.Mend == "" || f.Field != "file" {
			t.Errorf("%s: got %v, want a fault %q that says %q", name, err, c.code, c.says)
		}
	}
	// What a file is called, or said to be, is not asked: one begins as it is.
	for _, file := range [][]byte{whole, whole2} {
		developed(t, file)
	}
}

// Who left is not waited for.
func TestEndsWithItsContext(t *testing.T) {
	t.Parallel()
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, err := develop.Develop(ctx, jpegOf(t, corners(300, 200))); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}

// FuzzDevelop: whatever the bytes, either a picture at all sizes is made or a fault says why not; nothing breaks.
func FuzzDevelop(f *testing.F) {
	small := corners(16, 12)
	for _, file := range [][]byte{
		jpegOf(f, small), pngOf(f, small), tiffOf(f, small), segment(jpegOf(f, small), 0xe1, append([]byte("Exif\x00\x00"), exif(6)...)),
		segment(jpegOf(f, small), 0xe2, append([]byte("ICC_PROFILE\x00\x01\x01"), wideProfile()...)), tinyWebP, tinyLossless,
	} {
		f.Add(file)
	}
	f.Fuzz(func(t *testing.T, file []byte) {
		if h, err := header.Read(file); err == nil && h.Width*h.Height > 1<<22 {
			return // it would be read, but takes too long for this
		}
		p, err := develop.Develop(t.Context(), file)
		var told *fault.Error
		if err != nil {
			if !errors.As(err, &told) || strings.Contains(fmt.Sprint(told.Err), "a reader broke") {
				t.Fatalf("%v: %v", err, told)
			}
			return
		}
		for _, s := range picture.Sizes() {
			decoded(t, *p.At(s))
		}
	})
}
