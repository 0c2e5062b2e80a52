package studio

import (
	"context"
	"slices"

	"solander/edition"
	"solander/fault"
	"solander/money"
)

// Declare declares an edition with its limit and proofs, which nothing raises afterwards.
// Faults: Invalid, Missing (the work), Taken when the work has an edition of that size, paper and grade.
func (s *Studio) Declare(ctx context.Context, e edition.Edition) (edition.Edition, error) {
	if err := e.Validate(); err != nil {
		return e, err
	}
	var declared edition.Edition
	err := s.write(ctx, func(t *turn) (err error) {
		declared, err = t.declare(e)
		return err
	})
	return declared, err
}

func (t *turn) declare(e edition.Edition) (edition.Edition, error) {
	w, err := t.Work(e.Work)
	if err != nil {
		return e, inField(err, "work")
	}
	if e.Declared, err = t.notFuture("declared", e.Declared); err != nil {
		return e, err
	}
	if e, err = t.priced(e); err != nil {
		return e, err
	}
	if err := t.onlyOne(e); err != nil {
		return e, err
	}
	e.Title, e.Closed = w.Title, false
	e.ID, err = t.Declare(e)
	if err != nil {
		return e, err
	}
	_, err = t.mark(MarkOther, 0, declared{[]limits{limitsOf(e)}}, "%s declared, %s", e.Name(t.set.Units), limitOf(e))
	return e, err
}

// declared is what the journal keeps of editions that were declared, for check to compare.
type declared struct {
	Declared []limits `json:"declared"`
}

type limits struct {
	Edition int64          `json:"edition"`
	Work    int64          `json:"work"`
	Limit   int            `json:"limit"`
	Proofs  edition.Proofs `json:"proofs"`
}

func limitsOf(e edition.Edition) limits { return limits{e.ID, e.Work, e.Limit, e.Proofs} }

func limitOf(e edition.Edition) string {
	if e.Open() {
		return "an open edition"
	}
	return "limit " + edition.Number{Kind: edition.Numbered, N: e.Limit}.String()
}

// priced puts price, steps and print cost into the studio's currency.
func (t *turn) priced(e edition.Edition) (edition.Edition, error) {
	var l fault.List
	var err error
	if e.Price, err = t.cash("price", e.Price); err != nil {
		l.Add(err)
	}
	if e.PrintCost, err = t.cash("print_cost", e.PrintCost); err != nil {
		l.Add(err)
	}
	e.Steps = slices.Clone(e.Steps)
	for i := range e.Steps {
		if e.Steps[i].Price, err = t.cash("price_steps", e.Steps[i].Price); err != nil {
			l.Add(err)
		}
	}
	return e, l.Err()
}

// onlyOne refuses a second edition of a work at one size, paper and grade: a limit would mean nothing
// if the same print could be declared again.
func (t *turn) onlyOne(e edition.Edition) error {
	all, err := t.Editions()
	if err != nil {
		return err
	}
	return t.onlyOneOf(all, e)
}

func (t *turn) onlyOneOf(all []edition.Edition, e edition.Edition) error {
	for _, o := range all {
		if o.Work == e.Work && o.Width == e.Width && o.Height == e.Height && o.Paper == e.Paper && o.Grade == e.Grade {
			return fault.New(fault.Taken, "this print is declared already, %s", limitOf(o)).At("%s", o.Name(t.set.Units)).
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
func (s *Studio) Reprice(ctx context.Context, ed int64, change func(*Prices) error) error {
	return s.write(ctx, func(t *turn) error {
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
		l.Add(amount("print_cost", p.PrintCost))
		if err := l.Err(); err != nil {
			return err
		}
		e.Price, e.Steps, e.PrintCost = p.Price, p.Steps, p.PrintCost
		if e, err = t.priced(e); err != nil {
			return err
		}
		if err := t.Reprice(e); err != nil {
			return err
		}
		return t.note(0, "%s costs %s now", e.Name(t.set.Units), e.Price)
	})
}

// CloseEdition ends an edition for good: no further sale. Open orders of it go on.
// Faults: Missing, Refused when it is closed already.
func (s *Studio) CloseEdition(ctx context.Context, ed int64) error {
	return s.write(ctx, func(t *turn) error {
		e, err := t.Edition(ed)
		if err != nil {
			return err
		}
		if e.Closed {
			return fault.New(fault.Refused, "it is closed already").At("%s", e.Name(t.set.Units))
		}
		if err := t.CloseEdition(ed); err != nil {
			return err
		}
		return t.note(0, "%s closed", e.Name(t.set.Units))
	})
}
