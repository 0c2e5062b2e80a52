package studio

import (
	"cmp"
	"time"

	"solander/picture"
)

// Picture is what is known of a work's picture, without its bytes.
type Picture struct {
	Work   int64       `json:"work"`
	Title  string      `json:"title"` // of the work, read along
	Alt    string      `json:"alt"`   // what is to be seen; "" = not said
	Digest string      `json:"digest"`
	Small  picture.Box `json:"small"`
	Middle picture.Box `json:"middle"`
	Large  picture.Box `json:"large"`
	At     time.Time   `json:"at"`
	Who    string      `json:"who"`
}

// Box is the size of the picture in pixels, at one of its sizes.
func (p Picture) Box(s picture.Size) picture.Box {
	switch s {
	case picture.Small:
		return p.Small
	case picture.Middle:
		return p.Middle
	}
	return p.Large
}

// Seen says what is to be seen; the title of the work when nobody said it.
func (p Picture) Seen() string { return cmp.Or(p.Alt, p.Title) }

// PictureStore keeps the pictures of works, one a work at most.
type PictureStore interface {
	Pictures() ([]Picture, error)                // by work
	PicturesOf(works []int64) ([]Picture, error) // of those works that have one; in no order
	Picture(work int64) (Picture, error)         //
	PictureBody(work int64, size picture.Size) ([]byte, error)
	// SavePicture keeps a picture with its bytes, in place of the one that the work had. Faults: Missing for no such work.
	SavePicture(p Picture, prints picture.Prints) error
	SayPicture(work int64, alt string) error // changes what is said of it
	DropPicture(work int64) error
}
