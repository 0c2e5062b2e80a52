package leaf

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"image/color"
	"image/jpeg"
)

// picture is one JPEG of a file.
type picture struct {
	jpeg   []byte
	number int
	w, h   int
	space  string
}

func (p *picture) object() object {
	return object{fmt.Sprintf("/Type /XObject /Subtype /Image /Width %d /Height %d /ColorSpace /%s /BitsPerComponent 8 /Filter /DCTDecode", p.w, p.h, p.space), p.jpeg}
}

// Sides is the width and height of a JPEG in dots; nothing when it is none of grey or of three colours.
func Sides(file []byte) (w, h int) {
	c, err := jpeg.DecodeConfig(bytes.NewReader(file))
	if err != nil || c.ColorModel != color.GrayModel && c.ColorModel != color.YCbCrModel {
		return 0, 0
	}
	return c.Width, c.Height
}

// Picture draws a JPEG in the middle of a box, whole and as large as it fits, turned by a quarter to the left if that is
// asked. What has no Sides is not drawn.
func (p *Page) Picture(file []byte, x, y, w, h float64, turned bool) {
	pic := p.file.picture(file)
	if pic == nil {
		return
	}
	wide, tall := float64(pic.w), float64(pic.h)
	if turned {
		wide, tall = tall, wide
	}
	scale := min(w/wide, h/tall)
	wide, tall = wide*scale, tall*scale
	x, y = x+(w-wide)/2, p.height-y-(h+tall)/2
	p.put("q")
	if turned {
		p.put("cm", 0, tall, -wide, 0, x+wide, y)
	} else {
		p.put("cm", wide, 0, 0, tall, x, y)
	}
	fmt.Fprintf(&p.content, "/P%d Do\n", pic.number)
	p.put("Q")
}

// picture returns a JPEG as it stands in the file, once however often it is drawn.
func (f *File) picture(file []byte) *picture {
	sum := sha256.Sum256(file)
	key := string(sum[:])
	if pic, known := f.seen[key]; known {
		return pic
	}
	f.seen[key] = nil
	w, h := Sides(file)
	if w < 1 || h < 1 {
		return nil
	}
	pic := &picture{jpeg: file, w: w, h: h, space: "DeviceRGB", number: len(f.pictures) + 1}
	if c, err := jpeg.DecodeConfig(bytes.NewReader(file)); err == nil && c.ColorModel == color.GrayModel {
		pic.space = "DeviceGray"
	}
	f.pictures, f.seen[key] = append(f.pictures, pic), pic
	return pic
}
