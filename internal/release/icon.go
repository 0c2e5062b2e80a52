package main

import (
	"bytes"
	"encoding/binary"
	"encoding/xml"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"os"
	"regexp"
	"strconv"
)

// markFile is the program's mark, as its pages show it: rectangles, and a path of straight lines.
const markFile = "web/static/mark.svg"

// mark is what of SVG the mark is drawn with. Source: W3C, Scalable Vector Graphics (SVG) 1.1, 8.3 and 9.2.
type mark struct {
	ViewBox string  `xml:"viewBox,attr"`
	Shapes  []shape `xml:",any"`
}

type shape struct {
	XMLName xml.Name
	X       float64 `xml:"x,attr"`
	Y       float64 `xml:"y,attr"`
	Width   float64 `xml:"width,attr"`
	Height  float64 `xml:"height,attr"`
	Fill    string  `xml:"fill,attr"`
	D       string  `xml:"d,attr"`
	Stroke  string  `xml:"stroke,attr"`
	Wide    float64 `xml:"stroke-width,attr"`
}

// markUnits is the side of the mark in its own units.
const markUnits = 32

// drawMark draws the mark on a square of so many pixels, a multiple of 128: its edges fall between pixels then.
func drawMark(side int) (image.Image, error) {
	text, err := os.ReadFile(markFile)
	if err != nil {
		return nil, err
	}
	var m mark
	if err := xml.Unmarshal(text, &m); err != nil {
		return nil, err
	}
	if m.ViewBox != fmt.Sprintf("0 0 %d %d", markUnits, markUnits) || len(m.Shapes) == 0 || side%128 != 0 {
		return nil, fmt.Errorf("%s cannot be drawn at %d pixels: its box is %q", markFile, side, m.ViewBox)
	}
	img := image.NewNRGBA(image.Rect(0, 0, side, side))
	fill := func(x0, y0, x1, y1 float64, hue string) error {
		c, err := hueOf(hue)
		at := func(v float64) int { return int(v * float64(side) / markUnits) }
		draw.Draw(img, image.Rect(at(x0), at(y0), at(x1), at(y1)), image.NewUniform(c), image.Point{}, draw.Src)
		return err
	}
	for _, s := range m.Shapes {
		switch s.XMLName.Local {
		case "rect":
			err = fill(s.X, s.Y, s.X+s.Width, s.Y+s.Height, s.Fill)
		case "path":
			err = s.lines(func(x0, y0, x1, y1 float64) error { return fill(x0, y0, x1, y1, s.Stroke) })
		default:
			err = fmt.Errorf("%s holds a %s, which is not drawn", markFile, s.XMLName.Local)
		}
		if err != nil {
			return nil, err
		}
	}
	return img, nil
}

var pathStep = regexp.MustCompile(`([MhvHV])\s*(-?[0-9.]+)(?:[ ,]+(-?[0-9.]+))?`)

// lines gives fill each line of a path as a rectangle. Lines that meet at a corner both cover it, as the path does there.
func (s shape) lines(fill func(x0, y0, x1, y1 float64) error) error {
	steps := pathStep.FindAllStringSubmatch(s.D, -1)
	half := s.Wide / 2
	var x, y float64
	for i, step := range steps {
		a, err := strconv.ParseFloat(step[2], 64)
		if err != nil {
			return err
		}
		toX, toY := x, y
		switch step[1] {
		case "M":
			if x = a; step[3] == "" {
				return fmt.Errorf("%s: %q is no point", markFile, step[0])
			}
			if y, err = strconv.ParseFloat(step[3], 64); err != nil {
				return err
			}
			continue
		case "h":
			toX += a
		case "v":
			toY += a
		case "H":
			toX = a
		case "V":
			toY = a
		}
		box := [4]float64{min(x, toX), min(y, toY), max(x, toX), max(y, toY)}
		widen := func(end float64, from, to int) { // at a corner a line goes on for half of its width
			if box[from] == end {
				box[from] -= half
			} else {
				box[to] += half
			}
		}
		from, to, begin, end := 0, 2, x, toX
		if x == toX {
			from, to, begin, end = 1, 3, y, toY
		}
		if steps[i-1][1] != "M" {
			widen(begin, from, to)
		}
		if i+1 < len(steps) && steps[i+1][1] != "M" {
			widen(end, from, to)
		}
		box[1-from] -= half
		box[4-from-1] += half
		if err := fill(box[0], box[1], box[2], box[3]); err != nil {
			return err
		}
		x, y = toX, toY
	}
	return nil
}

// hueOf reads #rrggbb.
func hueOf(s string) (color.Color, error) {
	if len(s) != 7 || s[0] != '#' {
		return color.Black, fmt.Errorf("%s: %q is no hue", markFile, s)
	}
	n, err := strconv.ParseUint(s[1:], 16, 32)
	return color.NRGBA{uint8(n >> 16), uint8(n >> 8), uint8(n), 255}, err
}

// iconParts are the sizes of an icon for macOS by their names in its file. Source: from memory; Pillow, which reads such files, agrees.
var iconParts = []struct {
	name string
	side int
}{{"ic07", 128}, {"ic08", 256}, {"ic09", 512}, {"ic10", 1024}}

// icon is the mark as macOS wants an icon: named parts, each with its length and a PNG.
func icon() ([]byte, error) {
	var parts bytes.Buffer
	for _, p := range iconParts {
		img, err := drawMark(p.side)
		if err != nil {
			return nil, err
		}
		var body bytes.Buffer
		if err := png.Encode(&body, img); err != nil {
			return nil, err
		}
		parts.WriteString(p.name)
		parts.Write(binary.BigEndian.AppendUint32(nil, uint32(8+body.Len())))
		parts.Write(body.Bytes())
	}
	return append(binary.BigEndian.AppendUint32([]byte("icns"), uint32(8+parts.Len())), parts.Bytes()...), nil
}
