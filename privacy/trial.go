package privacy

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"

	"solander/calendar"
	"solander/claim"
	"solander/fault"
	"solander/order"
	"solander/studio"
	"solander/upkeep"
)

// Trial is what erasing a buyer would do.
type Trial struct {
	Buyer    order.Buyer `json:"buyer"`
	Writings int         `json:"writings"` // others who were taken as her; they go with her
	Orders   int         `json:"orders"`
	Hers     []Place     `json:"hers"`  // what is blanked in rows of hers
	Named    []Place     `json:"named"` // where else she is named, and will be no more
	Stays    []Stay      `json:"stays"` // what stays, and why
	InTheWay []Block     `json:"in_the_way,omitempty"`
	Cautions []string    `json:"cautions"`
	Seen     string      `json:"seen"` // tells this trial from any other; the deed is given it

	changes []upkeep.CellChange
}

// Place is a kind of rows with how many cells of them change.
type Place struct {
	Table string `json:"table"`
	What  string `json:"what"`
	Cells int    `json:"cells"`
}

// Stay is something that stays.
type Stay struct {
	What string `json:"what"`
	Why  string `json:"why"`
}

// Block is what is in the way of erasing a buyer. docs/formats/privacy.md lists the rules.
type Block struct {
	Rule string `json:"rule"`
	Text string `json:"text"`
	Mend string `json:"mend"`
}

// The rules by which a buyer is not erased.
const (
	OpenOrder   = "privacy.open-order"
	OpenClaim   = "privacy.open-claim"
	MoneyOwed   = "privacy.money-owed"
	WaitingFile = "privacy.waiting-file"
	TaxTime     = "privacy.tax-time" // she may say that the tax office needs it no more
)

// Try says what erasing a buyer would do, and changes nothing. Faults: Missing; Refused when she is erased already or was taken as
// another.
func Try(ctx context.Context, s *studio.Studio, buyer int64) (Trial, error) {
	return studio.Got(ctx, s, read, func(t *Privacy) (Trial, error) { return t.reading(s).trial(buyer) })
}

// trial is the one rule for Try, Erase and the rule on how long is kept.
func (t *Privacy) trial(buyer int64) (Trial, error) {
	tr := Trial{Hers: []Place{}, Named: []Place{}, Stays: stays, Cautions: cautions}
	var err error
	if tr.Buyer, err = t.Buyer(buyer); err != nil {
		return tr, err
	}
	if tr.changes, err = t.Erasing(buyer); err != nil {
		return tr, err
	}
	writings, err := t.Writings(buyer)
	if err != nil {
		return tr, err
	}
	tr.Writings = len(writings)
	ids, err := t.BuyerOrders(buyer)
	if err != nil {
		return tr, err
	}
	tr.Orders = len(ids)
	all, err := t.OrdersByID(ids)
	if err != nil {
		return tr, err
	}
	if tr.InTheWay, err = t.inTheWay(buyer, all); err != nil {
		return tr, err
	}
	if t.Set.Retention == nil || t.Set.Retention.TaxYears == 0 {
		tr.Cautions = append(slices.Clone(tr.Cautions), "You have not said how long the tax law may ask for names and addresses of sales: ask your adviser before you erase.")
	}
	tr.count()
	return tr, nil
}

// count tells the changes by where they are, and makes Seen.
func (tr *Trial) count() {
	sum := sha256.New()
	for _, c := range tr.changes {
		line, _ := json.Marshal(c) // texts and whole numbers
		sum.Write(line)
		to := &tr.Named
		if c.Hers {
			to = &tr.Hers
		}
		i := slices.IndexFunc(*to, func(p Place) bool { return p.Table == c.Table })
		if i < 0 {
			i = len(*to)
			*to = append(*to, Place{Table: c.Table, What: whatIs[c.Table]})
		}
		(*to)[i].Cells++
	}
	tr.Seen = hex.EncodeToString(sum.Sum(nil))
}

// inTheWay is why a buyer must not be erased now.
func (t *Privacy) inTheWay(buyer int64, all []order.Order) ([]Block, error) {
	var out []Block
	last := calendar.Day{}
	money := false
	for _, o := range all {
		if o.State == order.Open {
			out = append(out, Block{OpenOrder, fmt.Sprintf("order %s is open", o.Mark), "hand it over, or cancel it"})
		}
		switch owed := o.Owed(); owed.Sign() {
		case 1:
			out = append(out, Block{MoneyOwed, fmt.Sprintf("%s is owed for order %s", owed, o.Mark), "have it paid, or cancel the order"})
		case -1:
			out = append(out, Block{MoneyOwed, fmt.Sprintf("%s is to be paid back of order %s", owed.Neg(), o.Mark), "pay it back"})
		}
		for _, p := range o.Payments {
			if !p.Reversed {
				money = true
				last = later(last, p.Day)
			}
		}
		last = later(last, o.Closed)
	}
	if r := t.Set.Retention; money && r != nil && r.TaxYears > 0 {
		if until := r.TaxUntil(last); !t.Today.After(until) {
			out = append(out, Block{TaxTime, fmt.Sprintf("the tax may ask for it until %s, as you entered", until), "wait, or say that the tax office needs it no more"})
		}
	}
	claims, err := t.Claims(claim.Query{Open: true})
	if err != nil {
		return nil, err
	}
	for _, c := range claims {
		if slices.ContainsFunc(all, func(o order.Order) bool { return o.ID == c.Order }) {
			out = append(out, Block{OpenClaim, fmt.Sprintf("claim %d on the operator is open", c.ID), "close it"})
		}
	}
	waits, err := t.waiting(buyer)
	if err != nil {
		return nil, err
	}
	for _, w := range waits {
		out = append(out, Block{WaitingFile, fmt.Sprintf("the file %s, which waits to be brought in, names her", w.File), "bring it in, or put it away"})
	}
	return out, nil
}

func later(a, b calendar.Day) calendar.Day {
	if b.After(a) {
		return b
	}
	return a
}

// refused is the fault of what is in the way; early = the tax office needs it no more.
func refused(blocks []Block, early bool) error {
	var l fault.List
	for _, b := range blocks {
		if b.Rule != TaxTime || !early {
			l.Add(fault.New(fault.Refused, "%s", b.Text).ToMend("%s", b.Mend))
		}
	}
	return l.Err()
}

// stays are what stands when a buyer is erased.
var stays = []Stay{
	{"the number of each print, as sold", "the register of an edition only grows, and a number is never given twice"},
	{"amounts, days, states, and the marks and references of orders", "the books add up, and the outlet knows the sale by its reference"},
	{"country and state of delivery", "tax and customs go by them"},
	{"the check sum of each row that was brought in", "so that the same file makes no second sale; it cannot be read back"},
	{"the number of the buyer, now " + order.ErasedName, "the orders refer to it"},
}

// cautions stand on every trial.
var cautions = []string{
	"It cannot be undone.",
	"Backups, exports and papers made before still hold it; so do mails, spreadsheets and whatever other programs keep. After an older copy was restored, erase again by the list of erasures.",
	"Ask an adviser what you must keep and what you must erase: this is no advice in law.",
}

// whatIs says what rows are, for people.
var whatIs = map[string]string{
	"buyers": "name, e-mail, phone, note", "orders": "addresses, names, notes and reasons of orders", "parcels": "tracking numbers", "payments": "notes of payments",
	"marks": "words of the journal", "register": "notes of the register", "origins": "rows of files, word for word", "feed_answers": "what other programs were answered",
	"works": "notes of works", "pictures": "what is to be seen on pictures", "hand_overs": "notes of hand-overs", "runs": "notes of lab runs", "receipts": "notes of what labs sent",
	"moves": "reasons of counts", "intakes": "names of files",
	"person_words": "how buyers are compared", "order_words": "words of search", "buyer_words": "words of search",
}
