package picture

import (
	"cmp"
	"time"
)

// Picture is what is known of a work's picture, without its bytes.
type Picture struct {
	Work   int64     `json:"work"`
	Title  string    `json:"title"` // of the work, read along
	Alt    string    `json:"alt"`   // what is to be seen; "" = not said
	Digest string    `json:"digest"`
	Small  Box       `json:"small"`
	Middle Box       `json:"middle"`
	Large  Box       `json:"large"`
	At     time.Time `json:"at"`
	Who    string    `json:"who"`
}

// Box is the size of the picture in pixels, at one of its sizes.
func (p Picture) Box(s Size) Box {
	switch s {
	case Small:
		return p.Small
	case Middle:
		return p.Middle
	}
	return p.Large
}

// Seen says what is to be seen; the title of the work when nobody said it.
func (p Picture) Seen() string { return cmp.Or(p.Alt, p.Title) }

// Store keeps the pictures of works, one a work at most.
type Store interface {
	Pictures() ([]Picture, error)                // by work
	PicturesOf(works []int64) ([]Picture, error) // of those works that have one; in no order
	Picture(work int64) (Picture, error)         //
	PictureBody(work int64, size Size) ([]byte, error)
	// SavePicture keeps a picture with its bytes, in place of the one that the work had. Faults: Missing for no such work.
	SavePicture(p Picture, prints Prints) error
	SayPicture(work int64, alt string) error // changes what is said of it
	DropPicture(work int64) error
}
