package certify

import (
	"context"
	"maps"
	"slices"
	"strings"

	"solander/disclosure"
	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// FactsView is what is told of an edition.
type FactsView struct {
	Edition edition.Edition                       `json:"edition"`
	Facts   disclosure.Facts                      `json:"facts"`
	Said    map[disclosure.Fact]disclosure.Saying `json:"said"` // by hand, as it holds
	Price   money.Amount                          `json:"price"`
}

// Facts reads what is told of an edition. Faults: Missing.
func Facts(ctx context.Context, s *studio.Studio, ed int64) (FactsView, error) {
	return studio.Got(ctx, s, read, func(t *Certify) (FactsView, error) { return t.Facts(ed) })
}

// Facts reads what is told of an edition.
func (t *Certify) Facts(ed int64) (FactsView, error) {
	e, err := t.EditionOf(ed)
	if err != nil {
		return FactsView{}, err
	}
	said, err := t.Sayings(ed)
	if err != nil {
		return FactsView{}, err
	}
	sold, err := t.Sold(ed)
	return FactsView{Edition: e, Facts: disclosure.Of(e, t.Set.Artist, said), Said: disclosure.Latest(said), Price: e.PriceAt(sold)}, err
}

// Words are the facts of an edition as they are typed; those that were not said are empty.
type Words map[disclosure.Fact]string

// Words are the facts as they are typed now.
func (v FactsView) Words() Words {
	out := Words{}
	for _, a := range disclosure.Asked() {
		out[a.Fact] = v.Said[a.Fact].Text()
	}
	return out
}

// Say changes what is said of an edition by hand, as it stands; a fact that is emptied is not said any more. Each change is kept beside
// what was said before. It returns how many changed. Faults: Invalid, one a fact; Missing.
func Say(ctx context.Context, s *studio.Studio, ed int64, change func(*Words) error) (changed int, err error) {
	err = write(ctx, s, func(t *Certify) error {
		v, err := t.Facts(ed)
		if err != nil {
			return err
		}
		typed := v.Words()
		if err := change(&typed); err != nil {
			return err
		}
		said, err := typed.read()
		if err != nil {
			return err
		}
		changed, err = t.say(v, said)
		return err
	})
	return changed, err
}

// read reads what was typed. Faults: Invalid, one a fact.
func (w Words) read() ([]disclosure.Saying, error) {
	var l fault.List
	var out []disclosure.Saying
	for _, f := range slices.Sorted(maps.Keys(w)) {
		one, err := disclosure.Say(f, w[f])
		l.Add(err)
		out = append(out, one)
	}
	return out, l.Err()
}

// say keeps what is not said so already.
func (t *Certify) say(v FactsView, said []disclosure.Saying) (int, error) {
	var what []string
	for _, one := range said {
		if before := v.Said[one.Fact]; before.Said == one.Said && before.Words == one.Words {
			continue
		}
		one.Edition, one.Day, one.At, one.Who = v.Edition.ID, t.Today, t.Now, t.Who
		if _, err := t.AddSaying(one); err != nil {
			return 0, err
		}
		what = append(what, strings.ToLower(one.Fact.Label()))
	}
	if len(what) == 0 {
		return 0, nil
	}
	return len(what), t.Note(0, "%s: said anew: %s", v.Edition.Name(t.Set.Units), strings.Join(what, "; "))
}

// Asked is what an edition is held against.
type Asked struct {
	State  string       // of the buyer
	Price  money.Amount // none: the price now
	Framed bool
	Text   string // of a listing or a certificate; "" = only the facts are looked at
}

// Answer is the rules of a state, held against an edition.
type Answer struct {
	Edition edition.Edition    `json:"edition"`
	Set     disclosure.Set     `json:"rules"`
	Price   money.Amount       `json:"price"`
	Scope   disclosure.Scope   `json:"scope"`
	Lines   []disclosure.Line  `json:"items"`
	Lacks   int                `json:"lacks"`           // of the items, nothing was said of
	Silent  int                `json:"silent"`          // of the items, the text does not say
	Words   []disclosure.Fixed `json:"words,omitempty"` // that stand as they are, and are not in the text
	Caution string             `json:"caution"`
}

// Disclose holds an edition, and a text about it, against the rules of a state. Faults: Missing for a state whose rules are not known
// here; Invalid.
func Disclose(ctx context.Context, s *studio.Studio, ed int64, asked Asked) (Answer, error) {
	set, known := disclosure.Find(asked.State)
	if !known {
		return Answer{}, fault.New(fault.Missing, "no rules of %.40q are known here", asked.State).In("state").ToMend("see the list; of other places ask an adviser")
	}
	if err := order.Note("text", asked.Text); err != nil {
		return Answer{}, err
	}
	if err := studio.Amount("price", asked.Price); err != nil {
		return Answer{}, err
	}
	return studio.Got(ctx, s, read, func(t *Certify) (Answer, error) {
		v, err := t.Facts(ed)
		if err != nil {
			return Answer{}, err
		}
		price := asked.Price
		if price.IsZero() {
			price = v.Price
		}
		a := Answer{Edition: v.Edition, Set: set, Price: price, Scope: set.At(price, asked.Framed), Lines: set.Check(v.Facts), Caution: disclosure.Caution}
		if strings.TrimSpace(asked.Text) != "" {
			a.Lines = set.CheckText(v.Facts, asked.Text)
			a.Words = set.FixedIn(asked.Text, disclosure.FixedWords)
		}
		for _, l := range a.Lines {
			if l.Lacks {
				a.Lacks++
			}
			if l.Found == disclosure.Silent {
				a.Silent++
			}
		}
		return a, nil
	})
}
