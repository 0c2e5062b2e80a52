// Package matching holds lines of a bank against payments, payouts, money of galleries and what is owed, by amount, day and name. It proposes, with its reasons;
// nothing is taken without her yes. Amounts must be the same to the last minor unit and in one currency: what is nearly the same is not
// proposed, but for money that came in another currency, of which a bank credits what it makes of it. Nothing is proposed for two lines, and no line has two proposals. The same input, in any order, gives the same answer.
package matching

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"solander/calendar"
	"solander/internal/fold"
	"solander/money"
)

// Days between a payment and its line of the bank: a transfer may be noted before it is booked, and a card's money comes days later
// (common practice, no source). Money that was owed may come long after.
const (
	mostEarly = 5
	mostLate  = 14
	mostOwed  = 400
)

// Reach is how many days about its day a payment may have been noted.
const Reach = mostLate

// Line is a line of the bank that is still open.
type Line struct {
	ID     int64
	Day    calendar.Day
	Amount money.Amount // money out is negative
	Text   string       // name and note
}

// Candidate is a payment, a payout, money of a gallery, an operator's payment of a claim, or cash that was carried to the bank, that no line is matched to
// yet; or what is owed of an order, by a gallery, of a claim, or lies in the cash box of a day, which would be noted by her yes.
type Candidate struct {
	Payment int64        `json:"payment,omitempty"` // 0 with an order: nothing was noted yet, the order owes it
	Order   int64        `json:"order,omitempty"`
	Payout  int64        `json:"payout,omitempty"`        // of an outlet, instead of an order
	Money   int64        `json:"gallery_money,omitempty"` // of a gallery, instead of an order
	Gallery int64        `json:"gallery,omitempty"`       // what it owes, and is not noted as paid
	Claim   int64        `json:"claim,omitempty"`         // what its operator paid; with Owed, granted and is not noted as paid
	Carry   int64        `json:"fair_carry,omitempty"`    // cash of a day at a table that was carried to the bank
	Fair    int64        `json:"fair,omitempty"`          // a day at a table whose cash is still in the box
	Owed    bool         `json:"owed,omitempty"`          // of a claim
	Mark    string       `json:"mark,omitempty"`
	Ref     string       `json:"ref,omitempty"`
	Buyer   string       `json:"buyer"`  // or the outlet, the gallery, the day at the table
	Amount  money.Amount `json:"amount"` // a refund is negative
	Day     calendar.Day `json:"day"`    // of the payment; of the sale, when it is owed
	// Abroad is what came, or is owed, in another currency; Amount is what that is worth by the rate of the day, and a line may be off it by Within.
	Abroad money.Amount `json:"abroad,omitzero"`
	Only   int64        `json:"-"`              // the one line that it may be; 0: any
	Until  calendar.Day `json:"until,omitzero"` // the last day of the statement that a gallery pays; no day: all that it owes
}

// Within is by how many thousandths of what money in another currency is worth by the rate of the day a line may be off it: what a bank keeps for
// the exchange. Common practice, no source.
const Within = 30

// Near reports whether a line of an amount may be money of another currency that is worth another one.
func Near(line, worth money.Amount) bool {
	off := line.Minor - worth.Minor
	return line.Currency == worth.Currency && line.Sign() == worth.Sign() && max(off, -off) <= max(worth.Minor, -worth.Minor)/1000*Within+max(worth.Minor, -worth.Minor)%1000*Within/1000
}

// Reason is one thing that speaks for a pair. Rule is a stable name: "amount", "day", "name", "mark".
type Reason struct {
	Rule string `json:"rule"`
	Text string `json:"text"`
}

// Pair is a line and what it may be.
type Pair struct {
	Line int64 `json:"line"`
	Candidate
	Weight  int      `json:"weight"` // what speaks for it: 60 its mark, 40 a whole name, 15 a part of one, and up to 20 for the day
	Reasons []Reason `json:"reasons"`
}

// Found is what there is for one line: the pair that is proposed, if any, and what else it may be, the likelier first.
type Found struct {
	Line     int64  `json:"line"`
	Proposal *Pair  `json:"proposal,omitempty"`
	Others   []Pair `json:"others,omitempty"`
	Tie      bool   `json:"tie,omitempty"` // several are as likely: none is proposed
}

// sure is what must speak for a pair, beside the amount, before it is proposed: a name or a mark, or the very day alone.
const sure = 15

// mostOthers is how many others of a line are told.
const mostOthers = 8

// Of finds for each line, in the order of the lines, what it may be.
func Of(lines []Line, all []Candidate) []Found {
	by := map[money.Amount][]Candidate{}
	var near []Candidate
	for _, c := range all {
		if c.Abroad.Currency != "" && c.Abroad.Currency != c.Amount.Currency {
			near = append(near, c)
			continue
		}
		by[c.Amount] = append(by[c.Amount], c)
	}
	texts := make([]map[string]bool, len(lines))
	pairs := map[int64][]Pair{}
	var flat []Pair
	for i, l := range lines {
		may := by[l.Amount]
		for _, c := range near {
			if (c.Only == 0 || c.Only == l.ID) && Near(l.Amount, c.Amount) {
				may = append(slices.Clip(may), c)
			}
		}
		for _, c := range may {
			if texts[i] == nil {
				texts[i] = words(l.Text)
			}
			if p, ok := weigh(l, texts[i], c); ok {
				pairs[l.ID] = append(pairs[l.ID], p)
				flat = append(flat, p)
			}
		}
		slices.SortFunc(pairs[l.ID], likelier)
	}
	proposed := propose(flat)
	out := make([]Found, len(lines))
	for i, l := range lines {
		out[i] = Found{Line: l.ID}
		best, tie := proposed[l.ID], false
		for _, p := range pairs[l.ID] {
			if best != nil && p.key() == best.key() {
				continue
			}
			out[i].Others = append(out[i].Others, p)
		}
		tie = best == nil && len(out[i].Others) > 1 && out[i].Others[0].Weight == out[i].Others[1].Weight
		out[i].Proposal, out[i].Tie, out[i].Others = best, tie, out[i].Others[:min(len(out[i].Others), mostOthers)]
	}
	return out
}

// key tells candidates apart.
func (c Candidate) key() [3]int64 {
	switch {
	case c.Payment != 0:
		return [3]int64{1, c.Payment, 0}
	case c.Payout != 0:
		return [3]int64{2, c.Payout, 0}
	case c.Money != 0:
		return [3]int64{3, c.Money, 0}
	case c.Carry != 0:
		return [3]int64{4, c.Carry, 0}
	case c.Claim != 0:
		return [3]int64{5, c.Claim, 0}
	case c.Gallery != 0:
		return [3]int64{7, c.Gallery, statement(c.Until)}
	case c.Fair != 0:
		return [3]int64{8, c.Fair, 0}
	}
	return [3]int64{6, c.Order, 0}
}

// statement is a number of a statement by its last day; 0 of none.
func statement(until calendar.Day) int64 {
	if until.IsZero() {
		return 0
	}
	y, m, d := until.Civil()
	return int64(y)*10000 + int64(m)*100 + int64(d)
}

// noted reports whether it stands in the book; else it is owed.
func (c Candidate) noted() bool { return c.key()[0] < 6 && !c.Owed }

// likelier orders pairs: the heavier first, a payment that was noted before one that was not, then by age.
func likelier(a, b Pair) int {
	ak, bk := a.key(), b.key()
	return cmp.Or(cmp.Compare(b.Weight, a.Weight), cmp.Compare(a.Line, b.Line), cmp.Compare(ak[0], bk[0]), cmp.Compare(ak[1], bk[1]), cmp.Compare(ak[2], bk[2]), cmp.Compare(a.Amount.Minor, b.Amount.Minor))
}

// propose gives each line the heaviest candidate that no heavier pair has taken. Where two pairs of one line, or of one candidate, are as
// heavy as each other, it would be a guess: that line gets none.
func propose(flat []Pair) map[int64]*Pair {
	slices.SortFunc(flat, likelier)
	type end struct {
		weight int
		line   int64
		key    [3]int64
	}
	perLine, perCandidate := map[end]int{}, map[end]int{}
	for _, p := range flat {
		perLine[end{weight: p.Weight, line: p.Line}]++
		perCandidate[end{weight: p.Weight, key: p.key()}]++
	}
	out, taken, passed := map[int64]*Pair{}, map[[3]int64]bool{}, map[int64]bool{}
	for i := range flat {
		p := &flat[i]
		if out[p.Line] != nil || passed[p.Line] || taken[p.key()] {
			continue
		}
		switch {
		case p.Weight < sure, perLine[end{weight: p.Weight, line: p.Line}] > 1:
			passed[p.Line] = true
		case perCandidate[end{weight: p.Weight, key: p.key()}] > 1:
			passed[p.Line] = true
			taken[p.key()] = true // by one of those lines, nobody knows which
		default:
			out[p.Line], taken[p.key()] = p, true
		}
	}
	return out
}

// weigh says what speaks for a pair; ok is false when its days are too far apart.
func weigh(l Line, text map[string]bool, c Candidate) (p Pair, ok bool) {
	gap := l.Day.Sub(c.Day)
	if gap < -mostEarly || c.noted() && gap > mostLate || gap > mostOwed {
		return p, false
	}
	p = Pair{Line: l.ID, Candidate: c, Reasons: []Reason{{"amount", "the same amount, " + l.Amount.String()}}}
	if off := money.Of(l.Amount.Minor-c.Amount.Minor, c.Amount.Currency); c.Abroad.Currency != "" && c.Abroad.Currency != l.Amount.Currency {
		p.Weight -= 10 // by the day alone nothing is proposed that need not be the same
		p.Reasons[0] = Reason{"worth", fmt.Sprintf("%s is worth %s by its rate, %s off; up to %d in 1000 may be", c.Abroad, c.Amount, off, Within)}
	}
	if c.noted() {
		p.Weight += max(0, 20-2*max(gap, -gap))
		p.say("day", dayText(gap))
	} else if gap < 0 {
		return p, false // nothing is paid before it was sold
	}
	for _, m := range []string{c.Mark, c.Ref} {
		if has(text, m) {
			p.Weight += 60
			p.say("mark", "it names "+m)
			break
		}
	}
	p.name(text, c.Buyer)
	return p, true
}

func (p *Pair) say(rule, text string) { p.Reasons = append(p.Reasons, Reason{rule, text}) }

func dayText(gap int) string {
	switch {
	case gap == 0:
		return "on the day of the payment"
	case gap == 1:
		return "a day later"
	case gap > 0:
		return fmt.Sprintf("%d days later", gap)
	case gap == -1:
		return "a day earlier"
	}
	return fmt.Sprintf("%d days earlier", -gap)
}

// name looks for the words of a buyer's name.
func (p *Pair) name(text map[string]bool, buyer string) {
	all, there := 0, []string{}
	for _, w := range split(buyer) {
		if len([]rune(w)) < 2 {
			continue
		}
		if all++; text[w] {
			there = append(there, w)
		}
	}
	switch {
	case len(there) == 0:
	case len(there) == all:
		p.Weight += 40
		p.say("name", "it names "+buyer)
	default:
		p.Weight += 15
		p.say("name", fmt.Sprintf("it names “%s” of %s", strings.Join(there, " "), buyer))
	}
}

// has reports whether all words of a mark stand in a text; a mark of fewer than three signs says nothing.
func has(text map[string]bool, mark string) bool {
	parts := split(mark)
	if len([]rune(strings.Join(parts, ""))) < 3 {
		return false
	}
	if text[strings.Join(parts, "")] { // banks leave out hyphens
		return true
	}
	for _, w := range parts {
		if !text[w] {
			return false
		}
	}
	return true
}

func words(text string) map[string]bool {
	out := map[string]bool{}
	for _, w := range split(text) {
		out[w] = true
	}
	return out
}

func split(text string) []string {
	return strings.FieldsFunc(fold.Text(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}
