package claims

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"

	"solander/claim"
	"solander/fault"
	"solander/gallery"
	"solander/picture"
	"solander/studio"
)

// Photo develops the photo in a file and keeps it with a claim: upright, in sRGB, at the size of a page, nothing else of the file.
// Faults: Missing; Refused when the claim has enough or is over; Invalid and TooLarge for the file; Invalid for the words.
func Photo(ctx context.Context, s *studio.Studio, id int64, file []byte, alt string) (claim.Photo, error) {
	alt = strings.TrimSpace(alt)
	if err := picture.Alt(alt); err != nil {
		return claim.Photo{}, err
	}
	if err := read(ctx, s, func(t *Claims) error { return t.room(id) }); err != nil { // so that nobody waits for nothing
		return claim.Photo{}, err
	}
	prints, err := gallery.Developed(ctx, file)
	if err != nil {
		return claim.Photo{}, err
	}
	sum := sha256.Sum256(prints.Large.JPEG)
	p := claim.Photo{Claim: id, Alt: alt, Digest: hex.EncodeToString(sum[:]), Width: prints.Large.Width, Height: prints.Large.Height}
	err = write(ctx, s, func(t *Claims) (err error) {
		if err := t.room(id); err != nil {
			return err
		}
		p.At, p.Who = t.Now, t.Who
		p.ID, err = t.AddClaimPhoto(p, prints.Large.JPEG)
		return err
	})
	return p, err
}

// room refuses one more photo where there are enough, or the claim is over.
func (t *Claims) room(id int64) error {
	c, err := t.Claim(id)
	if err != nil {
		return err
	}
	where := fmt.Sprintf("claim %d", id)
	if !c.Open() {
		return fault.New(fault.Refused, "the claim is over: %s", c.State.Words()).At("%s", where).In("file").ToMend("photos go to an open claim")
	}
	all, err := t.ClaimPhotos(id)
	if err == nil && len(all) >= claim.MostPhotos {
		err = fault.New(fault.Refused, "it has %d photos already", len(all)).At("%s", where).In("file").ToMend("remove one first")
	}
	return err
}

// PhotoBody is a photo with its bytes, as JPEG. Faults: Missing.
func PhotoBody(ctx context.Context, s *studio.Studio, id int64) (p claim.Photo, body []byte, err error) {
	err = read(ctx, s, func(t *Claims) (err error) {
		if p, err = t.ClaimPhoto(id); err == nil {
			body, err = t.ClaimPhotoBody(id)
		}
		if err == nil && len(body) == 0 {
			err = fault.New(fault.Missing, "the photo went when its buyer was erased").At("photo %d of claim %d", id, p.Claim)
		}
		return err
	})
	return p, body, err
}

// DropPhoto forgets a photo of a claim. Faults: Missing.
func DropPhoto(ctx context.Context, s *studio.Studio, of, id int64) error {
	return write(ctx, s, func(t *Claims) error {
		p, err := t.ClaimPhoto(id)
		if err != nil {
			return err
		}
		if p.Claim != of {
			return fault.New(fault.Missing, "it has no photo %d", id).At("claim %d", of).In("photo").ToMend("see which it has")
		}
		return t.DropClaimPhoto(id)
	})
}
