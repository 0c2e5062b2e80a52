package copies

import (
	"context"
	"errors"
	"io"
	"os"
	"time"

	"solander/copies/ages"
	"solander/copies/place"
	"solander/copies/sealed"
	"solander/studio"
	"solander/upkeep"
)

// LeaveIn says how the studio is carried to another machine.
type LeaveIn struct {
	File string // to write, which is not there yet
	Open bool   // not sealed
}

// Left is the studio as it was left.
type Left struct {
	File       string `json:"file"`
	Passphrase string `json:"passphrase,omitempty"` // that opens the file; it is kept nowhere
	place.Put
}

// Leave writes the whole studio into one file, proves that it comes back, and marks this one as left: from then on it can only be read here.
// It is marked before the file is written, so that no sale is in the one and not in the other; when the file cannot be written it is taken back.
// Faults: Taken when the file is there; Refused.
func (k *Keeper) Leave(ctx context.Context, st *studio.Studio, in LeaveIn) (Left, error) {
	ctx = upkeep.WhileLeaving(ctx)
	var mark string
	err := st.Write(ctx, func(t *studio.Turn) (err error) {
		tx := asked(t)
		switch is, err := tx.LeftFor(); {
		case err != nil:
			return err
		case !is.At.IsZero():
			return is.Refused()
		}
		if mark, err = markedIn(t); err != nil {
			return err
		}
		return tx.SaveLeftFor(upkeep.LeftFor{At: t.Now, Who: t.Who})
	})
	if err != nil {
		return Left{}, err
	}
	out, err := k.carry(ctx, st, in, mark)
	if err == nil {
		err = st.Store.Write(ctx, func(tx studio.Tx) error {
			is, err := tx.LeftFor()
			if err != nil {
				return err
			}
			is.File = out.File
			return tx.SaveLeftFor(is)
		})
	}
	if err != nil {
		return Left{}, errors.Join(err, Back(context.WithoutCancel(ctx), st))
	}
	return out, nil
}

func (k *Keeper) carry(ctx context.Context, st *studio.Studio, in LeaveIn, mark string) (out Left, err error) {
	out.File = in.File
	var seal func(io.Writer) (io.WriteCloser, error)
	if !in.Open {
		out.Passphrase = sealed.NewPassphrase()
		seal = func(w io.Writer) (io.WriteCloser, error) { return sealed.By(w, out.Passphrase) }
	}
	if out.Put, err = place.Whole(ctx, in.File, func(w io.Writer) error { return write(ctx, st, w, seal) }); err != nil {
		return out, err
	}
	open := func() (io.ReadCloser, error) { return os.Open(in.File) }
	if _, err = k.prove(ctx, proof{open: open, key: out.Passphrase, mark: mark, sum: out.SHA256, where: in.File}); err != nil {
		return out, errors.Join(err, os.Remove(in.File))
	}
	return out, nil
}

// Back takes back that the studio was left: work goes on here. Who worked on elsewhere in the meantime has two studios then.
func Back(ctx context.Context, st *studio.Studio) error {
	return st.Store.Write(upkeep.WhileLeaving(ctx), func(tx studio.Tx) error { return tx.SaveLeftFor(upkeep.LeftFor{}) })
}

// LeaveName is what the file is called in which the studio is carried away.
func LeaveName(at time.Time) string {
	return "solander-move-" + at.UTC().Format("20060102T150405Z") + ".copy" + ages.Tail
}

// IsLeft reports whether a studio was left for another machine.
func IsLeft(ctx context.Context, st *studio.Studio) (left bool, err error) {
	err = st.Store.Read(ctx, func(tx studio.Tx) error {
		l, err := tx.LeftFor()
		left = !l.At.IsZero()
		return err
	})
	return left, err
}
