package develop

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"

	"github.com/kovidgoyal/imaging/prism/meta/icc"

	"solander/fault"
)

// Colour makes values of sRGB, 0 to 1, of the values of another space. nil leaves them: they are sRGB.
type Colour func(r, g, b float32) (float32, float32, float32)

// mostTags bounds the entries of a profile; profiles have some twenty.
const mostTags = 200

// colourOf reads a colour profile (ICC.1:2022). No profile is sRGB. Colours are kept relative to white, black to black; those that sRGB
// does not have become the nearest on each of its three axes. Faults: Invalid.
func colourOf(profile []byte) (Colour, error) {
	if len(profile) == 0 {
		return nil, nil
	}
	if err := whole(profile); err != nil {
		return nil, unread(err)
	}
	p, err := icc.DecodeProfile(bytes.NewReader(profile))
	if err != nil {
		return nil, unread(err)
	}
	inputs := 3
	switch p.Header.DataColorSpace {
	case icc.ColorSpaceRGB:
	case icc.ColorSpaceGray:
		inputs = 1
	default:
		return nil, unread(fmt.Errorf("a profile of %s", p.Header.DataColorSpace))
	}
	if inputs == 3 && p.IsSRGB() {
		return nil, nil
	}
	line, err := p.CreateTransformerToSRGB(icc.RelativeColorimetricRenderingIntent, true, inputs, true, false, true)
	if err != nil {
		return nil, unread(err)
	}
	return tried(line, inputs)
}

// tried makes the colour of a pipeline, after it was tried: one that breaks, or makes no numbers, is found before the picture is read.
func tried(line *icc.Pipeline, inputs int) (Colour, error) {
	c := func(r, g, b float32) (float32, float32, float32) {
		x, y, z := line.Transform(float64(r), float64(g), float64(b))
		return float32(x), float32(y), float32(z)
	}
	if inputs == 1 {
		c = func(r, _, _ float32) (float32, float32, float32) {
			out, in := [3]float64{}, [3]float64{float64(r)}
			line.TransformGeneral(out[:], in[:])
			return float32(out[0]), float32(out[1]), float32(out[2])
		}
	}
	for _, v := range []float32{0, 0.25, 0.5, 1} {
		r, g, b := c(v, 1-v, v*v)
		if r != r || g != g || b != b {
			return nil, unread(errors.New("it makes no colour of one"))
		}
	}
	return c, nil
}

// whole holds the lengths in a profile against what is there: its own, and those of its parts.
func whole(profile []byte) error {
	if len(profile) < 132 || string(profile[36:40]) != "acsp" {
		return errors.New("no profile")
	}
	tags := int64(binary.BigEndian.Uint32(profile[128:]))
	if tags > mostTags || 132+12*tags > int64(len(profile)) {
		return fmt.Errorf("%d parts", tags)
	}
	for i := range tags {
		e := profile[132+12*i:]
		at, n := int64(binary.BigEndian.Uint32(e[4:])), int64(binary.BigEndian.Uint32(e[8:]))
		if at < 132+12*tags || at+n > int64(len(profile)) {
			return fmt.Errorf("a part of %d bytes at %d", n, at)
		}
	}
	return nil
}

func unread(err error) error {
	return fault.Invalidf("file", "the colour profile of the picture cannot be read").ToMend("save it anew as sRGB").Because(err)
}
