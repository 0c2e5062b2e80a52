package movein

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"path"
	"strings"
	"time"

	"solander/dayplan"
	"solander/edition"
	"solander/fault"
	"solander/intake"
	"solander/intake/kept"
	"solander/order"
	"solander/studio"
)

// Bounds of files that wait.
const (
	MaxFile     = 24 << 20            // bytes of one
	mostWaiting = 40                  // files at a time
	keptFor     = 30 * 24 * time.Hour // then a file that waits is dropped
)

// ListOfPrices is the note of a file that holds an operator's list of prices, and no sales.
const ListOfPrices = "a list of prices"

// ArriveIn is a file as it comes in.
type ArriveIn struct {
	Name    string
	Body    []byte
	Source  kept.Source // "": by hand
	Mapping *intake.Mapping
	Note    string
}

// Arrive keeps a file until it is brought in. The same bytes from the same source are kept once: the file that
// waits already is answered. Files whose time is over are dropped along the way.
// Faults: Invalid without bytes; TooLarge; Refused when too many files wait.
func Arrive(ctx context.Context, s *studio.Studio, in ArriveIn) (kept.Arrival, error) {
	in.Name = fileName(in.Name)
	if in.Source == "" {
		in.Source = kept.FromDesk
	}
	if err := fileFits(in); err != nil {
		return kept.Arrival{}, err
	}
	var out kept.Arrival
	err := write(ctx, s, func(t *MoveIn) (err error) {
		out, err = t.arrive(in)
		return err
	})
	return out, err
}

func fileFits(in ArriveIn) error {
	switch {
	case len(in.Body) == 0:
		return fault.Invalidf("file", "there is nothing in the file").ToMend("choose another file, or paste its rows")
	case len(in.Body) > MaxFile:
		return fault.New(fault.TooLarge, "the file has more than %d MB", MaxFile>>20).In("file").ToMend("save the sheet with the sales alone, or save it as CSV in parts")
	}
	return order.Text("name", in.Name, 200, true)
}

// fileName is the last part of a path, in words that can be shown.
func fileName(name string) string {
	name = path.Base(strings.ReplaceAll(strings.ToValidUTF8(name, ""), `\`, "/"))
	name = strings.TrimSpace(strings.Map(func(r rune) rune {
		if edition.Unprintable(r) {
			return -1
		}
		return r
	}, name))
	if name == "" || name == "." || name == "/" {
		return "pasted rows"
	}
	if r := []rune(name); len(r) > 200 {
		return string(r[len(r)-200:])
	}
	return name
}

func (t *MoveIn) arrive(in ArriveIn) (kept.Arrival, error) {
	sum := sha256.Sum256(in.Body)
	a := kept.Arrival{
		Name: in.Name, Hash: hex.EncodeToString(sum[:]), Size: len(in.Body), Source: in.Source, Mapping: in.Mapping, Note: in.Note,
		At: t.Now, Until: t.Now.Add(keptFor), Who: t.Who,
	}
	all, err := t.Arrivals()
	if err != nil {
		return a, err
	}
	waiting := 0
	for _, old := range all {
		switch {
		case old.Until.Before(t.Now):
			if err := t.DropArrival(old.ID); err != nil {
				return a, err
			}
		case old.Hash == a.Hash && old.Source == a.Source:
			old.Note = firstText(a.Note, old.Note)
			return old, t.SaveArrival(old)
		default:
			waiting++
		}
	}
	if waiting >= mostWaiting {
		return a, fault.New(fault.Refused, "%d files wait already", waiting).In("file").ToMend("bring them in, or drop some")
	}
	a.ID, err = t.AddArrival(a, in.Body)
	return a, err
}

func firstText(texts ...string) string {
	for _, x := range texts {
		if x != "" {
			return x
		}
	}
	return ""
}

// Arrivals lists the files that wait, newest first.
func Arrivals(ctx context.Context, s *studio.Studio) ([]kept.Arrival, error) {
	out := []kept.Arrival{}
	err := read(ctx, s, func(t *MoveIn) error {
		all, err := t.Arrivals()
		if err != nil {
			return err
		}
		for _, a := range all {
			if !a.Until.Before(t.Now) {
				out = append(out, a)
			}
		}
		return nil
	})
	return out, err
}

// Arrival reads a file that waits, with its bytes. Faults: Missing.
func Arrival(ctx context.Context, s *studio.Studio, id int64) (kept.Arrival, []byte, error) {
	var a kept.Arrival
	var body []byte
	err := read(ctx, s, func(t *MoveIn) (err error) {
		if a, err = t.Arrival(id); err != nil {
			return err
		}
		if a.Until.Before(t.Now) {
			return fault.New(fault.Missing, "this file is no longer kept").ToMend("give it again")
		}
		body, err = t.ArrivalBody(id)
		return err
	})
	return a, body, err
}

// Decide keeps how a file that waits is to be read; what she answered so far stays where the question is the same.
// Faults: Invalid, Missing.
func Decide(ctx context.Context, s *studio.Studio, id int64, m intake.Mapping) error {
	if err := m.Validate(); err != nil {
		return err
	}
	return write(ctx, s, func(t *MoveIn) error {
		a, err := t.Arrival(id)
		if err != nil {
			return err
		}
		a.Mapping = &m
		return t.SaveArrival(a)
	})
}

// mostAnswers bounds what can be said of a file.
const mostAnswers = 200_000

// Answer keeps what she said of a file that waits, beside what she said before; "" takes an answer back.
// Faults: Invalid, Missing, TooLarge.
func Answer(ctx context.Context, s *studio.Studio, id int64, answers intake.Answers) error {
	for key, v := range answers {
		if err := order.Text("answer", v, 500, false); err != nil {
			return err
		}
		if err := order.Text("answer", key, 300, true); err != nil {
			return err
		}
	}
	return write(ctx, s, func(t *MoveIn) error {
		a, err := t.Arrival(id)
		if err != nil {
			return err
		}
		if a.Answers == nil {
			a.Answers = intake.Answers{}
		}
		for key, v := range answers {
			if v == "" {
				delete(a.Answers, key)
				continue
			}
			a.Answers[key] = v
		}
		if len(a.Answers) > mostAnswers {
			return fault.New(fault.TooLarge, "%d answers are too many", len(a.Answers)).ToMend("bring the file in by parts")
		}
		return t.SaveArrival(a)
	})
}

// DropArrival forgets a file that waits. Faults: Missing.
func DropArrival(ctx context.Context, s *studio.Studio, id int64) error {
	return write(ctx, s, func(t *MoveIn) error { return t.DropArrival(id) })
}

// ReadFile reads the bytes of a file into a table; nothing is kept. Faults: Invalid, Refused, TooLarge.
func ReadFile(_ context.Context, s *studio.Studio, name string, body []byte, tell dayplan.Tell) (intake.Table, error) {
	if s.Files == nil {
		return intake.Table{}, fault.New(fault.Refused, "no files are read here")
	}
	if err := fileFits(ArriveIn{Name: fileName(name), Body: body}); err != nil {
		return intake.Table{}, err
	}
	return s.Files(fileName(name), body, tell)
}
