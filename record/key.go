package record

import (
	"cmp"
	"context"
	"os"

	"solander/fault"
	"solander/record/keyfile"
	"solander/sealog"
	"solander/studio"
)

// Export is the key as a file to be kept elsewhere, sealed by a passphrase of its own; "" leaves it open. Faults: as Signer.
func Export(ctx context.Context, s *studio.Studio, passphrase, sealedBy string) ([]byte, error) {
	k, err := Signer(ctx, s, passphrase)
	if err != nil {
		return nil, err
	}
	return keyfile.Body(k, sealedBy)
}

// Load puts a key that was exported where the studio looks for it. Faults: Taken when one lies there; Refused when it is of another
// register, or one that was replaced.
func Load(ctx context.Context, s *studio.Studio, body []byte, passphrase string) (file string, err error) {
	place := s.Store.RegisterKey()
	if file = place.File; file == "" {
		return "", fault.New(fault.Refused, "there is no place for the register's key").ToMend("set SOLANDER_REGISTER_KEY to a file that does not lie on the database server")
	}
	k, err := keyfile.Parse(body, passphrase)
	if err != nil {
		return "", err
	}
	var public string
	err = read(ctx, s, func(t *Record) (err error) {
		public, err = t.Verifier()
		return err
	})
	if err != nil {
		return "", err
	}
	if k.Verifier() != public {
		return "", fault.New(fault.Refused, "this is the key of another register, or one that was replaced").ToMend("choose the file that was exported last").In("file")
	}
	if !keyfile.Sealed(body) {
		if body, err = keyfile.Body(k, sealing(place, "")); err != nil {
			return "", err
		}
	}
	return file, keyfile.Write(file, body, true)
}

// Reseal gives the key another passphrase; to "" seals it to the file of this user, where there is a place for one, and else leaves it open. Faults: as Signer.
func Reseal(ctx context.Context, s *studio.Studio, from, to string) error {
	k, err := Signer(ctx, s, from)
	if err != nil {
		return err
	}
	place := s.Store.RegisterKey()
	body, err := keyfile.Body(k, cmp.Or(to, keyfile.MakeOpener(place.User)))
	if err != nil {
		return err
	}
	return keyfile.Write(place.File, body, false)
}

// RingThere reports whether this computer may have a keyring that could open the key; it is not asked yet.
func RingThere(s *studio.Studio) bool {
	ring := s.Store.RegisterKey().Ring
	return ring != nil && ring.There()
}

// ToKeyring seals the key to what this computer's keyring keeps, in place of a passphrase or a file. Faults: as Signer; Refused when no keyring answers.
func ToKeyring(ctx context.Context, s *studio.Studio, passphrase string) error {
	place := s.Store.RegisterKey()
	if place.Ring == nil {
		return fault.New(fault.Refused, "this program was started without a keyring").In("keyring").ToMend("lock the key by a passphrase, or by a file in your own settings")
	}
	k, err := Signer(ctx, s, passphrase)
	if err != nil {
		return err
	}
	secret, err := place.Ring.Make()
	if err != nil {
		return err
	}
	body, err := keyfile.Body(k, secret)
	if err != nil {
		return err
	}
	return keyfile.Write(place.File, body, false)
}

// Replace makes another key, to which the one before hands over: the log tells it, signed by both. A checkpoint by the new one follows.
// passphrase opens the key that is there, and seals the new one as well.
func Replace(ctx context.Context, s *studio.Studio, passphrase string) (sealog.Signed, error) {
	from, err := Signer(ctx, s, passphrase)
	if err != nil {
		return sealog.Signed{}, err
	}
	place := s.Store.RegisterKey()
	file, seals := place.File, sealing(place, passphrase)
	if body, _, err := keyfile.Read(file); err == nil && keyfile.OpensBy(body, keyfile.Opener(place.User)) {
		seals = keyfile.Opener(place.User) // it is without a passphrase, and stays so
	} else if err == nil && inRing(body, place) {
		if secret, err := place.Ring.Secret(); err == nil && keyfile.OpensBy(body, secret) {
			seals = secret
		}
	}
	var seed []byte
	if err := read(ctx, s, func(t *Record) (err error) { seed, err = t.Seed(); return err }); err != nil {
		return sealog.Signed{}, err
	}
	to, err := sealog.NewKey(from.Name(), seed)
	if err != nil {
		return sealog.Signed{}, err
	}
	body, err := keyfile.Body(to, seals)
	if err != nil {
		return sealog.Signed{}, err
	}
	if err := keyfile.Write(file+nextTail, body, false); err != nil { // it is there before the log tells of it
		return sealog.Signed{}, err
	}
	leaf, err := sealog.HandOver(from, to)
	if err != nil {
		return sealog.Signed{}, err
	}
	err = write(ctx, s, func(t *Record) error {
		log, err := t.Log()
		if err != nil {
			return err
		}
		public, err := t.keyOf(log)
		if err == nil && public != from.Verifier() {
			err = fault.New(fault.Taken, "the key was replaced meanwhile").ToMend("look at it again")
		}
		if err != nil {
			return err
		}
		_, err = t.AppendLeaf(leaf)
		return err
	})
	if err != nil {
		return sealog.Signed{}, err
	}
	if err := os.Rename(file+nextTail, file); err != nil {
		return sealog.Signed{}, err
	}
	return Sign(ctx, s, passphrase)
}

// Lost says that the key is lost: the log ends, and another one begins that carries its root, with a key of its own. What the old key signed
// still holds. Faults: Refused while the key is there.
func Lost(ctx context.Context, s *studio.Studio, why, passphrase string) (sealog.Signed, error) {
	if err := studio.ReasonGiven(why); err != nil {
		return sealog.Signed{}, err
	}
	place := s.Store.RegisterKey()
	file := place.File
	body, there, err := keyfile.Read(file)
	if err != nil {
		return sealog.Signed{}, err
	}
	if there {
		if k, err := unlock(body, place, passphrase); err == nil {
			var public string
			if err := read(ctx, s, func(t *Record) (err error) { public, err = t.Verifier(); return err }); err == nil && k.Verifier() == public {
				return sealog.Signed{}, fault.New(fault.Refused, "the key is not lost: it lies where it belongs").At("%s", file).ToMend("to have another one: solander register key replace")
			}
		}
		if err := keyfile.Aside(file); err != nil { // of another register, or sealed by words that nobody knows any more
			return sealog.Signed{}, err
		}
	}
	err = write(ctx, s, func(t *Record) error {
		if _, err := t.Log(); err != nil {
			return err
		}
		_, err := t.BeginLog(why)
		return err
	})
	if err != nil {
		return sealog.Signed{}, err
	}
	return Sign(ctx, s, passphrase)
}
