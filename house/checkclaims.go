package house

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"

	"solander/claim"
	"solander/fault"
	"solander/order"
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
			if err := c.unread(where, c.claimPhoto(where, x, p)); err != nil {
				return err
			}
		}
	}
	return nil
}

func (c *checking) claimPhoto(where string, of claim.Claim, p claim.Photo) error {
	const mend = "remove the photo, and add it anew"
	body, err := c.ClaimPhotoBody(p.ID)
	if fault.Is(err, fault.Missing) {
		c.finding(where, mend, "it is gone")
		return nil
	}
	if err != nil {
		return err
	}
	if len(body) == 0 {
		gone, err := c.erased(of.Order)
		if err != nil || gone {
			return err
		}
	}
	sum := sha256.Sum256(body)
	h, err := header.Read(body)
	if err != nil || h.Kind != header.JPEG || h.Box != (picture.Box{Width: p.Width, Height: p.Height}) || hex.EncodeToString(sum[:]) != p.Digest {
		c.finding(where, mend, "it is not as it was added")
	}
	return nil
}

// erased reports whether the buyer of an order was erased.
func (c *checking) erased(id int64) (bool, error) {
	o, err := c.Order(id)
	if fault.Is(err, fault.Missing) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	b, err := c.Buyer(o.Buyer)
	return b.Name == order.ErasedName, err
}
