package suppose

import (
	"context"
	"slices"

	"solander/calendar"
	"solander/dayplan"
	"solander/edition"
	"solander/fault"
	"solander/measure"
	"solander/money"
	"solander/packing"
	"solander/planning"
	"solander/studio"
)

// WrapIn asks how prints would go in a wrap that is not saved; of one of both shapes together with a matted print of 11 × 14 in,
// which lies flat. A studio without editions tries it on a print of 11 × 14 in.
type WrapIn struct {
	Wrap    packing.Wrap
	Edition int64 // whose prints; 0 = those of the first edition
	Prints  int   // 0 = as few as the wrap takes
}

// WrapTried is the parcel that it makes, for the day of the next hand-over, at home: an example to look at, no plan.
type WrapTried struct {
	Problem  packing.Problem
	Plan     packing.Plan
	Editions []edition.Edition // which may be asked for, one of each size and paper
	Edition  int64
	Prints   int
	Held     string // why no parcel of them can be made; "" = there is one
	Cost     money.Amount
}

// mostTried bounds the prints of an example.
const mostTried = 24

// TryWrapLater plans prints in one wrap alone, without house rules, as if there were plenty of all packaging in use: it reads what the
// example follows from, and tells of what it is without its plan. Faults: Invalid, those of the wrap in fields "layers[0].…".
func TryWrapLater(ctx context.Context, s *studio.Studio, in WrapIn) (WrapTried, studio.Later[WrapTried], error) {
	var out WrapTried
	var q dayplan.Question
	err := s.Read(ctx, func(turn *studio.Turn) (err error) {
		t := asked(turn)
		editions, err := t.Editions()
		if err != nil {
			return err
		}
		out.Editions, out.Edition = oneOfEach(editions, in.asked(editions))
		items, err := t.Shelf()
		if err != nil {
			return err
		}
		set := t.Set
		set.Wraps, set.Rules = []packing.Wrap{in.Wrap}, nil
		if err := studio.Packable(set, items); err != nil {
			return fault.Above(err, "wraps[0].")
		}
		q, err = t.tried(s, set, in, &out)
		return err
	})
	return out, func(ctx context.Context) (WrapTried, error) {
		var err error
		if out.Plan, err = s.Plans.Answer(dayplan.Quietly(ctx), q); err != nil {
			return out, err
		}
		out.Problem = q.Whole()
		out.Held = dayplan.HeldIn(out.Problem, out.Plan)
		out.Cost = money.Of(out.Plan.Total, out.Problem.Currency)
		return out, nil
	}, err
}

// tried is the question: the prints of an example, in the wrap alone.
func (t *asking) tried(s *studio.Studio, set studio.Settings, in WrapIn, out *WrapTried) (dayplan.Question, error) {
	alone := planning.In(t.With(set))
	r, err := planning.MeansOf(s, alone)
	if err != nil {
		return dayplan.Question{}, err
	}
	for i, it := range r.Shelf {
		if !r.Retired[it.ID] {
			r.Shelf[i].Stock = nil
		}
	}
	day := alone.HandOverDay(calendar.Day{})
	base, err := dayplan.NewBasis(alone.Base(r, day), studio.CardsFor(r.Cards, set, day))
	if err != nil {
		return dayplan.Question{}, err
	}
	sheets := []packing.Sheet{out.example(in)}
	if in.Wrap.Shape == packing.Both {
		sheets = append(sheets, packing.Sheet{
			ID: "matted", Note: "a matted print", Width: 11 * measure.Inch, Height: 14 * measure.Inch, Caliper: 4 * measure.Millimetre, Mass: 350 * measure.Gram, Stiff: true,
		})
	}
	return base.Alone(packing.Order{
		ID: "example", Destination: studio.PlaceOf(set.Address), Sheets: sheets,
	})
}

// example is the prints that a wrap is tried on.
func (out *WrapTried) example(in WrapIn) packing.Sheet {
	e := edition.Edition{Width: 11 * measure.Inch, Height: 14 * measure.Inch, Caliper: measure.Millimetre / 2, Grammage: 310 * measure.GSM, TightestRoll: 3 * measure.Inch}
	for _, x := range out.Editions {
		if x.ID == out.Edition {
			e = x
		}
	}
	n := in.Prints
	if n == 0 {
		n = in.Wrap.Fewest
	}
	out.Prints = min(max(1, n), mostTried)
	sheet := packing.Sheet{
		ID: "print", Note: e.Title, Width: e.Width, Height: e.Height, Caliper: e.Caliper, Grammage: e.Grammage, Copies: out.Prints,
		Value: e.Price.Minor, Grade: e.Grade,
	}
	if sheet.Note == "" {
		sheet.Note = "a print"
	}
	if e.TightestRoll > 0 {
		sheet.Roll = &packing.Roll{Tightest: e.TightestRoll}
	}
	return sheet
}

// asked is the edition that is asked for; of a wrap of both shapes one that it rolls, the first when that one is not: with what else
// is tried, which lies flat, it would make no parcel.
func (in WrapIn) asked(all []edition.Edition) int64 {
	if in.Wrap.Shape != packing.Both {
		return in.Edition
	}
	rolled := slices.DeleteFunc(slices.Clone(all), func(e edition.Edition) bool {
		return e.TightestRoll == 0 || max(e.Width, e.Height) <= in.Wrap.FlatTo
	})
	if len(rolled) == 0 || slices.ContainsFunc(rolled, func(e edition.Edition) bool { return e.ID == in.Edition }) {
		return in.Edition
	}
	return rolled[0].ID
}

// likeness is what makes two prints packed alike.
type likeness struct {
	width, height, caliper, roll measure.Length
	grammage                     measure.Grammage
}

func likenessOf(e edition.Edition) likeness {
	return likeness{e.Width, e.Height, e.Caliper, e.TightestRoll, e.Grammage}
}

// oneOfEach leaves one edition of each size, paper and thickness, and names the one that is like that of an id, else the first.
func oneOfEach(all []edition.Edition, id int64) (out []edition.Edition, like int64) {
	first := map[likeness]int64{}
	for _, e := range all {
		if first[likenessOf(e)] == 0 {
			first[likenessOf(e)] = e.ID
			out = append(out, e)
		}
		if e.ID == id || like == 0 {
			like = first[likenessOf(e)]
		}
	}
	return out, like
}
