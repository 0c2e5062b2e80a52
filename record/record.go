// Package record is the register as it is vouched for: the key, what is signed of the log by it, and what is published. The key lies in a
// file outside the database (record/keyfile); the log is the store's, and what its leaves and proofs mean is sealog's.
package record

import (
	"cmp"
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"time"

	"golang.org/x/mod/sumdb/note"

	"solander/edition"
	"solander/fault"
	"solander/record/keyfile"
	"solander/sealog"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	sealog.Store
	Works() ([]edition.Work, error)
	Editions() ([]edition.Edition, error)
	Counts() (map[int64]map[edition.State]int, error)
}

// Record is one transaction as this room sees it.
type Record struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Record { return &Record{t, t.Tx} }

var write, read = studio.Doors(In)

// keyOf is the public key that signs a log now; "" = none was made yet.
func (t *Record) keyOf(log sealog.Log) (string, error) {
	all, err := t.LeavesOf(sealog.KeyEvent, 0)
	if err != nil {
		return "", err
	}
	for i := len(all) - 1; i >= 0; i-- {
		if all[i].Log == log.ID {
			return all[i].Get("key"), nil
		}
	}
	return "", nil
}

// Verifier is the public key of the register, as a text that other programs take. Faults: Missing.
func (t *Record) Verifier() (string, error) {
	log, err := t.Log()
	if err != nil {
		return "", err
	}
	v, err := t.keyOf(log)
	if err == nil && v == "" {
		err = fault.New(fault.Missing, "the register has no key yet").ToMend("solander register checkpoint makes one")
	}
	return v, err
}

// Signer is the register's key, to sign with; it is made when there never was one. passphrase "" = the one that this program was given.
// Faults: Refused when it is locked, is not there or is of another register.
func Signer(ctx context.Context, s *studio.Studio, passphrase string) (sealog.Key, error) {
	place := s.Store.RegisterKey()
	file := place.File
	if file == "" {
		return sealog.Key{}, fault.New(fault.Refused, "there is no place for the register's key").ToMend("set SOLANDER_REGISTER_KEY to a file that does not lie on the database server")
	}
	var public string
	var log sealog.Log
	err := read(ctx, s, func(t *Record) (err error) {
		if log, err = t.Log(); err == nil {
			public, err = t.keyOf(log)
		}
		return err
	})
	if fault.Is(err, fault.Missing) {
		err = nil
	}
	if err != nil {
		return sealog.Key{}, err
	}
	body, there, err := keyfile.Read(file)
	switch {
	case err != nil:
		return sealog.Key{}, err
	case !there && public != "":
		return sealog.Key{}, gone(file)
	case !there:
		return first(ctx, s, place, passphrase)
	}
	k, err := unlock(body, place, passphrase)
	if err != nil {
		return k, at(err, file)
	}
	switch {
	case public == k.Verifier():
		return k, nil
	case public == "" && k.Name() == log.Origin: // its leaf was not written any more
		return k, enter(ctx, s, k)
	}
	if public == "" { // of a studio that stood here before
		if err := keyfile.Aside(file); err != nil {
			return sealog.Key{}, err
		}
		return first(ctx, s, place, passphrase)
	}
	if next, there, err := keyfile.Read(file + nextTail); err == nil && there { // a hand-over was cut short
		if n, err := unlock(next, place, passphrase); err == nil && n.Verifier() == public {
			return n, os.Rename(file+nextTail, file)
		}
	}
	return sealog.Key{}, fault.New(fault.Refused, "this is the key of another register, or one that was replaced").At("%s", file).
		ToMend("put the register's own key there; or, when it is lost: solander register key lost")
}

// unlock reads a key: by the file of this user, by the keyring, else by a passphrase, "" = the one that this program was given.
func unlock(body []byte, place sealog.KeyPlace, passphrase string) (sealog.Key, error) {
	if opener := keyfile.Opener(place.User); opener != "" && keyfile.Sealed(body) {
		if k, err := keyfile.Parse(body, opener); err == nil {
			return k, nil
		}
	}
	words := cmp.Or(passphrase, place.Passphrase)
	if !inRing(body, place) {
		return keyfile.Parse(body, words)
	}
	secret, err := place.Ring.Secret()
	if keyfile.OpensBy(body, secret) {
		return keyfile.Parse(body, secret)
	}
	if err != nil && words == "" {
		return sealog.Key{}, keyfile.Locked.Because(err).ToMend("%s", "give what opens it. Perhaps it is the keyring: "+fault.All(err)[0].What+"; "+fault.All(err)[0].Mend)
	}
	return keyfile.Parse(body, words)
}

// inRing reports whether a key may be one that the keyring opens: it is sealed to a key, and not by a passphrase.
func inRing(body []byte, place sealog.KeyPlace) bool {
	return place.Ring != nil && keyfile.Sealed(body) && !keyfile.ByPassphrase(body)
}

// sealing is by what a key is sealed: a passphrase, or the file of this user, which is made with it; "" = nothing, for there is no place for such a file.
func sealing(place sealog.KeyPlace, passphrase string) string {
	if words := cmp.Or(passphrase, place.Passphrase); words != "" {
		return words
	}
	return keyfile.MakeOpener(place.User)
}

// MakeKey makes the key of a new studio, sealed by a passphrase or, of "", to the file of this user. A studio that has its key, or no place for one, stays as it
// is. Faults: as Signer.
func MakeKey(ctx context.Context, s *studio.Studio, passphrase string) error {
	if s.Store.RegisterKey().File == "" {
		return nil
	}
	_, err := Signer(ctx, s, passphrase)
	return err
}

// nextTail is behind the name of a key that is about to take the place of the one before.
const nextTail = ".next"

func at(err error, file string) error {
	var f *fault.Error
	if errors.As(err, &f) && f.Where == "" {
		return f.At("%s", file)
	}
	return err
}

func gone(file string) *fault.Error {
	return fault.New(fault.Refused, "the register's key is not there").At("%s", file).
		ToMend("put it back, or take it from where it was exported to: solander register key load FILE; when it is lost for good: solander register key lost")
}

// first makes the first key of a log, which it begins when there is none.
func first(ctx context.Context, s *studio.Studio, place sealog.KeyPlace, passphrase string) (k sealog.Key, err error) {
	var seed []byte
	var log sealog.Log
	err = write(ctx, s, func(t *Record) (err error) {
		if log, err = t.Log(); fault.Is(err, fault.Missing) {
			log, err = t.BeginLog("")
		}
		if err == nil {
			seed, err = t.Seed()
		}
		return err
	})
	if err != nil {
		return k, err
	}
	if k, err = sealog.NewKey(log.Origin, seed); err != nil {
		return k, err
	}
	body, err := keyfile.Body(k, sealing(place, passphrase))
	if err != nil {
		return k, err
	}
	if err := keyfile.Write(place.File, body, true); err != nil {
		return k, err
	}
	return k, enter(ctx, s, k)
}

// Seed draws what a key is made of.
func (t *Record) Seed() ([]byte, error) {
	parts, err := t.NewSalts(sealog.SeedSize / sealog.SaltSize)
	if err != nil {
		return nil, err
	}
	var seed []byte
	for _, p := range parts {
		b, err := hex.DecodeString(p)
		if err != nil {
			return nil, err
		}
		seed = append(seed, b...)
	}
	return seed, nil
}

func enter(ctx context.Context, s *studio.Studio, k sealog.Key) error {
	return write(ctx, s, func(t *Record) error {
		_, err := t.AppendLeaf(sealog.KeyMade(k))
		return err
	})
}

// Sign signs how far the log has come, and keeps that: in the studio, and in a file beside it. passphrase as for Signer.
func Sign(ctx context.Context, s *studio.Studio, passphrase string) (sealog.Signed, error) {
	k, err := Signer(ctx, s, passphrase)
	if err != nil {
		return sealog.Signed{}, err
	}
	var out sealog.Signed
	err = write(ctx, s, func(t *Record) (err error) {
		out, err = t.Checkpoint(k)
		return err
	})
	if err != nil {
		return out, err
	}
	return out, Keep(s, out)
}

// Checkpoint signs how far the log has come within a transaction. When nothing was entered since the latest one, it is that one.
func (t *Record) Checkpoint(k sealog.Key) (sealog.Signed, error) {
	if err := t.sealRows(); err != nil {
		return sealog.Signed{}, err
	}
	log, err := t.Log()
	if err != nil {
		return sealog.Signed{}, err
	}
	all, err := t.Checkpoints(log.ID)
	if err != nil {
		return sealog.Signed{}, err
	}
	if n := len(all); n > 0 {
		if err := behind(t.Now, all[n-1]); err != nil {
			return sealog.Signed{}, err
		}
		if all[n-1].Size == log.Size {
			return all[n-1], nil
		}
	}
	body, err := k.Sign(log.Head().Text())
	if err != nil {
		return sealog.Signed{}, err
	}
	out := sealog.Signed{Log: log.ID, Size: log.Size, At: t.Now, Body: string(body)}
	out.ID, err = t.SaveCheckpoint(out)
	return out, err
}

// apart is how far the clocks of two machines at one studio may be apart; common practice, no source.
const apart = 5 * time.Minute

// behind is the fault of a clock that was set back: the register was signed at a time that it says is still to come. nil = it was not.
func behind(now time.Time, latest sealog.Signed) error {
	if !latest.At.After(now.Add(apart)) {
		return nil
	}
	return fault.New(fault.Refused, "this computer's clock says %s UTC, and the register was signed at %s UTC: it was set back, or was ahead then",
		now.UTC().Format(clockForm), latest.At.UTC().Format(clockForm)).ToMend("set date, time and time zone of this computer by the network. Nothing was signed")
}

const clockForm = "2 January 2006, 15:04"

// sealRows seals the rows beside the register, when there was no seal of them or something moved since.
func (t *Record) sealRows() error {
	day, since, err := t.Sealed()
	if err != nil || day != "" && since == 0 {
		return err
	}
	leaf, err := t.SealDay(t.Today.String())
	if err == nil {
		_, err = t.AppendLeaf(leaf)
	}
	return err
}

// Keep puts a checkpoint into the file beside the studio, by which an older copy in its place is known. Where there is no place for a file,
// none is kept.
func Keep(s *studio.Studio, c sealog.Signed) error {
	file := s.Store.CheckpointFile()
	if file == "" {
		return nil
	}
	return keyfile.Write(file, []byte(c.Body), false)
}

// State is how the register stands, as it is vouched for.
type State struct {
	Log       sealog.Log     // of now
	Logs      int            // there were so many
	Verifier  string         // the public key; "" = there is none yet
	KeyFile   string         // where the key lies; "" = it has no place
	KeyThere  bool           // it is there
	Locked    bool           // it is sealed by a passphrase, to the file of another user, or to a keyring that is not open
	ByUser    bool           // it is sealed to the file of this user
	ByRing    bool           // it is sealed to what this user's keyring keeps
	Ring      bool           // this computer may have a keyring that could open it
	Latest    *sealog.Signed // the latest checkpoint; nil = none
	Unsigned  int64          // leaves since
	TakenUp   int64          // entries that are older than the log
	Rows      sealog.Vouched // how the rows beside it are vouched for
	Witnesses []sealog.Cosignature
}

// Stands reads how the register stands. Faults: Missing while nothing was entered.
func Stands(ctx context.Context, s *studio.Studio) (State, error) {
	var out State
	err := read(ctx, s, func(t *Record) (err error) {
		out, err = t.stands()
		return err
	})
	if err != nil {
		return out, err
	}
	if out.Rows, err = s.Store.Vouched(ctx); err != nil {
		return out, err
	}
	place := s.Store.RegisterKey()
	out.KeyFile, out.Ring = place.File, RingThere(s)
	if out.KeyFile != "" {
		var body []byte
		if body, out.KeyThere, err = keyfile.Read(out.KeyFile); err != nil {
			return out, err
		}
		out.ByUser = keyfile.OpensBy(body, keyfile.Opener(place.User))
		if !out.ByUser && inRing(body, place) {
			secret, _ := place.Ring.Secret() // one that does not answer opens nothing
			out.ByRing = keyfile.OpensBy(body, secret)
		}
		out.Locked = keyfile.Sealed(body) && !out.ByUser && !out.ByRing
	}
	return out, nil
}

func (t *Record) stands() (out State, err error) {
	if out.Log, err = t.Log(); err != nil {
		return out, err
	}
	logs, err := t.Logs()
	if err != nil {
		return out, err
	}
	out.Logs, out.Unsigned = len(logs), out.Log.Size
	if out.Verifier, err = t.keyOf(out.Log); err != nil {
		return out, err
	}
	all, err := t.Checkpoints(out.Log.ID)
	if err != nil {
		return out, err
	}
	if n := len(all); n > 0 {
		out.Latest, out.Unsigned = &all[n-1], out.Log.Size-all[n-1].Size
	}
	taken, err := t.LeavesOf(sealog.TakenUp, 0)
	if err == nil && len(taken) > 0 {
		_, err = fmt.Sscan(taken[0].Get("entries"), &out.TakenUp)
	}
	return out, err
}

// opened reads a signed checkpoint by a public key.
func opened(body []byte, verifier string, more ...note.Verifier) (sealog.Checkpoint, *note.Note, error) {
	v, err := sealog.NewVerifier(verifier)
	if err != nil {
		return sealog.Checkpoint{}, nil, err
	}
	return sealog.Open(body, append([]note.Verifier{v}, more...)...)
}
