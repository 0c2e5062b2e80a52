package header

import (
	"bytes"
	"encoding/binary"

	"solander/picture"
)

// Tags of TIFF that are looked at.
const (
	tagWidth, tagHeight, tagBits, tagPacking, tagColours = 256, 257, 258, 259, 262
	tagTurn, tagSamples, tagStrip, tagPlanes             = 274, 277, 278, 284
	tagTileWidth, tagTileHeight                          = 322, 323
	tagProfile                                           = 34675
)

// fields are the entries of the first directory of a TIFF file.
type fields struct {
	file  []byte
	order binary.ByteOrder
	at    map[uint16][]byte // an entry of twelve bytes, by its tag
}

func fieldsOf(file []byte, order binary.ByteOrder) (fields, bool) {
	f := fields{file, order, map[uint16][]byte{}}
	place, ok := cut(file, 4, 4)
	if !ok {
		return f, false
	}
	at := int64(order.Uint32(place))
	count, ok := cut(file, at, 2)
	if !ok {
		return f, false
	}
	entries, ok := cut(file, at+2, 12*int64(order.Uint16(count)))
	if !ok {
		return f, false
	}
	for ; len(entries) > 0; entries = entries[12:] {
		f.at[order.Uint16(entries)] = entries[:12]
	}
	return f, true
}

// bytesOf returns the values of an entry as they stand; size is what one takes.
func (f fields) bytesOf(tag uint16) (values []byte, size int64) {
	e := f.at[tag]
	if e == nil {
		return nil, 0
	}
	size = map[uint16]int64{1: 1, 2: 1, 3: 2, 4: 4, 7: 1}[f.order.Uint16(e[2:])] // bytes, text, short, long, undefined
	n := size * int64(f.order.Uint32(e[4:]))
	if n <= 4 {
		return e[8 : 8+n], size
	}
	values, _ = cut(f.file, int64(f.order.Uint32(e[8:])), n)
	return values, size
}

// number is the first value of an entry, or what is usual when it is not there.
func (f fields) number(tag uint16, usual int64) int64 {
	v, size := f.bytesOf(tag)
	if int64(len(v)) < size {
		return usual
	}
	switch size {
	case 1:
		return int64(v[0])
	case 2:
		return int64(f.order.Uint16(v))
	case 4:
		return int64(f.order.Uint32(v))
	}
	return usual
}

// turnOf reads the orientation in Exif data, which is a TIFF file of its own; 1 when it does not say.
func turnOf(exif []byte) Turn {
	exif = bytes.TrimPrefix(exif, []byte("Exif\x00\x00"))
	var order binary.ByteOrder
	switch {
	case bytes.HasPrefix(exif, []byte("II*\x00")):
		order = binary.LittleEndian
	case bytes.HasPrefix(exif, []byte("MM\x00*")):
		order = binary.BigEndian
	default:
		return 1
	}
	f, ok := fieldsOf(exif, order)
	if !ok {
		return 1
	}
	return f.turn()
}

func (f fields) turn() Turn {
	if t := f.number(tagTurn, 1); t >= 1 && t <= 8 {
		return Turn(t)
	}
	return 1
}

// Kinds of colour of TIFF.
const (
	tiffWhite0, tiffBlack0, tiffRGB, tiffPalette, tiffInks = 0, 1, 2, 3, 5
)

func readTIFF(file []byte, order binary.ByteOrder) (Header, error) {
	f, ok := fieldsOf(file, order)
	if !ok {
		return Header{}, broken(TIFF)
	}
	h := Header{Kind: TIFF, Turn: f.turn()}
	h.Box = picture.Box{Width: int(f.number(tagWidth, 0)), Height: int(f.number(tagHeight, 0))}
	samples := f.number(tagSamples, 1)
	switch colours := f.number(tagColours, -1); {
	case colours == tiffInks:
		return Header{}, inks()
	case colours < tiffWhite0 || colours > tiffPalette:
		return Header{}, invalid("the TIFF file holds its colours in a way that is not read here").ToMend("save it as RGB, 8 or 16 bits a colour")
	case f.number(tagPlanes, 1) != 1 && samples > 1:
		return Header{}, invalid("the TIFF file holds each colour apart").ToMend("save it with its colours together (“interleaved”)")
	}
	if p := f.number(tagPacking, 1); p == 6 || p == 7 {
		return Header{}, invalid("the TIFF file is packed as JPEG, which is not read here").ToMend("save it with LZW or ZIP, or as JPEG")
	}
	h.Profile, _ = f.bytesOf(tagProfile)
	h.Memory = f.memory(int64(h.Width), int64(h.Height), samples)
	return h, h.profileBounded()
}

// memory is what the pixels take, and beside them the strip or tile that is unpacked.
func (f fields) memory(w, h, samples int64) int64 {
	deep := max(1, f.number(tagBits, 1)/8)
	if w > MaxSide || h > MaxSide || samples > 8 || deep > 8 {
		return MaxMemory + 1
	}
	each := int64(1)
	if samples > 1 {
		each = 4
	}
	strip := w * min(h, f.number(tagStrip, h))
	if tw := f.number(tagTileWidth, 0); tw > 0 {
		strip = min(tw, MaxSide) * min(f.number(tagTileHeight, 0), MaxSide)
	}
	return w*h*each*deep + strip*samples*deep
}
