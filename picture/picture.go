// Package picture knows what is kept of a work's picture: three sizes in sRGB, as JPEG, with what is to be seen in words.
// Sides are whole pixels. It never crops, and never reads a name or a sender's word about what a file is.
package picture

import (
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"unicode/utf8"

	"solander/fault"
)

// Size is one of the sizes in which a picture is kept.
type Size string

// The sizes.
const (
	Small  Size = "small"  // beside a line of text
	Middle Size = "middle" // on a page of its own, and on papers
	Large  Size = "large"  // looked at
)

// Sizes are all sizes, from the smallest.
func Sizes() []Size { return []Size{Small, Middle, Large} }

// Longest is the long side of a size in pixels; a picture that is smaller is kept as it is, never blown up.
func (s Size) Longest() int {
	switch s {
	case Small:
		return 160
	case Middle:
		return 640
	case Large:
		return 1600
	}
	return 0
}

// ParseSize reads the name of a size. Faults: Missing.
func ParseSize(text string) (Size, error) {
	if slices.Contains(Sizes(), Size(text)) {
		return Size(text), nil
	}
	return "", fault.New(fault.Missing, "there is no size %.20q of a picture", text).ToMend("ask for small, middle or large")
}

// Box is a width and a height in pixels.
type Box struct {
	Width  int `json:"width"`
	Height int `json:"height"`
}

// Within is the box in the same proportion whose long side is no longer than most; no side is less than one pixel, and nothing
// grows.
func (b Box) Within(most int) Box {
	long := max(b.Width, b.Height)
	if long <= most || most <= 0 {
		return b
	}
	scaled := func(side int) int { return max(1, (2*side*most+long)/(2*long)) }
	return Box{scaled(b.Width), scaled(b.Height)}
}

// Print is a picture at one size.
type Print struct {
	Box
	JPEG []byte
}

// Prints are a picture at all its sizes.
type Prints struct{ Small, Middle, Large Print }

// At is the picture at a size.
func (p *Prints) At(s Size) *Print {
	switch s {
	case Small:
		return &p.Small
	case Middle:
		return &p.Middle
	}
	return &p.Large
}

// Digest is the SHA-256 of all sizes, from the smallest, in hexadecimal digits.
func (p *Prints) Digest() string {
	h := sha256.New()
	for _, s := range Sizes() {
		h.Write(p.At(s).JPEG)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// MostAlt bounds the words about a picture, in characters.
const MostAlt = 500

// Alt looks at what is said to be seen in a picture. Faults: Invalid.
func Alt(text string) error {
	if utf8.RuneCountInString(text) > MostAlt || !utf8.ValidString(text) {
		return fault.Invalidf("alt", "what is to be seen takes more than %d letters, or is not plain text", MostAlt).ToMend("say it in one or two sentences")
	}
	return nil
}
