package movein

import (
	"context"
	"maps"
	"slices"

	"solander/dayplan"
	"solander/edition"
	"solander/fault"
	"solander/intake"
	"solander/intake/kept"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
)

// TakeInIn brings a file in.
type TakeInIn struct {
	FileTrialIn
	Seen    string // FileTrial.Seen of what she looked at; "" = whatever it is now
	Whole   bool   // only when nothing is left to look at: see FileTrial.Free
	Arrival int64  // the file that waits and is no longer needed afterwards; 0 = none
}

// TakenIn is what bringing a file in did.
type TakenIn struct {
	Intake *kept.Intake `json:"intake"` // nil: nothing was new, and nothing was changed
	Known  int          `json:"known"`  // orders that were in the book already
	Asked  int          `json:"asked"`  // orders that wait for an answer or a mend
}

// TakeIn brings a file in, in one transaction: the trial is made again on what the studio is now, and every order of
// it that is ready is made, with its outlet, buyer, edition, number, payments and the row itself. The same file again
// changes nothing: rows and orders that are known are left alone. What already left the house is entered in the register
// on the days of the file, without parcels; sheets in the drawer are not touched, but for prints that came back.
// Faults: Invalid when the mapping does not fit; Refused when what would be made has changed since it was looked at, or
// with Whole when something is left to look at. What one order of it would be refused for, the trial has told.
func TakeIn(ctx context.Context, s *studio.Studio, in TakeInIn, tell dayplan.Tell) (TakenIn, error) {
	var out TakenIn
	err := write(ctx, s, func(t *MoveIn) (err error) {
		out, err = t.takeIn(in, tell)
		return err
	})
	return out, err
}

func (t *MoveIn) takeIn(in TakeInIn, tell dayplan.Tell) (TakenIn, error) {
	tr, c, err := t.trial(in.FileTrialIn, nil)
	if err != nil {
		return TakenIn{}, err
	}
	out := TakenIn{Known: tr.Counts.Known, Asked: tr.Counts.Asked}
	switch {
	case in.Whole && !tr.Free():
		return out, fault.New(fault.Refused, "%s in the file must be looked at first", fault.Count(tr.Counts.Asked+tr.Counts.Problems, "thing")).At("%s", tr.Name).ToMend("look at the trial")
	case tr.Counts.Ready == 0:
		return out, t.doneWith(in.Arrival, out)
	case in.Seen != "" && in.Seen != tr.Seen:
		return out, fault.New(fault.Refused, "what the file would make has changed since you looked at it").At("%s", tr.Name).ToMend("look at the trial again")
	}
	b := newBringing(t, c, tell)
	if err := b.all(); err != nil {
		return out, err
	}
	if out.Intake, err = b.keep(in.Mapping.Name); err != nil {
		return out, err
	}
	var said register.Declared
	for _, id := range b.made.Editions {
		e, err := t.EditionOf(id)
		if err != nil {
			return out, err
		}
		said.Declared = append(said.Declared, register.LimitsOf(e))
	}
	if _, err := t.Journal(studio.MarkOther, 0, said, "%s brought in from %s", fault.Count(b.made.Orders, "order"), tr.Name); err != nil {
		return out, err
	}
	return out, t.doneWith(in.Arrival, out)
}

// doneWith forgets a file that waited, unless something in it still waits for her.
func (t *MoveIn) doneWith(arrival int64, out TakenIn) error {
	if arrival == 0 || out.Asked > 0 {
		return nil
	}
	err := t.DropArrival(arrival)
	if fault.Is(err, fault.Missing) {
		return nil // another hand was quicker
	}
	return err
}

// bringing is a file on its way into the book. What the report names by place stands here with its id.
type bringing struct {
	*MoveIn
	trial    *FileTrial
	composer *composer
	tell     dayplan.Tell
	made     kept.Made
	outletID []int64
	buyerID  []int64
	ed       []edition.Edition
	orderID  []int64       // by proposal
	back     map[int64]int // sheets that came back, by edition
	waiting  waiting
}

func newBringing(t *MoveIn, c *composer, tell dayplan.Tell) *bringing {
	tr := c.trial
	return &bringing{
		MoveIn: t, trial: tr, composer: c, tell: tell, outletID: make([]int64, len(tr.Outlets)), buyerID: make([]int64, len(tr.Buyers)),
		ed: make([]edition.Edition, len(tr.Editions)), orderID: make([]int64, len(tr.Proposals)), back: map[int64]int{},
	}
}

func (b *bringing) all() error {
	for _, step := range []func() error{b.editions, b.orders, b.sheetsBack} {
		if err := step(); err != nil {
			return err
		}
	}
	return nil
}

// editions declares what is not known, work and edition, and reads what is.
func (b *bringing) editions() error {
	declared := map[int]Declaration{}
	for _, d := range b.trial.Declarations {
		declared[d.Place] = d
	}
	used := b.used()
	works := map[string]int64{}
	all, err := b.Editions()
	if err != nil {
		return err
	}
	for i, e := range b.trial.Editions {
		var err error
		switch {
		case !used[i]:
			continue
		case e.ID != 0:
			b.ed[i], err = b.EditionOf(e.ID)
		default:
			b.ed[i], err = b.declareNew(declared[i].Edition, all, works)
			all = append(all, b.ed[i])
		}
		if err != nil {
			return fault.Placed(err, e.Title)
		}
	}
	return nil
}

// used tells which editions the orders that are ready need.
func (b *bringing) used() map[int]bool {
	out := map[int]bool{}
	for _, p := range b.trial.Proposals {
		if p.Status != intake.Ready {
			continue
		}
		for _, l := range p.Lines {
			out[l.Edition] = true
		}
	}
	return out
}

func (b *bringing) declareNew(e edition.Edition, all []edition.Edition, works map[string]int64) (edition.Edition, error) {
	title := intake.Fold(e.Title)
	if e.Work == 0 {
		e.Work = works[title]
	}
	if e.Work == 0 {
		w := edition.Work{Title: e.Title}
		if err := w.Validate(); err != nil {
			return e, err
		}
		id, err := b.SaveWork(w)
		if err != nil {
			return e, err
		}
		e.Work = id
		b.made.Works = append(b.made.Works, id)
	}
	works[title] = e.Work
	e, err := b.declareQuietly(e, all)
	b.made.Editions = append(b.made.Editions, e.ID)
	return e, err
}

// declareQuietly declares an edition beside all there are; the file's own mark tells of it.
func (t *MoveIn) declareQuietly(e edition.Edition, all []edition.Edition) (edition.Edition, error) {
	if err := e.Validate(); err != nil {
		return e, err
	}
	e.Declared = t.Today
	e, err := register.In(t.Turn).Priced(e)
	if err != nil {
		return e, err
	}
	if err := register.In(t.Turn).OnlyOneOf(all, e); err != nil {
		return e, err
	}
	e.ID, err = t.Declare(e)
	return e, err
}

// orders writes every order that is ready, as the trial composed it.
func (b *bringing) orders() error {
	var changed error
	done := 0
	err := b.composer.compose(func(x composed) error {
		if err := b.order(x); err != nil {
			return err
		}
		if done++; b.tell != nil && done%50 == 0 {
			b.tell(done, b.trial.Counts.Ready)
		}
		return nil
	}, func(place int, why []refusal) {
		if p := &b.trial.Proposals[place]; p.Status == intake.Ready && changed == nil {
			changed = b.blame(why[0].why, p) // what was ready a moment ago: a mistake of ours, and nothing may be left out silently
		}
	})
	if err == nil {
		err = b.write()
	}
	if err != nil {
		return err
	}
	return changed
}

// blame says of which row a fault is.
func (b *bringing) blame(err error, p *intake.Proposal) error {
	return fault.Placed(err, b.trial.Name+", "+rowWords(p.Rows[0]))
}

// outletOf returns the id of an outlet of the report, making it when it is new.
func (b *bringing) outletOf(place int) (int64, error) {
	u := b.trial.Outlets[place]
	if b.outletID[place] != 0 || u.ID != 0 {
		return max(b.outletID[place], u.ID), nil
	}
	id, err := b.SaveOutlet(newOutlet(u.Name))
	if err != nil {
		return 0, err
	}
	b.outletID[place] = id
	b.made.Outlets = append(b.made.Outlets, id)
	return id, nil
}

// buyerOf returns the id of a buyer of the report, making it when it is new.
func (b *bringing) buyerOf(place int) (int64, error) {
	n := b.trial.Buyers[place]
	if b.buyerID[place] != 0 || n.ID != 0 {
		return max(b.buyerID[place], n.ID), nil
	}
	fresh := n.Buyer
	fresh.ID = 0
	id, err := b.SaveBuyer(fresh)
	if err != nil {
		return 0, err
	}
	b.buyerID[place] = id
	b.made.Buyers = append(b.made.Buyers, id)
	return id, nil
}

// sheetsBack puts the prints that came back whole into the drawer.
func (b *bringing) sheetsBack() error {
	for _, id := range slices.Sorted(maps.Keys(b.back)) {
		e, err := b.EditionOf(id)
		if err != nil {
			return err
		}
		if err := stockroom.In(b.Turn).Sheets(e, b.back[id], supply.Why{Cause: supply.BroughtIn}, "came back, brought in from "+b.trial.Name); err != nil {
			return err
		}
		b.made.Sheets = append(b.made.Sheets, kept.SheetMove{Edition: id, Count: b.back[id]})
	}
	return nil
}

// keep notes the file and the rows of its orders.
func (b *bringing) keep(mapping string) (*kept.Intake, error) {
	in := kept.Intake{Name: b.trial.Name, Hash: b.trial.File, Mapping: mapping, Made: b.made, Day: b.Today, At: b.Now, Who: b.Who}
	var err error
	if in.ID, err = b.AddIntake(in); err != nil {
		return nil, err
	}
	var rows []kept.MadeOf
	for i, id := range b.orderID {
		if id == 0 {
			continue
		}
		for place, row := range b.trial.Proposals[i].Rows {
			rows = append(rows, kept.MadeOf{Order: id, Place: place, Origin: row})
		}
		if len(rows) >= manyRows {
			if err := b.AddOrigins(in.ID, rows); err != nil {
				return nil, fault.Placed(err, b.trial.Name)
			}
			rows = rows[:0]
		}
	}
	if err := b.AddOrigins(in.ID, rows); err != nil {
		return nil, fault.Placed(err, b.trial.Name)
	}
	return &in, nil
}

// manyRows are kept at once.
const manyRows = 1024
