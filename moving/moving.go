// Package moving carries a whole studio from one store to another, of whatever engine, and proves by digests that what stands there is what
// stood here. It reads and writes by the copies of docs/formats/backup.md alone, and changes nothing at the old place.
package moving

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"

	"solander/fault"
	"solander/studio"
)

// Digest is what a studio comes to: a digest of every row of its tables.
type Digest struct {
	Tables int    `json:"tables"`
	Rows   int64  `json:"rows"`
	SHA256 string `json:"sha256"` // in hex, of the lines of a copy between its first and its last
}

// Move fills an empty store with what stands in another one. It stands there whole or not at all, also when the program is killed: it is one
// transaction. Whatever is written into the old place meanwhile ends it. Faults: those of Store.Dump and Store.Load, Refused when the new
// place is not empty, or when something was written meanwhile, or when what stands there is not what was sent.
func Move(ctx context.Context, from, to studio.Store) (Digest, error) {
	was, err := writes(ctx, from)
	if err != nil {
		return Digest{}, err
	}
	out, in := io.Pipe()
	type outcome struct {
		digest Digest
		err    error
	}
	told := make(chan outcome, 1)
	go func() {
		d := newDigest()
		err := from.Dump(ctx, io.MultiWriter(in, d))
		digest, broke := d.end()
		if err = errors.Join(err, broke); err == nil {
			err = unwritten(ctx, from, was)
		}
		in.CloseWithError(err) // the other end sees its end only when all is well: then it commits
		told <- outcome{digest, err}
	}()
	err = to.Load(ctx, out)
	out.CloseWithError(errors.Join(errNoReader, err))
	sent := <-told
	switch {
	case sent.err != nil && !errors.Is(sent.err, errNoReader):
		return Digest{}, sent.err
	case err != nil:
		return Digest{}, err
	}
	stands, err := DigestOf(ctx, to)
	if err == nil && stands != sent.digest {
		err = fault.New(fault.Refused, "what stands at the new place is not what was sent (%d rows of %d tables, %d of %d were sent)", stands.Rows, stands.Tables, sent.digest.Rows, sent.digest.Tables).
			ToMend("do not use the new place; the old one is as it was")
	}
	return stands, err
}

var errNoReader = errors.New("nobody takes the copy any more")

func writes(ctx context.Context, st studio.Store) (n int64, err error) {
	err = st.Read(ctx, func(tx studio.Tx) error {
		n, err = tx.Writes()
		return err
	})
	return n, err
}

// unwritten refuses when something was written since.
func unwritten(ctx context.Context, st studio.Store, was int64) error {
	now, err := writes(ctx, st)
	if err == nil && now != was {
		err = fault.New(fault.Refused, "the old place was written to meanwhile").ToMend("close every program that has it open, and do it again; nothing was changed")
	}
	return err
}

// DigestOf reads what a store comes to. Two stores of one digest hold the same rows, whatever engines they are.
func DigestOf(ctx context.Context, st studio.Store) (Digest, error) {
	d := newDigest()
	err := st.Dump(ctx, d)
	digest, broke := d.end()
	return digest, errors.Join(err, broke)
}

// digest reads a copy as it is written.
type digest struct {
	in    *io.PipeWriter
	ended chan error
	sum   hash.Hash
	out   Digest
}

func newDigest() *digest {
	r, w := io.Pipe()
	d := &digest{in: w, ended: make(chan error, 1), sum: sha256.New()}
	go func() {
		err := d.read(r)
		r.CloseWithError(err)
		d.ended <- err
	}()
	return d
}

func (d *digest) Write(b []byte) (int, error) { return d.in.Write(b) }

func (d *digest) end() (Digest, error) {
	d.in.Close()
	err := <-d.ended
	d.out.SHA256 = hex.EncodeToString(d.sum.Sum(nil))
	return d.out, err
}

// read takes the lines of tables and rows. The first one says when the copy was made, and the last one follows from the others.
func (d *digest) read(r io.Reader) error {
	zip, err := gzip.NewReader(r)
	if err != nil {
		return err
	}
	lines := bufio.NewReaderSize(zip, 1<<16)
	for first := true; ; first = false {
		line, err := lines.ReadBytes('\n')
		if err != nil {
			return fmt.Errorf("the copy ends too early: %w", err)
		}
		switch {
		case first:
		case line[0] == '[':
			d.out.Rows++
			d.sum.Write(line)
		case bytes.HasPrefix(line, []byte(`{"table":`)):
			d.out.Tables++
			d.sum.Write(line)
		default:
			return d.last(line, lines)
		}
	}
}

// last sees that the copy says itself how many rows it has, and that nothing follows.
func (d *digest) last(line []byte, rest io.Reader) error {
	var end struct{ Rows map[string]int64 }
	err := json.Unmarshal(line, &end)
	rows := int64(0)
	for _, n := range end.Rows {
		rows += n
	}
	if n, more := io.Copy(io.Discard, rest); err == nil && (more != nil || n != 0 || rows != d.out.Rows || len(end.Rows) != d.out.Tables) {
		err = fmt.Errorf("the copy says %d rows of %d tables and holds %d of %d; %w", rows, len(end.Rows), d.out.Rows, d.out.Tables, more)
	}
	return err
}
