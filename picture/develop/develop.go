// Package develop makes the prints of a picture from any file that is read here: turned upright, in sRGB, at every size, and nothing
// else of the file: no place, no camera, no name. What it cannot read whole it refuses.
//
// One picture of 200 million pixels takes about a gigabyte while it is read (header.MaxMemory; what it is reduced to takes some
// 60 MB beside it), so a caller lets no two be developed at once.
package develop

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"

	"golang.org/x/image/tiff"
	"golang.org/x/image/webp"

	"solander/fault"
	"solander/picture"
	"solander/picture/header"
)

// Develop makes the prints of the picture in a file. What kind of file it is tells its content alone.
// Faults: Invalid for what is no picture, is damaged, animated or in printing inks; TooLarge. When the context ends it returns its error.
func Develop(ctx context.Context, file []byte) (out picture.Prints, err error) {
	h, err := header.Read(file)
	if err != nil {
		return picture.Prints{}, err
	}
	// No file is known on which a decoder, or the reader of profiles, panics; should one do, it is the file that is refused.
	defer func() {
		if told := recover(); told != nil {
			out, err = picture.Prints{}, damaged(h.Kind, fmt.Errorf("a reader broke: %v", told))
		}
	}()
	colour, err := colourOf(h.Profile)
	if err != nil {
		return picture.Prints{}, err
	}
	img, err := decoded(h, file)
	if err != nil {
		return picture.Prints{}, err
	}
	return reduce(ctx, img, h.Turn, colour)
}

// decoded reads the pixels of a file.
func decoded(h header.Header, file []byte) (img image.Image, err error) {
	r := bytes.NewReader(file)
	switch h.Kind {
	case header.JPEG:
		img, err = jpeg.Decode(r)
	case header.PNG:
		img, err = png.Decode(r)
	case header.WebP:
		img, err = webp.Decode(r)
	case header.TIFF:
		img, err = tiff.Decode(r)
	}
	if err != nil {
		return nil, damaged(h.Kind, err)
	}
	if b := img.Bounds(); b.Dx() != h.Width || b.Dy() != h.Height {
		return nil, damaged(h.Kind, errors.New("it holds another picture than it says"))
	}
	if h.Kind == header.WebP {
		return narrowed601(img), nil
	}
	return img, nil
}

func damaged(k header.Kind, err error) error {
	var not tiff.UnsupportedError
	if errors.As(err, &not) {
		return fault.Invalidf("file", "the TIFF file is of a kind that is not read here").ToMend("save it as RGB with 8 bits a colour, or as JPEG").Because(err)
	}
	return fault.Invalidf("file", "the %s file ends too early or is damaged", k).ToMend("save the picture anew, and send that file").Because(err)
}

// quality of the JPEG at each size: what is looked at closely is kept more finely.
var quality = map[picture.Size]int{picture.Small: 84, picture.Middle: 86, picture.Large: 88}

// reduce makes the prints of any image: the largest is turned upright and brought to sRGB, each other is made of the next larger one.
func reduce(ctx context.Context, img image.Image, turn header.Turn, colour Colour) (out picture.Prints, err error) {
	large, err := reduced(ctx, img, boxOf(img).Within(picture.Large.Longest()))
	if err != nil {
		return out, err
	}
	return prints(ctx, turned(large.seen(colour), turn))
}

// Prints makes the prints of an image in sRGB that stands upright and is no larger than the largest size; nothing of it is clear.
func Prints(ctx context.Context, img *image.RGBA) (picture.Prints, error) {
	if box := boxOf(img); box != box.Within(picture.Large.Longest()) {
		return picture.Prints{}, fmt.Errorf("an image of %v is larger than a print", box)
	}
	return prints(ctx, img)
}

func prints(ctx context.Context, img *image.RGBA) (out picture.Prints, err error) {
	var last picture.Print
	for _, size := range []picture.Size{picture.Large, picture.Middle, picture.Small} {
		box := boxOf(img).Within(size.Longest())
		if box == last.Box { // a picture no larger than two sizes is the same at both
			*out.At(size) = last
			continue
		}
		if box != boxOf(img) {
			light, err := reduced(ctx, img, box)
			if err != nil {
				return out, err
			}
			img = light.seen(nil)
		}
		var b bytes.Buffer
		if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: quality[size]}); err != nil {
			return out, err
		}
		last = picture.Print{Box: box, JPEG: b.Bytes()}
		*out.At(size) = last
	}
	return out, nil
}

func boxOf(img image.Image) picture.Box {
	return picture.Box{Width: img.Bounds().Dx(), Height: img.Bounds().Dy()}
}
