// Package gallery hangs the pictures of works: puts one to a work, says what is to be seen in it, takes it away, shows it.
package gallery

import (
	"context"
	"slices"
	"strings"

	"solander/edition"
	"solander/picture"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	picture.Store
	Work(id int64) (edition.Work, error)
}

// Gallery is one transaction as this room sees it.
type Gallery struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Gallery { return &Gallery{t, t.Tx} }

var write, read = studio.Doors(In)

// Pictures are what is known of the pictures, by work.
type Pictures map[int64]picture.Picture

// Has reports whether a work has a picture.
func (p Pictures) Has(work int64) bool { _, hung := p[work]; return hung }

func known(all []picture.Picture) Pictures {
	out := make(Pictures, len(all))
	for _, p := range all {
		out[p.Work] = p
	}
	return out
}

// All are the pictures of all works.
func All(ctx context.Context, s *studio.Studio) (Pictures, error) {
	all, err := studio.Got(ctx, s, read, func(t *Gallery) ([]picture.Picture, error) { return t.Pictures() })
	return known(all), err
}

// Among are the pictures of works, of which any may be named more than once, and 0 is none.
func Among(ctx context.Context, s *studio.Studio, works []int64) (Pictures, error) {
	works = slices.DeleteFunc(slices.Clone(works), func(id int64) bool { return id == 0 })
	slices.Sort(works)
	works = slices.Compact(works)
	if len(works) == 0 {
		return nil, nil
	}
	found, err := studio.Got(ctx, s, read, func(t *Gallery) ([]picture.Picture, error) { return t.PicturesOf(works) })
	return known(found), err
}

// Of is what is known of a work's picture; false when it has none. Faults: Missing for no such work.
func Of(ctx context.Context, s *studio.Studio, work int64) (p picture.Picture, hung bool, err error) {
	err = read(ctx, s, func(t *Gallery) error {
		if _, err := t.Work(work); err != nil {
			return err
		}
		found, err := t.PicturesOf([]int64{work})
		if err != nil || len(found) == 0 {
			return err
		}
		p, hung = found[0], true
		return nil
	})
	return p, hung, err
}

// Body is a work's picture at one size, with its bytes. Faults: Missing.
func Body(ctx context.Context, s *studio.Studio, work int64, size picture.Size) (p picture.Picture, body []byte, err error) {
	err = read(ctx, s, func(t *Gallery) (err error) {
		if p, err = t.Picture(work); err != nil {
			return err
		}
		body, err = t.PictureBody(work, size)
		return err
	})
	return p, body, err
}

// Hang puts a picture to a work, in place of the one it had. alt says what is to be seen in it; it may be empty.
// Faults: Invalid, Missing.
func Hang(ctx context.Context, s *studio.Studio, work int64, prints picture.Prints, alt string) (picture.Picture, error) {
	p := picture.Picture{Work: work, Alt: strings.TrimSpace(alt), Digest: prints.Digest(), Small: prints.Small.Box, Middle: prints.Middle.Box, Large: prints.Large.Box}
	if err := picture.Alt(p.Alt); err != nil {
		return p, err
	}
	err := write(ctx, s, func(t *Gallery) error {
		w, err := t.Work(work)
		if err != nil {
			return err
		}
		p.Title, p.At, p.Who = w.Title, t.Now, t.Who
		return t.SavePicture(p, prints)
	})
	return p, err
}

// Say changes what is said to be seen in a work's picture. Faults: Invalid; Missing when it has none.
func Say(ctx context.Context, s *studio.Studio, work int64, alt string) error {
	alt = strings.TrimSpace(alt)
	if err := picture.Alt(alt); err != nil {
		return err
	}
	return write(ctx, s, func(t *Gallery) error { return t.SayPicture(work, alt) })
}

// TakeAway takes the picture of a work away; the work stays. Faults: Missing when it has none.
func TakeAway(ctx context.Context, s *studio.Studio, work int64) error {
	return write(ctx, s, func(t *Gallery) error { return t.DropPicture(work) })
}
