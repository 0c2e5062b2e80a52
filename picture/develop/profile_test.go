package develop_test

import (
	"encoding/base64"
	"encoding/binary"
	"math"
)

// The smallest WebP files, 16 × 12 pixels of one red: lossy and lossless. Nothing in the language's project writes WebP; these were
// written by libwebp 1.2.4.
var (
	tinyWebP     = unpacked("UklGRjoAAABXRUJQVlA4IC4AAACwAQCdASoQAAwAAUAmJaACdLoABDAAAP7x3I/4DdfFtMv/vYL/3YL/3YL/WwAA")
	tinyLossless = unpacked("UklGRh4AAABXRUJQVlA4TBEAAAAvD8ACAAdQjyLXo/+BiOh/AAA=")
)

func unpacked(text string) []byte {
	b, err := base64.StdEncoding.DecodeString(text)
	if err != nil {
		panic(err) // it stands above
	}
	return b
}

// part is one part of a colour profile.
type part struct {
	name string
	body []byte
}

// profile writes a colour profile of version 2 (ICC.1:2001-04): head, list of parts, parts.
func profile(class, space, pcs string, parts ...part) []byte {
	b := make([]byte, 128)
	binary.BigEndian.PutUint32(b[8:], 0x02400000)
	copy(b[12:], class+space+pcs)
	copy(b[24:], []byte{0x07, 0xea, 0, 1, 0, 1}) // made in 2026
	copy(b[36:], "acsp")
	copy(b[68:], xyz(0.9642, 1, 0.8249)[8:])
	b = binary.BigEndian.AppendUint32(b, uint32(len(parts)))
	at := 132 + 12*len(parts)
	var bodies []byte
	for _, p := range parts {
		for len(p.body)%4 != 0 {
			p.body = append(p.body, 0)
		}
		b = append(b, p.name...)
		b = binary.BigEndian.AppendUint32(b, uint32(at+len(bodies)))
		b = binary.BigEndian.AppendUint32(b, uint32(len(p.body)))
		bodies = append(bodies, p.body...)
	}
	b = append(b, bodies...)
	binary.BigEndian.PutUint32(b, uint32(len(b)))
	return b
}

func fixed(v float64) []byte {
	return binary.BigEndian.AppendUint32(nil, uint32(int32(math.Round(v*65536))))
}

func xyz(x, y, z float64) []byte {
	b := []byte("XYZ \x00\x00\x00\x00")
	return append(append(append(b, fixed(x)...), fixed(y)...), fixed(z)...)
}

// gamma is a curve of one exponent, in 256ths.
func gamma(of256 int) []byte {
	return binary.BigEndian.AppendUint16([]byte("curv\x00\x00\x00\x00\x00\x00\x00\x01"), uint16(of256))
}

func text(s string) []byte { return append([]byte("text\x00\x00\x00\x00"), s+"\x00"...) }

// described is a name as profiles of version 2 hold it.
func described(s string) []byte {
	b := binary.BigEndian.AppendUint32([]byte("desc\x00\x00\x00\x00"), uint32(len(s)+1))
	return append(append(b, s+"\x00"...), make([]byte, 78)...)
}

// wideProfile has the primaries and the exponent of Adobe RGB (1998) (Color Image Encoding, 2005-05, adapted to D50; from memory),
// wider than sRGB.
func wideProfile() []byte {
	return profile("mntr", "RGB ", "XYZ ", part{"desc", described("wide")}, part{"cprt", text("nobody's")}, part{"wtpt", xyz(0.9505, 1, 1.0891)},
		part{"rXYZ", xyz(0.60974, 0.31111, 0.01947)}, part{"gXYZ", xyz(0.20528, 0.62567, 0.06087)}, part{"bXYZ", xyz(0.14919, 0.06322, 0.74457)},
		part{"rTRC", gamma(563)}, part{"gTRC", gamma(563)}, part{"bTRC", gamma(563)})
}

// widestProfile has the primaries of ROMM RGB (ISO 22028-2, from memory) and its exponent of 1.8.
func widestProfile() []byte {
	return profile("mntr", "RGB ", "XYZ ", part{"desc", described("widest")}, part{"cprt", text("nobody's")}, part{"wtpt", xyz(0.9642, 1, 0.8249)},
		part{"rXYZ", xyz(0.79767, 0.28804, 0)}, part{"gXYZ", xyz(0.13519, 0.71188, 0)}, part{"bXYZ", xyz(0.03134, 0.00009, 0.82491)},
		part{"rTRC", gamma(461)}, part{"gTRC", gamma(461)}, part{"bTRC", gamma(461)})
}

// greyProfile is grey with an exponent of 1.8.
func greyProfile() []byte {
	return profile("mntr", "GRAY", "XYZ ", part{"desc", described("grey")}, part{"cprt", text("nobody's")}, part{"wtpt", xyz(0.9642, 1, 0.8249)}, part{"kTRC", gamma(461)})
}

// tableProfile is as those of scanners are: a table from values to Lab (lut16Type), here of 9 × 9 × 9 places, of colours somewhat
// duller and warmer than they are scanned.
func tableProfile() []byte {
	const grid = 9
	b := append([]byte("mft2\x00\x00\x00\x00"), 3, 3, grid, 0)
	for i := range 9 {
		b = append(b, fixed([]float64{1, 0, 0, 0, 1, 0, 0, 0, 1}[i])...)
	}
	b = append(b, 0, 2, 0, 2) // curves of two places: straight
	straight := []byte{0, 0, 0xff, 0xff}
	for range 3 {
		b = append(b, straight...)
	}
	lab16 := func(l, a, bb float64) {
		for _, v := range []float64{l / 100 * 65280, (a + 128) * 256, (bb + 128) * 256} {
			b = binary.BigEndian.AppendUint16(b, uint16(math.Round(min(max(v, 0), 65535))))
		}
	}
	for r := range grid {
		for g := range grid {
			for bl := range grid {
				x, y, z := float64(r)/(grid-1), float64(g)/(grid-1), float64(bl)/(grid-1)
				light := 0.25*x + 0.65*y + 0.1*z
				lab16(100*light, 60*(x-y)*0.8, 60*((x+y)/2-z)*0.8+3*light*(1-light))
			}
		}
	}
	for range 3 {
		b = append(b, straight...)
	}
	return profile("scnr", "RGB ", "Lab ", part{"desc", described("scanned")}, part{"cprt", text("nobody's")}, part{"wtpt", xyz(0.9642, 1, 0.8249)}, part{"A2B0", b})
}
