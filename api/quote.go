package api

import (
	"context"
	"strconv"

	"solander/choosing"
	"solander/fault"
	"solander/feeds"
	"solander/money"
	"solander/quote"
)

// quoteAsked is what a quote is asked for.
type quoteAsked struct {
	Size     string `query:"size" doc:"Size of a print, such as 16 x 20, in the studio's units when it names none; or name an edition."`
	Edition  string `query:"edition" doc:"The number of an edition of the list of editions."`
	Prints   string `query:"prints" doc:"How many; 1 when it is left out, at most 100."`
	Country  string `query:"country" doc:"Its name, or two letters; the studio's own when it is left out."`
	Postcode string `query:"postcode" doc:"Within a country most prices go by it."`
	Worth    string `query:"worth" doc:"Of one print, in the studio's money, such as 150.00; its price when it is left out."`
}

// Way is one way to send.
type Way struct {
	Cost      Money  `json:"cost"`
	More      Money  `json:"more" doc:"Than the cheapest."`
	Arrives   *Day   `json:"arrives,omitempty" doc:"At the latest; absent when a service does not state it."`
	Packaging string `json:"packaging" enum:"soft,stiff,boxed"`
	Care      string `json:"care" enum:"untracked,tracked,covered,signed"`
}

// Keeps is what the artist would keep of the price of all prints.
type Keeps struct {
	Price  Money `json:"price"`
	Sheets Money `json:"sheets" doc:"What the lab asks for them."`
	Cost   Money `json:"cost" doc:"Of sending them."`
	Fee    Money `json:"fee" doc:"Of the feed's outlet."`
	Left   Money `json:"left" doc:"May be negative."`
}

// Quote is what sending prints would cost.
type Quote struct {
	What       string   `json:"what"`
	To         string   `json:"to"`
	Prints     int      `json:"prints"`
	Day        *Day     `json:"day" doc:"Of hand-over."`
	Worth      Money    `json:"worth" doc:"Of one print."`
	Held       string   `json:"held,omitempty" doc:"Why nothing sends them; then nothing costs anything."`
	Cost       Money    `json:"cost" doc:"Of sending all of them."`
	Packaging  Money    `json:"packaging"`
	Work       Money    `json:"work"`
	Postage    Money    `json:"postage"`
	Unlisted   bool     `json:"unlisted,omitempty" doc:"No price list goes there: postage is not counted."`
	Proven     bool     `json:"proven" doc:"Nothing allowed costs less."`
	Words      string   `json:"words,omitempty" doc:"To paste into a mail to a buyer; nothing else here is for one."`
	Keeps      *Keeps   `json:"keeps,omitempty"`
	Ways       []Way    `json:"ways" doc:"Of which no other is better in cost, arrival and protection at once; the cheapest first."`
	Sooner     *int     `json:"sooner,omitempty" doc:"Place, from 0, of the cheapest way that arrives a day or more before the cheapest."`
	Safer      *int     `json:"safer,omitempty" doc:"Place, from 0, of the cheapest way that is a class stiffer or a step better covered, and worse in neither."`
	Assumed    []string `json:"assumed"`
	NotCounted []string `json:"not_counted"`
	Cautions   []string `json:"cautions,omitempty"`
}

// quoted is the answer that is a quote.
type quoted struct{ Body Quote }

func (f *face) quote(ctx context.Context, in *quoteAsked) (*quoted, error) {
	if err := feeds.MayQuote(ctx, f.studio, callOf(ctx).ID); err != nil {
		return nil, f.told(ctx, err)
	}
	asked, err := f.asks(ctx, in)
	if err != nil {
		return nil, f.told(ctx, ofParameters(err))
	}
	a, err := quote.Ask(ctx, f.studio, asked)
	if err != nil {
		return nil, f.told(ctx, ofParameters(err))
	}
	return &quoted{quoteOf(a)}, nil
}

// asks reads the parameters. Faults: Invalid.
func (f *face) asks(ctx context.Context, in *quoteAsked) (quote.In, error) {
	out := quote.In{Size: in.Size, Country: in.Country, Postcode: in.Postcode, Outlet: callOf(ctx).Outlet}
	var l fault.List
	if in.Edition != "" {
		n, err := strconv.ParseInt(in.Edition, 10, 64)
		l.Check(err == nil, "edition", "it is no number of an edition", "send one of the list of editions")
		out.Edition = n
	}
	if in.Prints != "" {
		n, err := strconv.Atoi(in.Prints)
		l.Check(err == nil && n > 0, "prints", "it is no whole number from 1", "send digits")
		out.Prints = n
	}
	if in.Worth != "" {
		set, err := f.studio.Settings(ctx)
		if err != nil {
			return out, err
		}
		worth, err := money.Parse(in.Worth, set.Currency)
		l.Check(err == nil, "worth", "it is no amount", "send one such as 150.00")
		out.Worth = &worth
	}
	return out, l.Err()
}

func quoteOf(a quote.Answer) Quote {
	out := Quote{
		What: a.What, To: a.To, Prints: a.Prints, Day: dayOf(a.Day), Worth: moneyOf(a.Worth), Held: a.Held, Cost: moneyOf(a.Cost),
		Packaging: moneyOf(a.Packaging), Work: moneyOf(a.Work), Postage: moneyOf(a.Postage), Unlisted: a.Unlisted, Proven: a.Proven, Words: a.Words,
		Ways: []Way{}, Assumed: a.Assumed, NotCounted: a.NotCounted, Cautions: a.Cautions,
	}
	if k := a.Keeps; k != nil {
		out.Keeps = &Keeps{moneyOf(k.Price), moneyOf(k.Sheets), moneyOf(k.Cost), moneyOf(k.Fee), moneyOf(k.Left)}
	}
	for _, w := range a.Ways.Ways {
		out.Ways = append(out.Ways, wayOf(w))
	}
	if i := a.Ways.Sooner; i >= 0 {
		out.Sooner = &i
	}
	if i := a.Ways.Safer; i >= 0 {
		out.Safer = &i
	}
	return out
}

func wayOf(w choosing.Way) Way {
	return Way{Cost: moneyOf(w.Cost), More: moneyOf(w.More), Arrives: dayOf(w.Arrives), Packaging: w.Protection.Packaging.Name(), Care: w.Protection.Care.Name()}
}
