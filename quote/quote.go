// Package quote says what it would cost to send prints that nobody has ordered yet, in words that can be pasted into a mail, and what she
// would keep of the price. It plans as an order with the same facts is planned, and writes nothing.
package quote

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"solander/calendar"
	"solander/charging"
	"solander/choosing"
	"solander/dayplan"
	"solander/edition"
	"solander/fault"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/planning"
	"solander/studio"
	"solander/supply"
)

// Format is the form of docs/formats/choices.md, section 3.
const Format = "solander-quote/1"

// Store is what this room asks of the store.
type Store interface {
	Editions() ([]edition.Edition, error)
	Outlets() ([]order.Outlet, error)
	Sold(edition int64) (int, error)
}

// quoting is one transaction as this room sees it.
type quoting struct {
	*planning.Planning
	Store
}

func asked(t *studio.Turn) *quoting { return &quoting{planning.In(t), t.Tx} }

var _, read = studio.Doors(asked)

// In is what is asked: so many prints of an edition, or of a size, to a place.
type In struct {
	Edition  int64         // 0 = by size
	Size     string        // "16 x 20", in the studio's units when it names none
	Prints   int           // 0 = 1
	Country  string        // its name, or two letters; "" = the studio's own
	Postcode string        // needed where the price goes by the distance
	Worth    *money.Amount // of one print; nil = its price, as far as it is known
	Outlet   int64         // where it would be sold; 0 = nowhere yet, and no fee is counted
}

// Answer is the quote.
type Answer struct {
	Format     string           `json:"format"`
	Day        calendar.Day     `json:"day"` // of hand-over
	What       string           `json:"what"`
	To         string           `json:"to"`
	Prints     int              `json:"prints"`
	Worth      money.Amount     `json:"worth"` // of one print
	Cost       money.Amount     `json:"cost"`  // of sending all of them: packaging, work and postage
	Packaging  money.Amount     `json:"packaging"`
	Work       money.Amount     `json:"work"`
	Postage    money.Amount     `json:"postage"`
	Unlisted   bool             `json:"unlisted,omitempty"` // no price list goes there: postage is not counted
	Held       string           `json:"held,omitempty"`     // why nothing sends them
	Proven     bool             `json:"proven"`
	Ways       choosing.Choices `json:"ways"`
	Keeps      *Keeps           `json:"keeps,omitempty"` // absent when no price is known, or nothing sends them
	Assumed    []string         `json:"assumed"`
	NotCounted []string         `json:"not_counted"`
	Cautions   []string         `json:"cautions,omitempty"` // of the price cards; for her, not for a buyer
	Words      string           `json:"words"`              // to paste into a mail; "" when nothing sends them
}

// Keeps is what she would keep of the price of all prints.
type Keeps struct {
	Price  money.Amount `json:"price"`
	Sheets money.Amount `json:"sheets"` // what the lab asks for them
	Cost   money.Amount `json:"cost"`   // of sending them, borne by her
	Fee    money.Amount `json:"fee"`    // of the outlet
	Left   money.Amount `json:"left"`   // may be negative
}

// mostPrints bounds a quote: past it, it is no quick answer.
const mostPrints = 100

// Validate looks at what is asked alone. Faults: Invalid.
func (in In) Validate() error {
	var l fault.List
	l.Check(in.Edition != 0 || strings.TrimSpace(in.Size) != "", "size", "neither a size nor an edition is named", "such as 16 x 20, or choose an edition")
	l.Check(in.Prints >= 0 && in.Prints <= mostPrints, "prints", fmt.Sprintf("%d prints cannot be quoted", in.Prints), fmt.Sprintf("1 to %d", mostPrints))
	l.Add(order.Text("postcode", in.Postcode, 20, false))
	if in.Country != "" {
		_, ok := order.CountryNamed(in.Country)
		l.Check(ok || order.KnownCountry(in.Country), "country", fmt.Sprintf("%.40q is no country known here", in.Country), "its name, or two letters such as CA")
	}
	if in.Worth != nil {
		l.Add(studio.Amount("worth", *in.Worth))
	}
	return l.Err()
}

// Ask answers a quote. Faults: Invalid; Missing when the edition or outlet is not there.
func Ask(ctx context.Context, s *studio.Studio, in In) (Answer, error) {
	later, err := Later(ctx, s, in)
	return studio.Now(ctx, later, err)
}

// Later reads what a quote follows from. Faults: as Ask.
func Later(ctx context.Context, s *studio.Studio, in In) (studio.Later[Answer], error) {
	if err := in.Validate(); err != nil {
		return nil, err
	}
	var a Answer
	var ask dayplan.Ask
	var f facts
	err := read(ctx, s, func(t *quoting) (err error) {
		if f, err = t.facts(in); err != nil {
			return err
		}
		a = f.answer(t)
		t.EditionsRead[f.edition.ID] = f.edition
		o := order.Order{ID: -1, Mark: "quote", ShipTo: f.to}
		for i := range f.prints {
			o.Lines = append(o.Lines, order.Line{ID: int64(i + 1), Edition: f.edition.ID, Price: f.worth})
		}
		ask, err = planning.Alone(s, t.Planning, o, o.Lines, t.Today)
		return err
	})
	return func(ctx context.Context) (Answer, error) {
		plans, err := s.Plans.Of(ctx, ask)
		if err != nil {
			return a, err
		}
		p := plans[-1]
		if p.Err != nil {
			return a, p.Err
		}
		if a.Held = p.Held(); a.Held != "" {
			a.Ways = choosing.None(a.Day, false)
			return a, nil
		}
		if a.Ways, err = choosing.WaysAlone(ctx, s, ask); err != nil {
			return a, err
		}
		a.planned(p.Plan, f)
		return a, nil
	}, err
}

// planned puts the plan into the answer.
func (a *Answer) planned(plan packing.Plan, f facts) {
	cur := plan.Currency
	a.Day, a.Cost, a.Proven = plan.Day, money.Of(plan.Total, cur), plan.Status == packing.Optimal
	var packed, work, post int64
	for _, pc := range plan.Parcels {
		a.Unlisted = a.Unlisted || pc.Card == dayplan.UnlistedCard
		for _, l := range pc.Lines {
			switch {
			case l.OfCard():
				post += l.Amount
			case l.Rule == "work":
				work += l.Amount
			default:
				packed += l.Amount
			}
		}
	}
	a.Packaging, a.Work, a.Postage = money.Of(packed, cur), money.Of(work, cur), money.Of(post, cur)
	for _, w := range plan.Warnings {
		a.Cautions = append(a.Cautions, w.Text)
	}
	if a.Unlisted {
		a.NotCounted = append(a.NotCounted, "the postage: no price list goes there")
	}
	a.keeps(f)
	a.Words = a.words(len(plan.Parcels))
}

// keeps reckons what is left of the price.
func (a *Answer) keeps(f facts) {
	n := int64(f.prints)
	price, err := f.worth.Times(n)
	if err != nil || f.worth.Sign() <= 0 {
		a.NotCounted = append(a.NotCounted, "what you would keep: no price is known")
		return
	}
	k := &Keeps{Price: price, Sheets: money.Of(f.edition.PrintCost.Minor*n, price.Currency), Cost: a.Cost, Fee: money.Of(0, price.Currency)}
	if f.edition.PrintCost.Sign() <= 0 {
		a.NotCounted = append(a.NotCounted, "the sheets: what the lab asks for one is not known")
	}
	if f.outlet != nil {
		b := charging.Basis{Day: f.day, Prints: slices.Repeat([]money.Amount{f.worth}, f.prints)}
		if fee, err := f.outlet.Fees.Fee(b); err == nil {
			k.Fee.Minor = fee.Minor
		}
	} else {
		a.NotCounted = append(a.NotCounted, "the fee of an outlet: none was named")
	}
	a.NotCounted = append(a.NotCounted, "tax, customs and import duties, and your own time but for packing")
	k.Left = money.Of(k.Price.Minor-k.Sheets.Minor-k.Cost.Minor-k.Fee.Minor, price.Currency)
	a.Keeps = k
}

// words are for a buyer: no caution, and nothing of what she keeps.
func (a *Answer) words(parcels int) string {
	if a.Unlisted {
		return fmt.Sprintf("Packing %s for %s costs %s; the postage comes on top of that.", a.What, a.To, a.Cost)
	}
	text := fmt.Sprintf("Sending %s to %s costs %s", a.What, a.To, a.Cost)
	if parcels > 1 {
		text += fmt.Sprintf(", in %d parcels", parcels)
	}
	if len(a.Ways.Ways) > 0 {
		if by := a.Ways.Ways[0].Arrives; !by.IsZero() {
			text += fmt.Sprintf("; handed over on %s it should be there by %s", a.Day.Short(), by.Short())
		}
	}
	text += "."
	if i := a.Ways.Sooner; i > 0 {
		w := a.Ways.Ways[i]
		text += fmt.Sprintf(" By %s it would be %s.", w.Arrives.Short(), w.Cost)
	}
	if i := a.Ways.Safer; i > 0 {
		w := a.Ways.Ways[i]
		text += fmt.Sprintf(" Better protected (%s, %s) it would be %s.", w.Protection.Packaging.Words(), w.Protection.Care.Words(), w.Cost)
	}
	return text
}

// facts are what a quote is planned by.
type facts struct {
	edition edition.Edition
	prints  int
	worth   money.Amount
	to      order.Address
	outlet  *order.Outlet
	day     calendar.Day // of the sale
	assumed []string
}

// facts finds what is asked about. Faults: Invalid, Missing.
func (t *quoting) facts(in In) (facts, error) {
	f := facts{prints: max(in.Prints, 1), day: t.Today}
	f.to = order.Address{Country: cmp.Or(strings.TrimSpace(in.Country), t.Set.Address.Country), Postcode: strings.TrimSpace(in.Postcode)}.Tidy()
	var err error
	if in.Edition != 0 {
		f.edition, err = t.EditionOf(in.Edition)
	} else {
		f.edition, err = t.ofSize(in.Size, &f)
	}
	if err != nil {
		return f, fault.InField(err, "size")
	}
	if f.worth, err = t.worth(in, f.edition); err != nil {
		return f, err
	}
	if f.worth.Sign() == 0 {
		f.assumed = append(f.assumed, "nothing is insured: no worth is known")
	}
	if in.Outlet == 0 {
		return f, nil
	}
	all, err := t.Outlets()
	if err != nil {
		return f, err
	}
	i := slices.IndexFunc(all, func(u order.Outlet) bool { return u.ID == in.Outlet })
	if i < 0 {
		return f, fault.New(fault.Missing, "there is no outlet %d", in.Outlet).In("outlet").ToMend("choose one of the studio's")
	}
	f.outlet = &all[i]
	return f, nil
}

// worth is what one print counts as: what is said, or its price. Faults: Invalid.
func (t *quoting) worth(in In, e edition.Edition) (money.Amount, error) {
	if in.Worth != nil {
		return t.Cash("worth", *in.Worth)
	}
	if e.Price.Currency != t.Set.Currency {
		return money.Of(0, t.Set.Currency), nil
	}
	if len(e.Steps) == 0 {
		return e.Price, nil
	}
	sold, err := t.Sold(e.ID)
	return e.PriceAt(sold), err
}

// ofSize is a print of a size: the heaviest of her editions of that size, or else the size on the heaviest of her papers, so that the
// quote is on the safe side. Faults: Invalid.
func (t *quoting) ofSize(text string, f *facts) (edition.Edition, error) {
	w, h, err := Sides(text, t.Set.Units)
	if err != nil {
		return edition.Edition{}, err
	}
	all, err := t.Editions()
	if err != nil {
		return edition.Edition{}, err
	}
	var best *edition.Edition
	same := 0
	for i := range all {
		e := &all[i]
		if e.Closed || min(e.Width, e.Height) != min(w, h) || max(e.Width, e.Height) != max(w, h) {
			continue
		}
		if same++; best == nil || e.Grammage > best.Grammage || e.Grammage == best.Grammage && e.Caliper > best.Caliper {
			best = e
		}
	}
	if best != nil {
		f.assumed = append(f.assumed, heaviest(*best, same, t.Set.Units))
		return *best, nil
	}
	e := edition.Edition{ID: -1, Title: "a print", Width: w, Height: h}
	if len(t.Set.Papers) == 0 {
		return e, fault.Invalidf("size", "no edition has this size, and no paper is known").ToMend("list your papers in the settings, or ask for an edition")
	}
	paper := slices.MaxFunc(t.Set.Papers, func(a, b supply.Paper) int { return cmp.Compare(a.Grammage, b.Grammage) })
	paper.Fill(&e)
	if len(t.Set.Grades) > 0 {
		e.Grade = t.Set.Grades[0]
	}
	f.assumed = append(f.assumed, fmt.Sprintf("on %s, the heaviest of your papers, of the grade “%s”: no edition has this size", paper.Name, e.Grade))
	return e, nil
}

func heaviest(e edition.Edition, of int, u measure.System) string {
	if of == 1 {
		return fmt.Sprintf("as “%s”, your edition of that size", e.Name(u))
	}
	return fmt.Sprintf("as “%s”, the heaviest of your %s of that size", e.Name(u), fault.Count(of, "edition"))
}

// Sides reads a size: "16 x 20", "16 × 20 in", "30x40 cm". Faults: Invalid.
func Sides(text string, units measure.System) (width, height measure.Length, err error) {
	parts := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r == 'x' || r == '×' || r == '*' })
	bad := fault.Invalidf("size", "%.60q is no size", text).ToMend("two sides, such as 16 x 20 or 30 x 40 cm")
	if len(parts) != 2 {
		return 0, 0, bad
	}
	first, second := strings.TrimSpace(parts[0]), strings.TrimSpace(parts[1])
	if unit := strings.TrimLeft(second, "0123456789.,/ "); strings.TrimLeft(first, "0123456789.,/ ") == "" {
		first += " " + unit // that of the second holds for both
	}
	if width, err = measure.ParseLength(strings.TrimSpace(first), units); err == nil {
		height, err = measure.ParseLength(second, units)
	}
	if err != nil || width < measure.Centimetre || height < measure.Centimetre || width > 5*measure.Metre || height > 5*measure.Metre {
		return 0, 0, bad
	}
	return width, height, nil
}

// answer is what is known before anything is planned.
func (f facts) answer(t *quoting) Answer {
	cur, u := t.Set.Currency, t.Set.Units
	zero := money.Of(0, cur)
	what := "a print"
	if f.prints > 1 {
		what = fmt.Sprintf("%d prints", f.prints)
	}
	what += " of " + f.edition.Size(u)
	to := order.CountryName(f.to.Country)
	if f.to.Postcode != "" {
		to = f.to.Postcode + ", " + to
	}
	return Answer{
		Format: Format, Day: t.HandOverDay(t.Today), What: what, To: to, Prints: f.prints, Worth: f.worth, Cost: zero, Packaging: zero, Work: zero, Postage: zero,
		Assumed: append([]string{"sent alone, with the packaging that no packed parcel holds"}, f.assumed...), NotCounted: []string{},
	}
}
