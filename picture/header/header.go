// Package header reads what the file of a picture says of itself before any pixel is looked at: its kind by its content, how large it
// is, how it is turned, its colour profile, and how much memory its pixels will take. Nothing a file says is believed beyond its own
// bytes: every length is held against what is there.
//
// Sources: JPEG, ITU-T T.81 annex B and ICC.1:2022 annex B.4; PNG, W3C Portable Network Graphics (third edition); WebP, RFC 9649; TIFF
// revision 6.0; Exif, CIPA DC-008 (tag 274, orientation). All from memory.
package header

import (
	"bytes"
	"encoding/binary"

	"solander/fault"
	"solander/picture"
)

// Bounds of what is read.
const (
	MaxFile   = 40 << 20    // bytes of a file
	MaxPixels = 200_000_000 // of a picture
	MaxSide   = 65_535      // pixels of a side
	MaxMemory = 1 << 30     // bytes that its pixels may take while they are read
	// MaxProfile bounds a colour profile in bytes; those of scanners have up to some hundred thousand.
	MaxProfile = 4 << 20
)

// Kind is what a file is, by its content.
type Kind string

// The kinds that are read.
const (
	JPEG Kind = "JPEG"
	PNG  Kind = "PNG"
	WebP Kind = "WebP"
	TIFF Kind = "TIFF"
)

// Header is what a file says of its picture.
type Header struct {
	Kind Kind
	picture.Box
	Turn    Turn   // how it is to be turned to stand upright
	Profile []byte // its colour profile (ICC); nil = none, which is taken as sRGB
	Memory  int64  // bytes that its pixels take while they are read, at most
}

// Turn is the orientation of Exif: 1 stands upright; 2 to 4 are mirrored, upside down, both; 5 to 8 lie on their side.
type Turn int

const field = "file"

func invalid(what string, args ...any) *fault.Error { return fault.Invalidf(field, what, args...) }

var another = "choose a JPEG, PNG, WebP or TIFF file"

// broken is a file that does not go on as its beginning says.
func broken(k Kind) *fault.Error {
	return invalid("the %s file ends too early or is damaged", k).ToMend("save the picture anew, and send that file")
}

// Read reads what a file says of itself. Faults: TooLarge; Invalid when it is no picture that is read here.
func Read(file []byte) (Header, error) {
	if len(file) == 0 {
		return Header{}, invalid("the file is empty").ToMend("%s", another)
	}
	if len(file) > MaxFile {
		return Header{}, fault.New(fault.TooLarge, "the file has more than %d MB", MaxFile>>20).In(field).ToMend("save it smaller: %d pixels on the long side are plenty", 2*picture.Large.Longest())
	}
	read, err := readerOf(file)
	if err != nil {
		return Header{}, err
	}
	h, err := read(file)
	if err != nil {
		return Header{}, err
	}
	return h, h.bounded()
}

func readerOf(file []byte) (func([]byte) (Header, error), error) {
	begins := func(with string) bool { return bytes.HasPrefix(file, []byte(with)) }
	switch {
	case begins("\xff\xd8\xff"):
		return readJPEG, nil
	case begins("\x89PNG\r\n\x1a\n"):
		return readPNG, nil
	case begins("RIFF") && len(file) >= 12 && string(file[8:12]) == "WEBP":
		return readWebP, nil
	case begins("II*\x00"):
		return func(b []byte) (Header, error) { return readTIFF(b, binary.LittleEndian) }, nil
	case begins("MM\x00*"):
		return func(b []byte) (Header, error) { return readTIFF(b, binary.BigEndian) }, nil
	}
	return nil, invalid("it is %s", otherKind(file)).ToMend("%s", another)
}

// otherKind names what a file is that is not read here.
func otherKind(file []byte) string {
	start := bytes.ToLower(bytes.TrimLeft(bytes.TrimPrefix(file[:min(1024, len(file))], []byte("\xef\xbb\xbf")), " \t\r\n"))
	switch {
	case bytes.HasPrefix(file, []byte("GIF8")):
		return "a GIF file, which is not read here"
	case bytes.HasPrefix(file, []byte("%PDF")):
		return "a PDF file, not a picture"
	case bytes.HasPrefix(start, []byte("<")) && bytes.Contains(start, []byte("<svg")):
		return "an SVG drawing, which may hold a program and is not read here"
	case bytes.HasPrefix(file, []byte("II+\x00")) || bytes.HasPrefix(file, []byte("MM\x00+")):
		return "a TIFF file of the kind for more than 4 GB, which is not read here"
	case len(file) >= 12 && string(file[4:8]) == "ftyp":
		return "a picture or film of a kind that is not read here (HEIC, AVIF, MP4)"
	}
	return "no picture that can be read"
}

// bounded holds a picture against the bounds, before its pixels are read.
func (h Header) bounded() error {
	pixels := int64(h.Width) * int64(h.Height)
	mend := "save it smaller"
	switch {
	case h.Width <= 0 || h.Height <= 0:
		return broken(h.Kind)
	case h.Width > MaxSide || h.Height > MaxSide || pixels > MaxPixels:
		return fault.New(fault.TooLarge, "the picture has %d × %d pixels; at most %d million are read", h.Width, h.Height, MaxPixels/1_000_000).In(field).ToMend("%s", mend)
	case h.Memory > MaxMemory:
		if h.Kind == JPEG {
			mend = "save it smaller, or as a JPEG that is not progressive"
		}
		return fault.New(fault.TooLarge, "to read the picture of %d × %d pixels, %d MB of memory are needed; at most %d are taken", h.Width, h.Height, h.Memory>>20, MaxMemory>>20).In(field).ToMend("%s", mend)
	}
	return nil
}

// inks refuses a picture made of printing inks.
func inks() *fault.Error {
	return invalid("the picture is in printing inks (CMYK), which look different on every press").ToMend("save it as RGB, best as sRGB")
}

func moving(k Kind) *fault.Error {
	return invalid("the %s file is animated", k).ToMend("save one picture of it")
}

// cut returns n bytes from a place, or false when they are not there.
func cut(b []byte, at, n int64) ([]byte, bool) {
	if at < 0 || n < 0 || at > int64(len(b)) || n > int64(len(b))-at {
		return nil, false
	}
	return b[at : at+n], true
}
