package movein

import (
	"context"
	"strings"

	"solander/fault"
	"solander/intake"
	"solander/intake/guess"
	"solander/intake/kept"
	"solander/studio"
)

// DropIn is a file of a watched folder, to be brought in by a saved mapping without anybody looking.
type DropIn struct {
	Name    string
	Body    []byte
	Mapping string // its name
}

// Dropped is what became of such a file.
type Dropped struct {
	TakenIn
	Aside   bool       `json:"aside"` // it waits for her; nothing was made of it
	Why     error      `json:"-"`
	Trial   *FileTrial `json:"trial,omitempty"` // of a file left aside that could be read
	Arrival int64      `json:"arrival,omitempty"`
}

// DropFile brings a file in when nothing in it is left to look at: by the same use case as by hand, all of it or nothing.
// Otherwise it is kept among the files that wait, with the reason, and nothing is made of it. No answer is made up: an edition that is
// not declared yet, a colour without a meaning or a number that is held leaves the whole file aside. What notes seem to say is not
// taken. The same file again changes nothing.
// An error means that it could not be tried; the same call may succeed later.
func DropFile(ctx context.Context, s *studio.Studio, in DropIn) (Dropped, error) {
	table, m, err := readByName(ctx, s, in)
	if err != nil {
		return leaveAside(ctx, s, in, nil, nil, err)
	}
	what := FileTrialIn{Table: table, Mapping: m}
	got, err := TakeIn(ctx, s, TakeInIn{FileTrialIn: what, Whole: true}, nil)
	if err == nil {
		return Dropped{TakenIn: got}, nil
	}
	tr, e := TryFile(ctx, s, what, nil)
	if e != nil {
		return leaveAside(ctx, s, in, &m, nil, err)
	}
	return leaveAside(ctx, s, in, &m, &tr, err)
}

// readByName reads the file and fits the saved mapping to it.
func readByName(ctx context.Context, s *studio.Studio, in DropIn) (intake.Table, intake.Mapping, error) {
	m, err := Mapping(ctx, s, in.Mapping)
	if err != nil {
		return intake.Table{}, m, err
	}
	t, err := ReadFile(ctx, s, in.Name, in.Body, nil)
	if err != nil {
		return t, m, err
	}
	fits := guess.Offer(t, []intake.Mapping{m})
	if len(fits) == 0 || !fits[0].Whole {
		return t, m, fault.New(fault.Invalid, "the reading %s does not fit: not all of its headings are there", fault.Clip(m.Name)).At("%s", in.Name).ToMend("say anew what stands where")
	}
	if fresh := fits[0].New; len(fresh) > 0 {
		return t, m, fault.New(fault.Refused, "the reading %s does not know %s: %s", fault.Clip(m.Name), fault.Count(len(fresh), "column"), fault.Clip(strings.Join(fresh, ", "))).At("%s", in.Name).
			ToMend("open the file under Orders, Bring in a file, say what the columns are, and keep the reading")
	}
	return t, fits[0].Mapping, nil
}

// leaveAside keeps a file with the reason. What may work on a second try, and our own failures, stay errors.
func leaveAside(ctx context.Context, s *studio.Studio, in DropIn, m *intake.Mapping, tr *FileTrial, why error) (Dropped, error) {
	if ctx.Err() != nil {
		return Dropped{}, ctx.Err()
	}
	for _, f := range fault.All(why) {
		if f.Code == fault.Busy || f.Code == fault.Internal {
			return Dropped{}, why
		}
	}
	out := Dropped{Aside: true, Why: why, Trial: tr}
	if len(in.Body) > MaxFile || len(in.Body) == 0 {
		return out, nil // there is nothing to keep, or too much
	}
	a, err := Arrive(ctx, s, ArriveIn{Name: in.Name, Body: in.Body, Source: kept.FromFolder, Mapping: m, Note: "left aside: " + fault.All(why)[0].What})
	out.Arrival = a.ID
	return out, err
}
