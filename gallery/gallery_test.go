package gallery_test

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/color"
	"image/png"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"solander/edition"
	"solander/fault"
	"solander/gallery"
	"solander/house"
	"solander/picture"
	"solander/register"
	"solander/store"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// opened is a studio with one work.
func opened(t *testing.T) (studio.Store, *studio.Studio, int64) {
	t.Helper()
	s, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "studio.db"), store.Options{Hasty: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	st := studio.New(s, studio.Options{})
	bed.Write(t, s, func(tx studio.Tx) error {
		return tx.SaveSettings(studio.Settings{Studio: "Quay Studio", Currency: "USD", MarkPrefix: "S", TimeZone: "UTC"})
	})
	w, err := register.SaveWork(t.Context(), st, edition.Work{Title: "Heron at dusk"})
	if err != nil {
		t.Fatal(err)
	}
	return s, st, w.ID
}

func plain(t *testing.T, c color.Color) []byte {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 300, 400))
	for y := range 400 {
		for x := range 300 {
			img.Set(x, y, c)
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// A picture is put, said and taken away; what is refused changes nothing, and what stands is sound.
func TestPicture(t *testing.T) {
	t.Parallel()
	_, st, work := opened(t)
	ctx := studio.WithWho(t.Context(), "Ines")
	if _, hung, err := gallery.Of(ctx, st, work); hung || err != nil {
		t.Fatalf("hung %v, %v", hung, err)
	}
	p, err := gallery.Put(ctx, st, work, plain(t, color.White), "  a heron  ")
	if err != nil || p.Alt != "a heron" || p.Title != "Heron at dusk" || p.Who != "Ines" || p.Small != (picture.Box{Width: 120, Height: 160}) {
		t.Fatalf("%+v, %v", p, err)
	}
	for what, f := range map[string]func() error{
		"no picture": func() error { _, err := gallery.Put(ctx, st, work, []byte("x"), ""); return err },
		"too many words": func() error {
			_, err := gallery.Put(ctx, st, work, plain(t, color.Black), strings.Repeat("é", 501))
			return err
		},
		"too many words yet": func() error { return gallery.Say(ctx, st, work, strings.Repeat("é", 501)) },
		"no text":            func() error { return gallery.Say(ctx, st, work, "\xff") },
	} {
		if err := f(); !fault.Is(err, fault.Invalid) {
			t.Errorf("%s: %v", what, err)
		}
	}
	for what, f := range map[string]func() error{
		"put":       func() error { _, err := gallery.Put(ctx, st, 9, plain(t, color.Black), ""); return err },
		"of":        func() error { _, _, err := gallery.Of(ctx, st, 9); return err },
		"body":      func() error { _, _, err := gallery.Body(ctx, st, 9, picture.Small); return err },
		"say":       func() error { return gallery.Say(ctx, st, 9, "x") },
		"take away": func() error { return gallery.TakeAway(ctx, st, 9) },
	} {
		if err := f(); !fault.Is(err, fault.Missing) {
			t.Errorf("%s of no work: %v", what, err)
		}
	}
	if now, _, err := gallery.Of(ctx, st, work); err != nil || now.Digest != p.Digest || now.Alt != "a heron" {
		t.Errorf("it is %+v now: %v", now, err)
	}
	sound(t, st, 0)
	if err := gallery.TakeAway(ctx, st, work); err != nil {
		t.Fatal(err)
	}
	if all, err := gallery.All(ctx, st); len(all) != 0 || err != nil || all.Has(work) {
		t.Errorf("%v, %v", all, err)
	}
}

func sound(t *testing.T, st *studio.Studio, findings int) {
	t.Helper()
	found, err := house.Check(t.Context(), st)
	if err != nil || len(found) != findings {
		t.Errorf("%d findings, want %d: %v, %v", len(found), findings, found, err)
	}
}

// check sees a picture that is not as it was put.
func TestCheckSeesAnotherPicture(t *testing.T) {
	t.Parallel()
	s, st, work := opened(t)
	if _, err := gallery.Put(t.Context(), st, work, plain(t, color.White), ""); err != nil {
		t.Fatal(err)
	}
	var kept picture.Picture
	var prints picture.Prints
	bed.Read(t, s, func(tx studio.Tx) (err error) {
		kept, err = tx.Picture(work)
		for _, size := range picture.Sizes() {
			if err == nil {
				prints.At(size).JPEG, err = tx.PictureBody(work, size)
			}
		}
		return err
	})
	put := func(p picture.Picture, prints picture.Prints) {
		t.Helper()
		bed.Write(t, s, func(tx studio.Tx) error { return tx.SavePicture(p, prints) })
	}
	put(kept, prints)
	sound(t, st, 0)
	other := kept
	other.Digest = strings.Repeat("0", 64)
	put(other, prints)
	sound(t, st, 1)
	other = kept
	other.Middle.Width++
	put(other, prints)
	sound(t, st, 1)
	swapped := prints
	swapped.Small.JPEG = prints.Large.JPEG
	put(kept, swapped)
	sound(t, st, 2) // its size, and the digest
}

// One picture is developed at a time, and who waits for too long is told so.
func TestOneAtATime(t *testing.T) {
	t.Parallel()
	_, st, work := opened(t)
	img := image.NewRGBA(image.Rect(0, 0, 4000, 4000))
	for i := range img.Pix {
		img.Pix[i] = uint8(i * 7)
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithTimeout(t.Context(), time.Millisecond)
	defer stop()
	_, err := gallery.Put(ctx, st, work, b.Bytes(), "")
	if err == nil || !fault.Is(err, fault.Busy) && !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("got %v", err)
	}
	if _, hung, err := gallery.Of(t.Context(), st, work); hung || err != nil {
		t.Errorf("something hangs: %v, %v", hung, err)
	}
}
