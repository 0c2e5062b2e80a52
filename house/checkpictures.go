package house

import (
	"fmt"

	"solander/fault"
	"solander/picture"
	"solander/picture/header"
)

// mendPicture is what is done about a picture that is not as it was put.
const mendPicture = "put the picture anew"

// pictures compares each picture with its digest, and each of its sizes with how large it is said to be.
func (c *checking) pictures() error {
	all, err := c.Pictures()
	if err != nil {
		return err
	}
	for _, p := range all {
		where := fmt.Sprintf("picture of work %d", p.Work)
		if err := c.unread(where, c.picture(where, p)); err != nil {
			return err
		}
	}
	return nil
}

func (c *checking) picture(where string, p picture.Picture) error {
	var prints picture.Prints
	for _, size := range picture.Sizes() {
		body, err := c.PictureBody(p.Work, size)
		if fault.Is(err, fault.Missing) {
			c.finding(where, mendPicture, "its size %s is gone", size)
			return nil
		}
		if err != nil {
			return err
		}
		if h, err := header.Read(body); err != nil || h.Kind != header.JPEG || h.Box != p.Box(size) {
			c.finding(where, mendPicture, "its size %s is not the JPEG of %d × %d pixels that it is said to be", size, p.Box(size).Width, p.Box(size).Height)
		}
		prints.At(size).JPEG = body
	}
	if prints.Digest() != p.Digest {
		c.finding(where, mendPicture, "it is not as it was put: its digest is another")
	}
	return nil
}
