package storetest

import (
	"testing"

	"solander/edition"
	"solander/fault"
	"solander/picture"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// picturesKept: a second picture takes the place of the first, words change without it, and taking it away leaves the work.
func picturesKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	var other int64
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		if other, err = tx.SaveWork(edition.Work{Title: "Weir"}); err != nil {
			return err
		}
		if err := tx.SavePicture(bed.Hung(other, "", "weir")); err != nil {
			return err
		}
		if err := tx.SavePicture(bed.Hung(h.Work, "", "first")); err != nil {
			return err
		}
		if err := tx.SavePicture(bed.Hung(h.Work, "", "second")); err != nil {
			return err
		}
		return tx.SayPicture(h.Work, "a heron,\n“standing”")
	})
	first, prints := bed.Hung(h.Work, "a heron,\n“standing”", "second")
	second, _ := bed.Hung(other, "", "weir")
	first.Title, second.Title = "Heron at dusk", "Weir"
	bed.Read(t, s, func(tx studio.Tx) error {
		all, err := tx.Pictures()
		bed.Same(t, "pictures, by work", []picture.Picture{first, second}, all)
		if err != nil {
			return err
		}
		some, err := tx.PicturesOf([]int64{other, 999_999})
		bed.Same(t, "the picture of a work, and of none", []picture.Picture{second}, some)
		if err != nil {
			return err
		}
		none, err := tx.PicturesOf(nil)
		bed.Same(t, "the pictures of no works", 0, len(none))
		if err != nil {
			return err
		}
		for _, size := range picture.Sizes() {
			body, err := tx.PictureBody(h.Work, size)
			bed.Same(t, "bytes, "+string(size), prints.At(size).JPEG, body)
			if err != nil {
				return err
			}
		}
		return nil
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.PictureBody(h.Work, "vast"); return err })
	bed.Write(t, s, func(tx studio.Tx) error { return tx.DropPicture(h.Work) })
	bed.Read(t, s, func(tx studio.Tx) error {
		all, err := tx.Pictures()
		bed.Same(t, "what is left", []picture.Picture{second}, all)
		if err != nil {
			return err
		}
		w, err := tx.Work(h.Work)
		bed.Same(t, "the work", "Heron at dusk", w.Title)
		return err
	})
	bed.Sound(t, s)
}
