package store

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"strings"

	"solander/fault"
	"solander/sealog"
	"solander/studio"
)

// checkpointFile is where the newest checkpoint lies: beside the register's key.
func checkpointFile(key string) string {
	if key == "" {
		return ""
	}
	return strings.TrimSuffix(key, "-key") + "-checkpoint"
}

// vouched refuses a store that is not as far as the checkpoint beside it says: an older copy was put in its place, or another studio.
// Its signature is looked at by the check; here it counts that the log holds it.
// Faults: Refused.
func (s *store) vouched(ctx context.Context) error {
	what, err := s.behind(ctx)
	if err != nil || what == "" {
		return err
	}
	return s.older(what)
}

func (s *store) older(what string) *fault.Error {
	return fault.New(fault.Refused, "%s", what).At("%s", s.CheckpointFile()).ToMend(
		"nothing was changed. Put the newest copy of the studio there; or, only if you want the older one as it is, and know that numbers given since may be given again: " +
						"move that file away, open the studio again, and say so in the register: solander register restored --reason TEXT").
		Because(studio.ErrDamaged) // a check tells it as what it found
}

// behind says in what the store is behind the checkpoint beside it; "" = it is not.
func (s *store) behind(ctx context.Context) (what string, err error) {
	file := s.CheckpointFile()
	if file == "" {
		return "", nil
	}
	body, err := os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	if err != nil {
		return "the checkpoint beside the studio cannot be read", nil
	}
	text, _, _ := strings.Cut(string(body), "\n\n")
	c, err := sealog.ParseCheckpoint(text + "\n")
	if err != nil {
		return "the checkpoint beside the studio is damaged", nil
	}
	err = s.read(ctx, func(t *tx) (err error) {
		_, what, err = t.Behind(c)
		return err
	})
	return what, err
}

// takeLeave puts the checkpoint of another studio, which stood here before, out of the way of the one that was made on purpose. Of this one
// nothing older than its checkpoint is made here. Faults: Refused.
func (s *store) takeLeave(ctx context.Context) error {
	file := s.CheckpointFile()
	body, err := os.ReadFile(file)
	if file == "" || err != nil {
		return nil // there is none, or opening the studio will tell
	}
	text, _, _ := strings.Cut(string(body), "\n\n")
	c, err := sealog.ParseCheckpoint(text + "\n")
	if err != nil {
		return nil
	}
	known, what := true, ""
	err = s.read(ctx, func(t *tx) (err error) {
		known, what, err = t.Behind(c)
		return err
	})
	switch {
	case err != nil:
		return err
	case !known:
		return os.Rename(file, file+".before")
	case what != "":
		return s.older(what)
	}
	return nil
}
