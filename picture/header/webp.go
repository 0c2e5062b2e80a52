package header

import (
	"encoding/binary"

	"solander/picture"
)

func readWebP(file []byte) (Header, error) {
	h := Header{Kind: WebP, Turn: 1}
	size := int64(binary.LittleEndian.Uint32(file[4:]))
	if size+8 > int64(len(file)) {
		return Header{}, broken(WebP)
	}
	for at := int64(12); at < size+8; {
		head, ok := cut(file, at, 8)
		if !ok {
			return Header{}, broken(WebP)
		}
		n := int64(binary.LittleEndian.Uint32(head[4:]))
		body, ok := cut(file, at+8, n)
		if !ok {
			return Header{}, broken(WebP)
		}
		if err := h.webpChunk(string(head[:4]), body); err != nil {
			return Header{}, err
		}
		at += 8 + n + n&1
	}
	if h.Width == 0 {
		return Header{}, broken(WebP)
	}
	return h, h.profileBounded()
}

// webpChunk reads one part of a WebP file. What a lossless picture is unpacked through takes as much again as its pixels.
func (h *Header) webpChunk(name string, body []byte) error {
	sized := func(w, ht int, each int64) {
		h.Box = picture.Box{Width: w, Height: ht}
		h.Memory = max(h.Memory, int64(w)*int64(ht)*each)
	}
	switch name {
	case "VP8X":
		if len(body) < 10 {
			return broken(WebP)
		}
		if body[0]&0x02 != 0 {
			return moving(WebP)
		}
		sized(1+le24(body[4:]), 1+le24(body[7:]), 5)
	case "VP8 ":
		if len(body) < 10 {
			return broken(WebP)
		}
		sized(int(binary.LittleEndian.Uint16(body[6:])&0x3fff), int(binary.LittleEndian.Uint16(body[8:])&0x3fff), 5)
	case "VP8L":
		if len(body) < 5 || body[0] != 0x2f {
			return broken(WebP)
		}
		bits := binary.LittleEndian.Uint32(body[1:])
		sized(1+int(bits&0x3fff), 1+int(bits>>14&0x3fff), 8)
	case "ANIM", "ANMF":
		return moving(WebP)
	case "ICCP":
		h.Profile = body
	case "EXIF":
		h.Turn = turnOf(body)
	}
	return nil
}

func le24(b []byte) int { return int(b[0]) | int(b[1])<<8 | int(b[2])<<16 }
