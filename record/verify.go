package record

import (
	"bytes"
	"context"
	"os"

	"golang.org/x/mod/sumdb/note"

	"solander/fault"
	"solander/sealog"
	"solander/studio"
)

// Proven is what came of a look through the register.
type Proven struct {
	Leaves    int64
	Logs      int
	Found     []string // one sentence a finding; none = all holds
	Against   *sealog.Checkpoint
	Witnesses []sealog.Cosignature // of the checkpoint that was given
	Unseen    string               // what could not be shown, in one sentence; "" = nothing
}

// Verify looks through the whole register: every leaf, the tree, what was signed, the checkpoint beside the studio, and one that was given,
// printed or mailed; nil = none was. witnesses are public keys of those who co-signed it.
func Verify(ctx context.Context, s *studio.Studio, given []byte, witnesses []string) (Proven, error) {
	var out Proven
	var by []note.Verifier
	for _, text := range witnesses {
		v, err := sealog.NewVerifier(text)
		if err != nil {
			return out, fault.InField(err, "witness")
		}
		by = append(by, v)
	}
	vouched, err := s.Store.Vouched(ctx)
	if err != nil {
		return out, err
	}
	out.Unseen = vouched.Says()
	err = read(ctx, s, func(t *Record) error {
		logs, err := t.Logs()
		if err != nil {
			return err
		}
		for _, l := range logs {
			out.Leaves += l.Size
			all, err := t.Checkpoints(l.ID)
			if err != nil {
				return err
			}
			if n := len(all); n > 0 {
				if err := behind(t.Now, all[n-1]); err != nil {
					out.Found = append(out.Found, fault.All(err)[0].What)
				}
			}
		}
		out.Logs = len(logs)
		log, err := t.VerifyLog()
		if err != nil {
			return err
		}
		out.Found = append(out.Found, log...)
		rows, err := t.VerifyRows()
		if err != nil {
			return err
		}
		out.Found = append(out.Found, rows...)
		if file := s.Store.CheckpointFile(); file != "" {
			if body, err := os.ReadFile(file); err == nil {
				if _, err := t.holds(logs, body, nil, nil); err != nil {
					out.Found = append(out.Found, "the checkpoint beside the studio: "+fault.All(err)[0].What)
				}
			}
		}
		if given == nil {
			return nil
		}
		c, err := t.holds(logs, asSigned(given), by, &out.Witnesses)
		if err != nil {
			out.Found = append(out.Found, "the checkpoint that was given: "+fault.All(err)[0].What)
			return nil
		}
		out.Against = &c
		return nil
	})
	return out, err
}

// asSigned is a checkpoint that came by a code, a mail or another system: its lines end as they were signed.
func asSigned(given []byte) []byte {
	text := bytes.TrimRight(bytes.ReplaceAll(given, []byte("\r\n"), []byte("\n")), "\n \t")
	return append(bytes.TrimLeft(text, "\n \t\uFEFF"), '\n')
}

// holds looks whether the logs hold a signed checkpoint: it may have been signed by any key that its log had.
func (t *Record) holds(logs []sealog.Log, signed []byte, witnesses []note.Verifier, seen *[]sealog.Cosignature) (sealog.Checkpoint, error) {
	keys, err := t.LeavesOf(sealog.KeyEvent, 0)
	if err != nil {
		return sealog.Checkpoint{}, err
	}
	var last error
	for i := len(keys) - 1; i >= 0; i-- {
		c, n, err := opened(signed, keys[i].Get("key"), witnesses...)
		if err != nil {
			last = err
			continue
		}
		if seen != nil {
			*seen = sealog.Cosignatures(n, witnesses...)
		}
		return c, t.holdsRoot(logs, c)
	}
	if last == nil {
		last = fault.New(fault.Missing, "the register has no key yet")
	}
	return sealog.Checkpoint{}, last
}

func (t *Record) holdsRoot(logs []sealog.Log, c sealog.Checkpoint) error {
	for _, l := range logs {
		if l.Origin != c.Origin {
			continue
		}
		if c.Size > l.Size {
			return fault.New(fault.Invalid, "it is of %d leaves, and the register has %d: this is an older copy of the studio", c.Size, l.Size)
		}
		root, err := t.RootAt(l.ID, c.Size)
		if err == nil && root != c.Root {
			err = fault.New(fault.Invalid, "the first %d leaves of the register are not those that were signed", c.Size)
		}
		return err
	}
	return fault.New(fault.Invalid, "it is of another register")
}

// Restored says that an older copy was put in place on purpose: the log tells it from here on.
func Restored(ctx context.Context, s *studio.Studio, why, passphrase string) (sealog.Signed, error) {
	if err := studio.ReasonGiven(why); err != nil {
		return sealog.Signed{}, err
	}
	if _, err := Signer(ctx, s, passphrase); err != nil { // before anything is written
		return sealog.Signed{}, err
	}
	if err := write(ctx, s, func(t *Record) error { return t.said(sealog.Restored, why) }); err != nil {
		return sealog.Signed{}, err
	}
	return Sign(ctx, s, passphrase)
}

// said adds a leaf that commits to a reason, and the reason to the bench's journal.
func (t *Record) said(kind sealog.Kind, why string) error {
	salts, err := t.NewSalts(1)
	if err != nil {
		return err
	}
	_, err = t.AppendLeaf(sealog.Leaf{Kind: kind, Salts: salts, Facts: []sealog.Fact{{Name: "day", Value: t.Today.String()}, {Name: "why", Value: sealog.Commit(salts[0], sealog.Fact{Name: "why", Value: why})}}})
	if err != nil {
		return err
	}
	words, _ := sealog.SaidWhy(kind)
	return t.Note(0, "%s", words+why)
}

// Vouch takes the rows beside the register on as they stand, by their key or by a new one when it is lost: what was changed before is not told any more. The log
// and the bench's journal say so. Faults: Refused where the key has no place.
func Vouch(ctx context.Context, s *studio.Studio, why string) error {
	if err := studio.ReasonGiven(why); err != nil {
		return err
	}
	return s.Store.VouchRows(ctx, func(tx studio.Tx) error {
		t, err := s.Turn(ctx, tx)
		if err != nil {
			return err
		}
		return In(t).said(sealog.TakenOn, why)
	})
}
