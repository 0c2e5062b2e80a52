package leaf

import (
	"encoding/binary"

	"github.com/go-text/typesetting/font/opentype"
)

// outlines is a TrueType font as far as embedding needs it. The fonts are those of package letters, which are sound.
// Source: OpenType specification, tables head, hhea, hmtx, loca, glyf, maxp.
type outlines struct {
	table map[string][]byte
	upem  uint16
	long  bool // offsets of four bytes
	wide  int  // glyphs with an advance of their own
}

func outlinesOf(ttf []byte) *outlines {
	u16, u32 := binary.BigEndian.Uint16, binary.BigEndian.Uint32
	o := &outlines{table: map[string][]byte{}}
	for i := range int(u16(ttf[4:])) {
		entry := ttf[12+16*i:]
		at, size := u32(entry[8:]), u32(entry[12:])
		o.table[string(entry[:4])] = ttf[at : at+size]
	}
	o.upem = u16(o.table["head"][18:])
	o.long = u16(o.table["head"][50:]) == 1
	o.wide = int(u16(o.table["hhea"][34:]))
	return o
}

// advance is how far a glyph goes, in units of the font.
func (o *outlines) advance(id uint16) uint16 {
	return binary.BigEndian.Uint16(o.table["hmtx"][4*min(int(id), o.wide-1):])
}

// bearing is how far the outline begins to the right of its place.
func (o *outlines) bearing(id uint16) uint16 {
	at := 4*int(id) + 2
	if int(id) >= o.wide {
		at = 4*o.wide + 2*(int(id)-o.wide)
	}
	return binary.BigEndian.Uint16(o.table["hmtx"][at:])
}

// glyph is the outline of a glyph; empty when it has none.
func (o *outlines) glyph(id uint16) []byte {
	loca := o.table["loca"]
	if o.long {
		return o.table["glyf"][binary.BigEndian.Uint32(loca[4*int(id):]):binary.BigEndian.Uint32(loca[4*int(id)+4:])]
	}
	return o.table["glyf"][2*int(binary.BigEndian.Uint16(loca[2*int(id):])) : 2*int(binary.BigEndian.Uint16(loca[2*int(id)+2:]))]
}

// subset returns a font of these glyphs, in this order, and of the parts they are put together from behind them.
func (o *outlines) subset(ids []uint16) []byte {
	be := binary.BigEndian
	place := map[uint16]int{} // of parts
	var glyf, loca, hmtx []byte
	for i := 0; i < len(ids); i++ {
		outline := append([]byte(nil), o.glyph(ids[i])...)
		for _, at := range parts(outline) {
			part := be.Uint16(outline[at:])
			if _, known := place[part]; !known {
				place[part] = len(ids)
				ids = append(ids, part)
			}
			be.PutUint16(outline[at:], uint16(place[part]))
		}
		loca = be.AppendUint32(loca, uint32(len(glyf)))
		glyf = append(glyf, outline...)
		glyf = padded(glyf)
		hmtx = be.AppendUint16(be.AppendUint16(hmtx, o.advance(ids[i])), o.bearing(ids[i]))
	}
	loca = be.AppendUint32(loca, uint32(len(glyf)))
	head := append([]byte(nil), o.table["head"]...)
	be.PutUint32(head[8:], 0)
	be.PutUint16(head[50:], 1)
	hhea := append([]byte(nil), o.table["hhea"]...)
	be.PutUint16(hhea[34:], uint16(len(ids)))
	maxp := append([]byte(nil), o.table["maxp"]...)
	be.PutUint16(maxp[4:], uint16(len(ids)))
	tables := []opentype.Table{}
	for _, t := range []struct {
		name    string
		content []byte
	}{{"glyf", glyf}, {"head", head}, {"hhea", hhea}, {"hmtx", hmtx}, {"loca", loca}, {"maxp", maxp}} {
		tables = append(tables, opentype.Table{Tag: opentype.MustNewTag(t.name), Content: padded(t.content)})
	}
	return opentype.WriteTTF(tables)
}

func padded(b []byte) []byte {
	for len(b)%4 != 0 {
		b = append(b, 0)
	}
	return b
}

// parts returns where an outline names the glyphs that it is put together from.
func parts(outline []byte) []int {
	be := binary.BigEndian
	if len(outline) < 10 || int16(be.Uint16(outline)) >= 0 {
		return nil
	}
	var out []int
	for at := 10; ; {
		flags := be.Uint16(outline[at:])
		out = append(out, at+2)
		at += 6
		if flags&0x0001 != 0 { // its two arguments are words
			at += 2
		}
		switch {
		case flags&0x0008 != 0: // one scale
			at += 2
		case flags&0x0040 != 0: // one for each direction
			at += 4
		case flags&0x0080 != 0: // a matrix
			at += 8
		}
		if flags&0x0020 == 0 { // no more parts
			return out
		}
	}
}
