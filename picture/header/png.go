package header

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"io"

	"solander/picture"
)

// Kinds of colour of PNG.
const (
	pngGrey, pngColour, pngPalette, pngGreyAlpha, pngColourAlpha = 0, 2, 3, 4, 6
)

func readPNG(file []byte) (Header, error) {
	p := pngReader{Header: Header{Kind: PNG, Turn: 1}}
	for at := int64(8); ; {
		head, ok := cut(file, at, 8)
		if !ok {
			return Header{}, broken(PNG)
		}
		n := int64(binary.BigEndian.Uint32(head))
		body, ok := cut(file, at+8, n)
		if !ok {
			return Header{}, broken(PNG)
		}
		name := string(head[4:8])
		if name == "IEND" {
			break
		}
		if err := p.chunk(name, body); err != nil {
			return Header{}, err
		}
		at += n + 12
	}
	if p.Width == 0 {
		return Header{}, broken(PNG)
	}
	p.Memory = int64(p.Width) * int64(p.Height) * p.bytesEach()
	if p.woven {
		p.Memory += p.Memory / 2 // the largest of the seven parts stands beside the whole
	}
	return p.Header, nil
}

type pngReader struct {
	Header
	bits, colour byte
	woven        bool // its rows come in seven passes
	clear        bool // one colour of it is clear
}

func (p *pngReader) chunk(name string, body []byte) (err error) {
	switch name {
	case "IHDR":
		if len(body) != 13 || p.Width != 0 {
			return broken(PNG)
		}
		w, h := binary.BigEndian.Uint32(body), binary.BigEndian.Uint32(body[4:])
		if w == 0 || h == 0 || w > 1<<31-1 || h > 1<<31-1 {
			return broken(PNG)
		}
		p.Box = picture.Box{Width: int(w), Height: int(h)}
		p.bits, p.colour, p.woven = body[8], body[9], body[12] != 0
	case "acTL":
		return moving(PNG)
	case "tRNS":
		p.clear = true
	case "eXIf":
		p.Turn = turnOf(body)
	case "iCCP":
		p.Profile, err = unpackedProfile(body)
	}
	return err
}

// unpackedProfile reads a name, a zero, the way of packing and the packed profile.
func unpackedProfile(body []byte) ([]byte, error) {
	_, packed, ok := bytes.Cut(body, []byte{0})
	if !ok || len(packed) < 2 || packed[0] != 0 {
		return nil, unreadableProfile()
	}
	r, err := zlib.NewReader(bytes.NewReader(packed[1:]))
	if err != nil {
		return nil, unreadableProfile()
	}
	profile, err := io.ReadAll(io.LimitReader(r, MaxProfile+1))
	if err != nil || len(profile) > MaxProfile {
		return nil, unreadableProfile()
	}
	return profile, nil
}

// bytesEach is what one pixel takes once it is read.
func (p *pngReader) bytesEach() int64 {
	each := map[byte]int64{pngGrey: 1, pngPalette: 1}[p.colour]
	if each == 0 || p.clear && p.colour != pngPalette {
		each = 4
	}
	if p.bits == 16 {
		each *= 2
	}
	return each
}
