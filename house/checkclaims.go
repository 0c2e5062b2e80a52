package house

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"

	"solander/claim"
	"solander/fault"
	"solander/picture"
	"solander/picture/header"
)

// claimPhotos compares each photo of a claim with its digest and its size. Those of buyers who were erased are gone, and no finding.
func (c *checking) claimPhotos() error {
	all, err := c.Claims(claim.Query{})
	if err != nil {
		return err
	}
	for _, x := range all {
		photos, err := c.ClaimPhotos(x.ID)
		if err != nil {
			return err
		}
		for _, p := range photos {
			where := fmt.Sprintf("photo %d of claim %d", p.ID, x.ID)
			if err := c.unread(where, c.claimPhoto(where, p)); err != nil {
				return err
			}
		}
	}
	return nil
}

func (c *checking) claimPhoto(where string, p claim.Photo) error {
	const mend = "remove the photo, and add it anew"
	body, err := c.ClaimPhotoBody(p.ID)
	if fault.Is(err, fault.Missing) {
		c.finding(where, mend, "it is gone")
		return nil
	}
	if err != nil || len(body) == 0 {
		return err
	}
	sum := sha256.Sum256(body)
	h, err := header.Read(body)
	if err != nil || h.Kind != header.JPEG || h.Box != (picture.Box{Width: p.Width, Height: p.Height}) || hex.EncodeToString(sum[:]) != p.Digest {
		c.finding(where, mend, "it is not as it was added")
	}
	return nil
}
