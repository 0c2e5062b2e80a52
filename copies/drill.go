package copies

import (
	"bufio"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"solander/copies/ages"
	"solander/copies/sealed"
	"solander/fault"
	"solander/house"
	"solander/studio"
)

// Drill brings the newest copy of this studio back in a scratch place, and looks whether it is what was copied and sound. Faults: Refused
// when there is no copy, or it is another studio's; Invalid when it is damaged.
func (k *Keeper) Drill(ctx context.Context, st *studio.Studio) (Drilled, error) {
	p, mark, err := planOf(ctx, st)
	if err != nil {
		return Drilled{}, err
	}
	at, err := k.place(p, mark)
	if err != nil {
		return Drilled{}, err
	}
	names, err := at.Names(ctx)
	if err != nil {
		return Drilled{}, err
	}
	own, _ := ages.Of(mark, names)
	if len(own) == 0 {
		return Drilled{}, fault.New(fault.Refused, "there is no copy of this studio").At("%s", at.Where()).ToMend("make one first")
	}
	newest := own[0]
	want := ""
	if p.Last != nil && p.Last.Name == newest.Name {
		want = p.Last.SHA256
	}
	is, err := k.Keys.of(mark)
	if err != nil {
		return Drilled{}, err
	}
	open := func() (io.ReadCloser, error) { return at.Open(ctx, newest.Name) }
	found, err := k.prove(ctx, proof{open: open, key: is.Key, mark: mark, sum: want, where: newest.Name})
	if err != nil {
		return Drilled{}, err
	}
	d := Drilled{Name: newest.Name, At: st.Clock().UTC(), Of: newest.At, Found: found}
	return d, k.note(ctx, st, func(p *Plan) { p.Drilled = &d })
}

// proof is what a copy is held against.
type proof struct {
	open  func() (io.ReadCloser, error)
	key   string // that opens it; "" = it is not sealed
	mark  string // of the studio that it must be of
	sum   string // SHA-256 of the file, in hex; "" = not known
	where string
}

// prove brings a copy back in a scratch place: its file is the one that was written, its rows come back as they stand in it, they are this
// studio's, and the database that holds them is sound. It returns how many things the check finds in them, which came with them.
func (k *Keeper) prove(ctx context.Context, p proof) (found int, err error) {
	err = k.Scratch(ctx, func(scratch studio.Store, folder string) error {
		plain := filepath.Join(folder, "copy")
		if err := p.unpack(plain); err != nil {
			return err
		}
		copied, err := rowsIn(plain)
		if err != nil {
			return err
		}
		if err := fromFile(plain, func(r io.Reader) error { return scratch.Load(ctx, r) }); err != nil {
			return at(err, p.where)
		}
		back, err := rowsOf(ctx, scratch)
		if err != nil {
			return err
		}
		if back != copied {
			return fault.New(fault.Invalid, "what comes back of the copy is not what stands in it").At("%s", p.where).ToMend("make another copy, and hold a drill of it")
		}
		found, err = p.sound(ctx, scratch)
		return err
	})
	return found, err
}

// sound sees that what was brought back is this studio, in a database with nothing wrong, and counts what the check finds.
func (p proof) sound(ctx context.Context, scratch studio.Store) (found int, err error) {
	st := studio.New(scratch, studio.Options{})
	_, mark, err := planOf(ctx, st)
	if err != nil {
		return 0, err
	}
	if mark != p.mark {
		return 0, fault.New(fault.Refused, "the copy is called like one of this studio, and is another one's").At("%s", p.where).ToMend("take it away from there")
	}
	broken, err := scratch.Integrity(ctx)
	if err != nil {
		return 0, err
	}
	if len(broken) > 0 {
		return 0, fault.New(fault.Invalid, "the database that comes back is not sound: %s", broken[0]).At("%s", p.where).ToMend("make another copy; check the studio itself")
	}
	all, err := house.Check(ctx, st)
	return len(all), err
}

// unpack writes the copy as it is without its seal into a file, and compares what it was.
func (p proof) unpack(plain string) error {
	r, err := p.open()
	if err != nil {
		return err
	}
	defer r.Close()
	sum := sha256.New()
	file := io.TeeReader(r, sum)
	is, all, err := sealed.Is(file)
	if err != nil {
		return err
	}
	if is {
		if all, err = sealed.Open(all, p.key); err != nil {
			return at(err, p.where)
		}
	}
	w, err := os.OpenFile(plain, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(w, all)
	if err = errors.Join(err, w.Close()); err != nil {
		return at(err, p.where)
	}
	if _, err := io.Copy(io.Discard, file); err != nil {
		return err
	}
	if got := hex.EncodeToString(sum.Sum(nil)); p.sum != "" && got != p.sum {
		return fault.New(fault.Invalid, "the file of the copy is not the one that was written").At("%s", p.where).ToMend("make another copy; do not trust the place where this one lay")
	}
	return nil
}

// at says where a fault is, when it does not say so itself.
func at(err error, where string) error {
	var f *fault.Error
	if errors.As(err, &f) && f.Where == "" {
		return f.At("%s", where)
	}
	return err
}

func fromFile(path string, f func(io.Reader) error) error {
	r, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(f(r), r.Close())
}

// rowsIn is the SHA-256 of the lines of a copy but its first and last, which say when it was made and what its sum is.
func rowsIn(path string) (sum string, err error) {
	err = fromFile(path, func(r io.Reader) (err error) {
		sum, err = rowsFrom(r)
		return err
	})
	return sum, err
}

func rowsFrom(r io.Reader) (string, error) {
	zip, err := gzip.NewReader(bufio.NewReaderSize(r, 1<<16))
	if err != nil {
		return "", fault.New(fault.Invalid, "this is no copy of a studio").ToMend("choose a file that backup wrote").Because(err)
	}
	in, sum := bufio.NewReaderSize(zip, 1<<16), sha256.New()
	var last []byte
	for n := 0; ; n++ {
		line, err := in.ReadBytes('\n')
		if errors.Is(err, io.EOF) && len(line) == 0 {
			return fmt.Sprintf("%x", sum.Sum(nil)), nil
		}
		if err != nil {
			return "", fault.New(fault.Invalid, "the copy is damaged: it ends too early").ToMend("use another copy; nothing was changed").Because(err)
		}
		if n > 1 {
			sum.Write(last)
		}
		last = append(last[:0], line...)
	}
}

// rowsOf is the same of what a store holds now.
func rowsOf(ctx context.Context, s studio.Store) (string, error) {
	r, w := io.Pipe()
	done := make(chan error, 1)
	go func() {
		err := s.Dump(ctx, w)
		w.CloseWithError(err)
		done <- err
	}()
	sum, err := rowsFrom(r)
	r.CloseWithError(errors.Join(err, io.ErrClosedPipe))
	if dumped := <-done; dumped != nil {
		return "", dumped
	}
	return sum, err
}

// Bring fills an empty studio from a copy, sealed or not; key is what opens it. Faults: Refused when the studio is not empty; Invalid.
func Bring(ctx context.Context, st *studio.Studio, r io.Reader, key string) error {
	is, all, err := sealed.Is(r)
	if err != nil {
		return err
	}
	if is {
		if all, err = sealed.Open(all, key); err != nil {
			return err
		}
	}
	return house.Restore(ctx, st, all)
}
