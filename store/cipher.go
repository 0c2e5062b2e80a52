package store

import (
	"context"

	"solander/fault"
	"solander/store/privacy"
	"solander/store/table"
	"solander/store/vault"
	"solander/upkeep"
)

// cipher is by what a transaction reads and writes cells in cipher.
func (s *store) cipher() table.Cipher {
	return table.Cipher{Key: s.key.Load(), Sealed: privacy.Sealed}
}

// unlock finds the key of a store that is kept in cipher. Faults: Refused when it is not there, or is another's; nothing was changed then.
func (s *store) unlock(ctx context.Context) error {
	var proof string
	var found bool
	err := s.read(ctx, func(t *tx) (err error) {
		found, err = t.conn.One(`SELECT proof FROM vault WHERE id = 1`, nil, &proof)
		return err
	})
	if err != nil {
		return err
	}
	if !found {
		k, err := vault.Read(s.opt.KeyFile)
		s.key.Store(k)
		return err
	}
	k, err := vault.Find(s.opt.KeyFile, proof)
	s.key.Store(k)
	return err
}

// Cipher says what is kept in cipher; see studio.Store.
func (s *store) Cipher(ctx context.Context) (upkeep.Cipher, error) {
	c := upkeep.Cipher{KeyFile: s.opt.KeyFile, Key: s.key.Load() != nil}
	err := s.read(ctx, func(t *tx) (err error) {
		c.Secrets, c.People, err = t.conn.Sealing()
		return err
	})
	return c, err
}

// SetCipher chooses what is kept in cipher; see studio.Store.
func (s *store) SetCipher(ctx context.Context, secrets, people, newKey bool) error {
	was, err := s.Cipher(ctx)
	if err != nil {
		return err
	}
	on := secrets || people
	if was.Secrets == secrets && was.People == people && !newKey {
		return nil
	}
	use, turn := table.Cipher{Key: s.key.Load(), Sealed: privacy.Sealed}, false
	switch {
	case newKey && !on:
		return fault.New(fault.Invalid, "nothing is kept in cipher that a new key could be for").In("new_key").ToMend("choose what is kept in cipher")
	case newKey && use.Key != nil:
		if use.Next, err = vault.Make(s.opt.KeyFile, true); err != nil {
			return err
		}
		turn = true
	case on && use.Key == nil:
		if use.Key, err = vault.Make(s.opt.KeyFile, false); err != nil {
			return err
		}
		s.key.Store(use.Key)
	}
	proof := ""
	if on {
		proof = use.Key.Proof()
	}
	if use.Next != nil {
		proof = use.Next.Proof()
	}
	err = s.write(ctx, func(t *tx) error {
		t.conn.Ciphered(use)
		if err := t.Reseal(secrets, people, proof); err != nil {
			return err
		}
		use := use
		if use.Next != nil { // what follows reads what was written just now
			use = table.Cipher{Key: use.Next, Sealed: privacy.Sealed}
		}
		t.conn.Ciphered(use)
		if _, err := t.conn.Exec(`DELETE FROM person_words`); err != nil {
			return err
		}
		if err := t.PutPeople(); err != nil {
			return err
		}
		return t.index.All()
	})
	if err != nil {
		return err
	}
	if turn {
		s.key.Store(use.Next)
		if err := vault.Turn(s.opt.KeyFile); err != nil {
			return err
		}
	}
	return s.Wipe(ctx)
}

// loaded sees that a copy that was just put in can be read: it may be in cipher.
func (s *store) loaded(t *tx) error {
	_, _, err := t.conn.Sealing()
	if err != nil {
		return fault.New(fault.Refused, "this copy is in cipher, and its key is not here").At("%s", s.opt.KeyFile).
			ToMend("put the key file of the studio there first; nothing was changed").Because(err)
	}
	return nil
}
