package privacy

import (
	"context"
	"errors"

	"solander/fault"
	"solander/studio"
	"solander/upkeep"
)

// EraseIn says whom to erase.
type EraseIn struct {
	Buyer int64
	Seen  string // Trial.Seen of what she saw
	Early bool   // the tax office needs it no more
}

// Erase erases a buyer: what the trial said, and nothing else. Then the store's files are written anew. It cannot be undone.
// Faults: those of Try; Changed when it is not what she saw; Refused with everything that is in the way; Busy when it is done, but the
// files could not be written anew: see Wipe.
func Erase(ctx context.Context, s *studio.Studio, in EraseIn) (upkeep.Erasure, error) {
	var done upkeep.Erasure
	err := write(ctx, s, func(t *Privacy) error {
		tr, err := t.reading(s).trial(in.Buyer)
		if err != nil {
			return err
		}
		if tr.Seen != in.Seen {
			return fault.New(fault.Changed, "what would be erased is not what you saw").ToMend("look at it again")
		}
		done, err = t.erase(tr, upkeep.ErasedAsked, in.Early)
		return err
	})
	if err != nil {
		return done, err
	}
	return done, Wipe(ctx, s)
}

// erase does what a trial says.
func (t *Privacy) erase(tr Trial, why upkeep.ErasureWhy, early bool) (upkeep.Erasure, error) {
	if err := refused(tr.InTheWay, early); err != nil {
		return upkeep.Erasure{}, err
	}
	done, err := t.Store.Erase(upkeep.Erasure{Buyer: tr.Buyer.ID, Why: why, Day: t.Today, At: t.Now, Who: t.Who}, tr.changes)
	if err != nil {
		return done, err
	}
	return done, t.Note(0, "buyer %d was erased, in %d places", done.Buyer, done.Cells)
}

// Wipe writes the store's files anew, so that nothing erased is left in them. Faults: Busy.
func Wipe(ctx context.Context, s *studio.Studio) error {
	err := s.Store.Wipe(ctx)
	var f *fault.Error
	if errors.As(err, &f) && f.Code == fault.Busy {
		return fault.New(fault.Busy, "it is erased from every table, but the files of the store could not be written anew: traces may be left in them").
			ToMend("run solander privacy wipe, or open Studio, Privacy, when nobody else works").Because(err)
	}
	return err
}

// Erasures lists the latest erasures; limit 0 = all.
func Erasures(ctx context.Context, s *studio.Studio, limit int) ([]upkeep.Erasure, error) {
	return studio.Got(ctx, s, read, func(t *Privacy) ([]upkeep.Erasure, error) { return t.Erasures(limit) })
}

// ErasedBuyer returns how a buyer was erased. Faults: Missing when she is not.
func ErasedBuyer(ctx context.Context, s *studio.Studio, buyer int64) (upkeep.Erasure, error) {
	return studio.Got(ctx, s, read, func(t *Privacy) (upkeep.Erasure, error) { return t.Erased(buyer) })
}

// Cipher says what is kept in cipher.
func Cipher(ctx context.Context, s *studio.Studio) (upkeep.Cipher, error) { return s.Store.Cipher(ctx) }

// SetCipher chooses what is kept in cipher; see studio.Store. Faults: Refused.
func SetCipher(ctx context.Context, s *studio.Studio, secrets, people, newKey bool) error {
	return s.Store.SetCipher(ctx, secrets, people, newKey)
}
