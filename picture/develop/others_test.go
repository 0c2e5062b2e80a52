package develop_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"solander/fault"
	"solander/internal/testpicture"
	"solander/picture"
	"solander/picture/develop"
)

// makePatches draws fields of many colours, 40 pixels a side, with a profile, in every kind of file; it prints what littleCMS makes of
// each field: relative to white, black to black, as sRGB.
const makePatches = `
import json, sys
from PIL import Image, ImageCms
name, mode = sys.argv[1], sys.argv[2]
profile = open(name + '.icc', 'rb').read()
steps = [0, 64, 128, 192, 255]
fields = [(r, g, b) for r in steps for g in steps for b in steps] if mode == 'RGB' else [(v, v, v) for v in range(0, 250, 2)]
im = Image.new(mode, (25 * 40, 5 * 40))
for i, f in enumerate(fields):
    im.paste(f if mode == 'RGB' else f[0], (i % 25 * 40, i // 25 * 40, i % 25 * 40 + 40, i // 25 * 40 + 40))
im.save(name + '.png', icc_profile=profile)
im.save(name + '.tif', icc_profile=profile, compression='tiff_lzw')
im.save(name + '.jpg', icc_profile=profile, quality=100, subsampling=0)
if mode == 'RGB':
    im.save(name + '.webp', icc_profile=profile, lossless=True)
out = {}
for kind in ['png', 'tif', 'jpg'] + (['webp'] if mode == 'RGB' else []):
    seen = ImageCms.profileToProfile(Image.open(name + '.' + kind), name + '.icc', ImageCms.createProfile('sRGB'), renderingIntent=1, outputMode='RGB', flags=0x2000)
    out[kind] = [seen.getpixel((i % 25 * 40 + 20, i // 25 * 40 + 20)) for i in range(len(fields))]
print(json.dumps(out))
`

// lookAt prints what stands in the middle of each field of a file, and what else is known of it.
const lookAt = `
import json, sys
from PIL import Image
im = Image.open(sys.argv[1]); im.load()
print(json.dumps({'mode': im.mode, 'size': im.size, 'kind': im.format, 'told': sorted(im.info),
    'fields': [im.getpixel((x * 40 + 20, y * 40 + 20)) for y in range(im.height // 40) for x in range(im.width // 40)]}))
`

type looked struct {
	Mode, Kind string
	Size       [2]int
	Told       []string
	Fields     [][3]int
}

// Colours of other spaces become those that littleCMS makes of them, within 3 of 255: two for the JPEG in which they are kept, one for
// rounding. Where the file is a JPEG itself, two decoders of it may differ by one (ITU-T T.83), of which the steep dark end of a wide
// space makes three more. What is kept is looked at by Pillow, which shares no code with ours.
func TestColoursAgainstLittleCMS(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		profile []byte
		mode    string
	}{
		"wide": {wideProfile(), "RGB"}, "widest": {widestProfile(), "RGB"}, "scanned": {tableProfile(), "RGB"}, "grey": {greyProfile(), "L"},
	} {
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, name+".icc"), c.profile, 0o600); err != nil {
			t.Fatal(err)
		}
		var all map[string][][3]int
		testpicture.Pillow(t, dir, makePatches, &all, name, c.mode)
		if len(all) < 3 {
			t.Fatalf("%s: %d kinds of files", name, len(all))
		}
		for kind, want := range all {
			if len(want) != 125 {
				t.Fatalf("%s: %d fields", name, len(want))
			}
			file, err := os.ReadFile(filepath.Join(dir, name+"."+kind))
			if err != nil {
				t.Fatal(err)
			}
			p := developed(t, file)
			if err := os.WriteFile(filepath.Join(dir, "out.jpg"), p.Large.JPEG, 0o600); err != nil {
				t.Fatal(err)
			}
			var got looked
			testpicture.Pillow(t, dir, lookAt, &got, "out.jpg")
			if got.Mode != "RGB" || got.Kind != "JPEG" || got.Size != [2]int{1000, 200} {
				t.Errorf("%s.%s: %s %s of %v", name, kind, got.Mode, got.Kind, got.Size)
			}
			most, within := 0, 3
			if kind == "jpg" {
				within = 6
			}
			for i, w := range want {
				for k := range 3 {
					d := max(w[k]-got.Fields[i][k], got.Fields[i][k]-w[k])
					if most = max(most, d); d > within {
						t.Errorf("%s.%s, field %d: got %v, littleCMS says %v", name, kind, i, got.Fields[i], w)
						break
					}
				}
			}
			t.Logf("%s.%s: at most %d of 255 apart", name, kind, most)
		}
	}
}

// The prints hold nothing of what a camera, a program or a person wrote into the file: ExifTool finds none of it, where it found it before.
func TestNothingElseIsKept(t *testing.T) {
	t.Parallel()
	file := testpicture.Tell(t, jpegOf(t, corners(1800, 1200)),
		"-EXIF:GPSLatitude=41.1578", "-EXIF:GPSLatitudeRef=N", "-EXIF:GPSLongitude=8.6291", "-EXIF:GPSLongitudeRef=W", "-EXIF:Make=Invented", "-EXIF:SerialNumber=12345",
		"-EXIF:Artist=Ines Corrow", "-EXIF:Orientation#=6", "-XMP:Creator=Ines Corrow", "-XMP:GPSLatitude=41.1578N", "-IPTC:City=Cinder Gap", "-Comment=at home",
		"-EXIF:DateTimeOriginal=2026:01:02 03:04:05", "-XMP:History=opened")
	before := testpicture.Told(t, file)
	for _, name := range []string{"GPS:GPSLatitude", "IFD0:Make", "IFD0:Artist", "XMP-dc:Creator", "IPTC:City", "File:Comment", "ExifIFD:DateTimeOriginal"} {
		if before[name] == nil {
			t.Fatalf("the file does not tell %s: nothing would be tested", name)
		}
	}
	p := developed(t, file)
	if p.Large.Width != 1067 || p.Large.Height != 1600 {
		t.Errorf("it does not stand upright: %v", p.Large.Box)
	}
	structure := []string{
		"File:FileType", "File:FileTypeExtension", "File:MIMEType", "File:ImageWidth", "File:ImageHeight", "File:EncodingProcess", "File:BitsPerSample",
		"File:ColorComponents", "File:YCbCrSubSampling", "Composite:ImageSize", "Composite:Megapixels",
	}
	for _, size := range picture.Sizes() {
		told := testpicture.Told(t, p.At(size).JPEG)
		for _, name := range structure {
			delete(told, name)
		}
		if len(told) != 0 {
			t.Errorf("%s still tells %v", size, told)
		}
	}
}

// makeKinds writes files of every kind that people have, and prints their names: a name that begins with "no" is one that is not read.
const makeKinds = `
import json, sys
from PIL import Image
rgb = Image.new('RGB', (300, 200), (200, 30, 30))
rgb.paste((30, 50, 190), (0, 100, 300, 200))
clear = rgb.copy(); clear.putalpha(Image.new('L', rgb.size, 255))
files = []
def save(name, im, **kw):
    im.save(name, **kw); files.append(name)
save('progressive.jpg', rgb, progressive=True, quality=92)
save('grey.jpg', rgb.convert('L'), quality=92)
save('full.jpg', rgb, subsampling=0, quality=92)
save('half.jpg', rgb, subsampling=1, quality=92)
save('plain.jpg', rgb, quality=92, exif=Image.Exif())
save('palette.png', rgb.quantize(16))
save('palette4.png', rgb.quantize(4), bits=2)
save('bits.png', rgb.convert('1'))
save('greyclear.png', clear.convert('LA'))
save('deep.png', rgb.convert('I;16') if False else rgb.convert('L').convert('I'))
save('clear.png', clear)
save('lossy.webp', rgb, quality=90)
save('lossless.webp', rgb, lossless=True)
save('clear.webp', clear, quality=90)
save('clearless.webp', clear, lossless=True)
for c in ['raw', 'tiff_lzw', 'tiff_adobe_deflate', 'packbits']:
    save('rgb-%s.tif' % c, rgb, compression=c if c != 'raw' else None)
save('grey.tif', rgb.convert('L'))
save('bits.tif', rgb.convert('1'), compression='group4')
save('clear.tif', clear)
save('palette.tif', rgb.quantize(16))
save('no-inks.jpg', rgb.convert('CMYK'))
save('no-inks.tif', rgb.convert('CMYK'))
save('no-packed.tif', rgb, compression='jpeg')
save('no-lab.tif', rgb.convert('YCbCr'))
save('no-moving.webp', rgb, save_all=True, append_images=[rgb.transpose(1)], duration=100, quality=80)
save('no-moving.png', rgb, save_all=True, append_images=[rgb.transpose(1)], duration=100)
save('no-moving.gif', rgb, save_all=True, append_images=[rgb.transpose(1)], duration=100)
save('no-other.bmp', rgb)
save('no-other.jp2', rgb)
print(json.dumps(files))
`

// Every kind of file that a common library writes is read as it is meant, or refused in plain words.
func TestKindsOfFiles(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	var files []string
	testpicture.Pillow(t, dir, makeKinds, &files)
	if len(files) < 30 {
		t.Fatalf("only %d files", len(files))
	}
	for _, name := range files {
		file, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		p, err := develop.Develop(t.Context(), file)
		var told *fault.Error
		if strings.HasPrefix(name, "no-") {
			if !errors.As(err, &told) || told.Code != fault.Invalid || told.Mend == "" {
				t.Errorf("%s: %v", name, err)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v: %v", name, err, errors.Unwrap(err))
			continue
		}
		if p.Large.Box != (picture.Box{Width: 300, Height: 200}) {
			t.Errorf("%s: %v", name, p.Large.Box)
		}
		if strings.HasPrefix(name, "bits") || strings.HasPrefix(name, "grey") || name == "deep.png" {
			continue
		}
		img := decoded(t, p.Large)
		near(t, name, img.At(150, 50), red, 8)
		near(t, fmt.Sprint(name, ", below"), img.At(150, 150), blue, 8)
	}
}
