package store

import (
	"context"
	"log/slog"

	"solander/fault"
	"solander/store/privacy"
	"solander/store/table"
	"solander/store/vault"
	"solander/upkeep"
)

// cipher is by what a transaction reads and writes cells in cipher.
func (s *store) cipher() table.Cipher {
	c := table.Cipher{Key: s.key.Load(), Sealed: privacy.Sealed, Again: s.again}
	if s.beside {
		c.Own = s.own
	}
	return c
}

// again looks for the key of a proof where it lies; nil when it is not there.
func (s *store) again(proof string) *vault.Key {
	k, err := vault.Find(s.opt.KeyFile, proof)
	if err != nil {
		return nil
	}
	s.key.Store(k)
	return k
}

// own is the key that lies where this studio's belongs, made when there is none.
func (s *store) own() (*vault.Key, error) {
	k, err := vault.Read(s.opt.KeyFile)
	if err == nil && k == nil {
		k, err = vault.Make(s.opt.KeyFile, false)
		if fault.Is(err, fault.Taken) { // another program was quicker
			k, err = vault.Read(s.opt.KeyFile)
		}
	}
	if err != nil {
		return nil, err
	}
	s.key.Store(k)
	return k, nil
}

// keepSecrets puts secrets that an older program kept in clear into cipher, where a key may lie beside the studio and nothing was chosen.
func (s *store) keepSecrets(ctx context.Context) error {
	if !s.beside {
		return nil
	}
	var bare bool
	err := s.read(ctx, func(t *tx) (err error) {
		bare, err = t.BareSecrets()
		return err
	})
	if err != nil || !bare {
		return err
	}
	if err = s.setCipher(ctx, true, false, false, true); fault.Is(err, fault.Refused) {
		return nil // it may only be read, or there is no room: that must not keep it shut
	}
	return err
}

// unlock finds the key of a store that is kept in cipher. Faults: Refused when it is not there, or is another's; nothing was changed then.
func (s *store) unlock(ctx context.Context) error {
	var proof string
	var found, itself bool
	err := s.read(ctx, func(t *tx) (err error) {
		found, err = t.conn.One(`SELECT proof, itself FROM vault WHERE id = 1`, nil, &proof, &itself)
		return err
	})
	if err != nil {
		return err
	}
	if !found || proof == "" {
		k, err := vault.Read(s.opt.KeyFile)
		s.key.Store(k)
		return err
	}
	k, err := vault.Find(s.opt.KeyFile, proof)
	if itself && fault.Is(err, fault.Refused) {
		slog.WarnContext(ctx, "secrets of web-hooks and second factors cannot be read: their key is not beside the studio", "err", err)
		err = nil // all else can be
	}
	s.key.Store(k)
	return err
}

// Cipher says what is kept in cipher; see studio.Store.
func (s *store) Cipher(ctx context.Context) (upkeep.Cipher, error) {
	c := upkeep.Cipher{KeyFile: s.opt.KeyFile, Key: s.key.Load() != nil}
	err := s.read(ctx, func(t *tx) (err error) {
		if c.Secrets, c.People, err = t.conn.Sealing(); err == nil {
			c.Itself, _, err = t.conn.Itself()
		}
		return err
	})
	return c, err
}

// SetCipher chooses what is kept in cipher; see studio.Store.
func (s *store) SetCipher(ctx context.Context, secrets, people, newKey bool) error {
	return s.setCipher(ctx, secrets, people, newKey, false)
}

func (s *store) setCipher(ctx context.Context, secrets, people, newKey, itself bool) error {
	was, err := s.Cipher(ctx)
	if err != nil {
		return err
	}
	on := secrets || people
	if on && was.Secrets == secrets && was.People == people && was.Itself == itself && !newKey {
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
		if use.Key, err = s.own(); err != nil { // it may have been made for what lies beside the studio
			return err
		}
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
		if err := t.Reseal(secrets, people, itself, proof); err != nil {
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
