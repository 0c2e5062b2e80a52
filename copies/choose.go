package copies

import (
	"context"
	"path/filepath"
	"strings"

	"solander/copies/ages"
	"solander/copies/place"
	"solander/copies/sealed"
	"solander/fault"
	"solander/studio"
)

// ChooseIn says where copies go, and how many are kept.
type ChooseIn struct {
	To     string `json:"to"` // ToFolder or ToBucket
	Folder string `json:"folder,omitempty"`
	place.Storage
	Access string      `json:"-"` // to the storage; "" = as kept
	Secret string      `json:"-"`
	Open   bool        `json:"open,omitempty"` // not sealed
	Hour   int         `json:"hour"`
	Minute int         `json:"minute"`
	Keep   ages.Policy `json:"keep"`
}

// UsualHour is when copies are made unless she chose.
const UsualHour = 2

// Validate looks at the choice alone. Faults: Invalid, one a field.
func (in ChooseIn) Validate() error {
	var l fault.List
	switch in.To {
	case ToFolder:
		l.Check(filepath.IsAbs(in.Folder), "folder", "the folder is not given by its whole path", "begin it at the root or a drive")
	case ToBucket:
		l.Check(in.Bucket != "" && !strings.ContainsAny(in.Bucket, "/ "), "bucket", "the name of the bucket is missing or wrong", "give it as the storage has it")
		l.Check(!in.Open, "open", "copies that leave this computer for a storage are sealed", "let them be sealed")
		l.Check(len(in.Prefix) <= 200, "prefix", "the beginning of the names is too long", "use 200 letters at most")
	default:
		l.Add(fault.Invalidf("to", "copies go to a folder or to a bucket").ToMend("choose one"))
	}
	l.Check(in.Hour >= 0 && in.Hour <= 23, "hour", "there is no such hour", "use 0 to 23")
	l.Check(in.Minute >= 0 && in.Minute <= 59, "minute", "there is no such minute", "use 0 to 59")
	for field, n := range map[string]int{"keep.days": in.Keep.Days, "keep.weeks": in.Keep.Weeks, "keep.months": in.Keep.Months, "keep.years": max(in.Keep.Years, 0)} {
		l.Check(n >= 0 && n <= 1000, field, "so many copies cannot be kept", "use 0 to 1000")
	}
	return l.Err()
}

// Choose says where copies go from now on. The place is tried; a folder gets its note; a key is made when there is none.
// Faults: Invalid; Missing, Refused when the place cannot be used.
func (k *Keeper) Choose(ctx context.Context, st *studio.Studio, in ChooseIn) error {
	if err := in.Validate(); err != nil {
		return err
	}
	var mark string
	err := st.Write(ctx, func(t *studio.Turn) (err error) {
		mark, err = markedIn(t)
		return err
	})
	if err != nil {
		return err
	}
	public, err := k.prepared(mark, in)
	if err != nil {
		return err
	}
	p := Plan{To: in.To, Folder: in.Folder, Storage: in.Storage, Open: in.Open, Public: public, Hour: in.Hour, Minute: in.Minute, Keep: in.Keep}
	if in.To == ToBucket {
		p.Folder = ""
	} else {
		p.Storage = place.Storage{}
	}
	if err := k.tried(ctx, p, mark); err != nil {
		return err
	}
	return st.Store.Write(ctx, func(tx studio.Tx) error {
		was, _, err := read(tx)
		if err != nil {
			return err
		}
		p.Since = tx.Now()
		if was.To == p.To && was.Folder == p.Folder && was.Storage == p.Storage {
			p.Last, p.Drilled, p.Since = was.Last, was.Drilled, was.Since
		}
		return save(tx, p)
	})
}

func markedIn(t *studio.Turn) (string, error) { return marked(asked(t), chance) }

// asked is a transaction as this room sees it.
func asked(t *studio.Turn) Store { return t.Tx }

// prepared keeps what is secret, and returns the public half of the key.
func (k *Keeper) prepared(mark string, in ChooseIn) (public string, err error) {
	is, err := k.Keys.of(mark)
	if err != nil {
		return "", err
	}
	was := is
	is.Studio = mark
	if is.Key == "" {
		if is.Key, _, err = sealed.NewKey(); err != nil {
			return "", err
		}
	}
	if in.Access != "" && in.Secret != "" {
		is.Access, is.Secret = in.Access, in.Secret
	}
	if is != was {
		if err := k.Keys.keep(is); err != nil {
			return "", err
		}
	}
	return sealed.Public(is.Key)
}

// tried sees that a place can be used.
func (k *Keeper) tried(ctx context.Context, p Plan, mark string) error {
	at, err := k.place(p, mark)
	if err != nil {
		return err
	}
	if f, ok := at.(*place.Folder); ok {
		if err := f.Claim(); err != nil {
			return err
		}
	}
	_, err = at.Names(ctx)
	return err
}

// Stop makes no copies by themselves from now on. Those that lie somewhere stay there.
func (k *Keeper) Stop(ctx context.Context, st *studio.Studio) error {
	return st.Store.Write(ctx, func(tx studio.Tx) error {
		p, _, err := read(tx)
		if err != nil {
			return err
		}
		p.To = ""
		return save(tx, p)
	})
}

// KeyFile is the text of the file that opens her copies, to be kept apart from them. Faults: Missing.
func (k *Keeper) KeyFile(ctx context.Context, st *studio.Studio) (name, text string, err error) {
	_, mark, err := planOf(ctx, st)
	if err != nil {
		return "", "", err
	}
	is, err := k.Keys.of(mark)
	if err == nil && (is.Key == "" || mark == "") {
		err = fault.New(fault.Missing, "there is no key on this computer").ToMend("choose where copies go first")
	}
	return "solander-" + mark + "-key.txt", sealed.KeyFile(is.Key, mark), err
}
