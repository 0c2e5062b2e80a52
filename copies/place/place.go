// Package place is where copies lie: a folder (of this machine, on a stick, or one that another program carries elsewhere), or a bucket of
// storage of the kind S3. A file stands there whole and read back, or not at all; what else lies there is left alone.
//
// In a folder a copy is written under another name (with .part behind it), waited for until the disk has it, read back, and only then
// gets its name. In a bucket it has its name when its last part came, by the storage's own rule; it is taken away again when it cannot
// be read back as it was sent.
package place

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"hash"
	"io"

	"solander/fault"
)

// Place is where copies lie.
type Place interface {
	// Where says it in words, without any secret.
	Where() string
	// Names are those of the files there, in no order.
	Names(ctx context.Context) ([]string, error)
	// Put writes a file that is not there yet, whole or not at all. Faults: Taken; Refused when there is no room, or the place went away.
	Put(ctx context.Context, name string, write func(io.Writer) error) (Put, error)
	// Open reads a file. Faults: Missing.
	Open(ctx context.Context, name string) (io.ReadCloser, error)
	// Drop takes a file away.
	Drop(ctx context.Context, name string) error
}

// Put is what was put.
type Put struct {
	Size   int64  `json:"size"`   // bytes
	SHA256 string `json:"sha256"` // of them, in hex
}

// summed counts and sums what goes through it.
type summed struct {
	to   io.Writer
	sum  hash.Hash
	size int64
}

func summing(to io.Writer) *summed { return &summed{to: to, sum: sha256.New()} }

func (s *summed) Write(p []byte) (int, error) {
	n, err := s.to.Write(p)
	s.sum.Write(p[:n])
	s.size += int64(n)
	return n, err
}

func (s *summed) put() Put { return Put{s.size, hex.EncodeToString(s.sum.Sum(nil))} }

// readBack compares what lies somewhere with what was written there.
func readBack(ctx context.Context, r io.Reader, want Put) error {
	s := summing(io.Discard)
	if _, err := io.Copy(s, upTo{ctx, r}); err != nil {
		return err
	}
	if s.put() != want {
		return errChanged
	}
	return nil
}

var errChanged = errors.New("what is read back is not what was written")

// upTo reads until a context ends.
type upTo struct {
	ctx context.Context
	io.Reader
}

func (u upTo) Read(p []byte) (int, error) {
	if err := u.ctx.Err(); err != nil {
		return 0, err
	}
	return u.Reader.Read(p)
}

// stays is what is said beside every failure to put a copy.
const stays = "earlier copies were not touched"

func failed(where string, err error, what, mend string) error {
	var f *fault.Error
	if errors.As(err, &f) {
		return err
	}
	return fault.New(fault.Refused, "%s", what).At("%s", where).ToMend("%s; "+stays, mend).Because(err)
}
