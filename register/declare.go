package register

import (
	"context"
	"slices"

	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/studio"
)

// Declare declares an edition with its limit and proofs, which nothing raises afterwards.
// Faults: Invalid, Missing (the work), Taken when the work has an edition of that size, paper and grade.
func Declare(ctx context.Context, s *studio.Studio, e edition.Edition) (edition.Edition, error) {
	if err := e.Validate(); err != nil {
		return e, err
	}
	var declared edition.Edition
	err := write(ctx, s, func(t *Register) (err error) {
		declared, err = t.DeclareEdition(e)
		return err
	})
	return declared, err
}

// DeclareEdition keeps a new edition and its numbers.
func (t *Register) DeclareEdition(e edition.Edition) (edition.Edition, error) {
	w, err := t.Work(e.Work)
	if err != nil {
		return e, fault.InField(err, "work")
	}
	if e.Declared, err = t.NotFuture("declared", e.Declared); err != nil {
		return e, err
	}
	if e, err = t.Priced(e); err != nil {
		return e, err
	}
	if err := t.OnlyOne(e); err != nil {
		return e, err
	}
	e.Title, e.Closed = w.Title, false
	e.ID, err = t.Declare(e)
	if err != nil {
		return e, err
	}
	_, err = t.Journal(studio.MarkOther, 0, Declared{[]Limits{LimitsOf(e)}}, "%s declared, %s", e.Name(t.Set.Units), limitOf(e))
	return e, err
}

// Declared is what the journal keeps of editions that were declared, for check to compare.
type Declared struct {
	Declared []Limits `json:"declared"`
}

// Limits is what an edition promises about how many there are, as the journal keeps it.
type Limits struct {
	Edition int64          `json:"edition"`
	Work    int64          `json:"work"`
	Limit   int            `json:"limit"`
	Proofs  edition.Proofs `json:"proofs"`
}

// LimitsOf reads the limits of an edition.
func LimitsOf(e edition.Edition) Limits { return Limits{e.ID, e.Work, e.Limit, e.Proofs} }

func limitOf(e edition.Edition) string {
	if e.Open() {
		return "an open edition"
	}
	return "limit " + edition.Number{Kind: edition.Numbered, N: e.Limit}.String()
}

// Priced puts price, steps and print cost into the studio's currency.
func (t *Register) Priced(e edition.Edition) (edition.Edition, error) {
	var l fault.List
	var err error
	if e.Price, err = t.Cash("price", e.Price); err != nil {
		l.Add(err)
	}
	if e.PrintCost, err = t.Cash("print_cost", e.PrintCost); err != nil {
		l.Add(err)
	}
	e.Steps = slices.Clone(e.Steps)
	for i := range e.Steps {
		if e.Steps[i].Price, err = t.Cash("price_steps", e.Steps[i].Price); err != nil {
			l.Add(err)
		}
	}
	return e, l.Err()
}

// OnlyOne refuses a second edition of a work at one size, paper and grade: a limit would mean nothing
// if the same print could be declared again.
func (t *Register) OnlyOne(e edition.Edition) error {
	all, err := t.Editions()
	if err != nil {
		return err
	}
	return t.OnlyOneOf(all, e)
}

// OnlyOneOf refuses a second edition of a work in one format and paper.
func (t *Register) OnlyOneOf(all []edition.Edition, e edition.Edition) error {
	for _, o := range all {
		if o.Work == e.Work && o.Width == e.Width && o.Height == e.Height && o.Paper == e.Paper && o.Grade == e.Grade {
			return fault.New(fault.Taken, "this print is declared already, %s", limitOf(o)).At("%s", o.Name(t.Set.Units)).
				ToMend("an edition is declared once; choose another size, paper or grade")
		}
	}
	return nil
}

// Prices are what an edition costs.
type Prices struct {
	Price     money.Amount
	Steps     []edition.PriceStep
	PrintCost money.Amount
}

// Reprice changes price, price steps and print cost as they stand, as ChangeSettings does; sold lines keep theirs.
// Faults: Invalid, Missing.
func Reprice(ctx context.Context, s *studio.Studio, ed int64, change func(*Prices) error) error {
	return write(ctx, s, func(t *Register) error {
		e, err := t.Edition(ed)
		if err != nil {
			return err
		}
		p := Prices{e.Price, e.Steps, e.PrintCost}
		if err := change(&p); err != nil {
			return err
		}
		var l fault.List
		l.Add(edition.PricesValid(p.Price, p.Steps))
		l.Add(studio.Amount("print_cost", p.PrintCost))
		if err := l.Err(); err != nil {
			return err
		}
		e.Price, e.Steps, e.PrintCost = p.Price, p.Steps, p.PrintCost
		if e, err = t.Priced(e); err != nil {
			return err
		}
		if err := t.Reprice(e); err != nil {
			return err
		}
		return t.Note(0, "%s costs %s now", e.Name(t.Set.Units), e.Price)
	})
}
