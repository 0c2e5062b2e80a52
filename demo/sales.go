package demo

import (
	"fmt"

	"solander/calendar"
	"solander/edition"
	"solander/money"
	"solander/order"
)

// keepFree is how many numbers of an edition the past leaves for the days to come.
const keepFree = 3

// take takes one sale of the past into the book.
func (p *past) take(placed calendar.Day) error {
	c := &chain{outlet: p.weighted([]int{40, 35, 17, 8})}
	outlet := p.outlets[c.outlet]
	id, address, err := p.buyer(c.outlet)
	if err != nil {
		return err
	}
	c.Order = order.Order{
		Outlet: outlet.ID, Ref: p.ref(c.outlet), Buyer: id, Placed: placed, Promised: p.working.Add(placed, outlet.PromiseDays),
		ShipTo: address, Postage: dollars(0), Tax: dollars(0), Fee: dollars(0), TaxByOutlet: outlet.CollectsTax, State: order.Open,
	}
	if c.Promised.Before(p.day) {
		c.Promised = p.working.Add(p.day, 1)
	}
	wanted := p.choosePrints()
	for _, w := range wanted {
		c.Lines = append(c.Lines, order.Line{Edition: w.s.ed.ID, Number: w.n, Price: w.s.ed.PriceAt(w.s.sold)})
		w.s.claimed++
		w.s.sold++
	}
	if err := p.price(c, outlet); err != nil {
		return err
	}
	if c.Said, err = p.said(c.Buyer); err != nil {
		return err
	}
	if c.Order, err = p.tx.AddOrder(c.Order); err != nil {
		return err
	}
	for i, w := range wanted {
		if w.n.IsZero() {
			continue
		}
		if err := p.step(w.s, w.n, edition.Promise, c.Lines[i].ID, c.Mark, ""); err != nil {
			return err
		}
	}
	p.queue = append(p.queue, c)
	return p.firstPayment(c)
}

// known is a buyer who may come again.
type known struct {
	id      int64
	address order.Address
}

// buyer is a new one, or in one of six cases one who comes again.
func (p *past) buyer(outlet int) (int64, order.Address, error) {
	if len(p.buyers) > 20 && p.below(6) == 0 {
		k := pick(p.gen, p.buyers)
		return k.id, k.address, nil
	}
	b, address := p.buyerAt(p.somewhere(outlet))
	id, err := p.tx.SaveBuyer(b)
	p.buyers = append(p.buyers, known{id, address})
	return id, address, err
}

// somewhere says where a buyer lives: fairs are near, one sale in twelve of the others goes abroad.
func (p *past) somewhere(outlet int) place {
	switch {
	case outlet == fairs:
		return homes[p.below(8)]
	case p.below(12) == 0:
		return pick(p.gen, abroad)
	}
	return pick(p.gen, homes)
}

func (p *past) ref(outlet int) string {
	p.refs++
	switch outlet {
	case ownSite:
		return fmt.Sprintf("W%05d", 1200+p.refs)
	case market:
		return fmt.Sprintf("PW-%d-%03d", 44000+p.refs*7, p.below(1000))
	}
	return ""
}

// wish is a print that a sale is of.
type wish struct {
	s *stock
	n edition.Number
}

// choosePrints picks one print, sometimes two or three, each of another edition.
func (p *past) choosePrints() []wish {
	count := 1 + p.weighted([]int{81, 15, 4})
	var out []wish
	for tries := 0; len(out) < count && tries < 50; tries++ {
		s := p.chooseEdition()
		twice := false
		for _, w := range out {
			twice = twice || w.s == s
		}
		if !twice {
			out = append(out, wish{s, p.chooseNumber(s)})
		}
	}
	return out
}

// chooseEdition picks an edition that is on sale, by how well it sells.
func (p *past) chooseEdition() *stock {
	weights := make([]int, len(p.stocks))
	for i, s := range p.stocks {
		if s == nil || s.onHand == 0 && s.sold == 0 || !s.ed.Open() && s.left() <= keepFree {
			continue
		}
		if p.nearEnd() && s.onHand-s.claimed < 1 {
			continue
		}
		weights[i] = s.c.weight
	}
	return p.stocks[p.weighted(weights)]
}

// nearEnd reports the weeks before the use cases take over: what is sold then can be sent at once, so
// that nothing of the past is left open.
func (p *past) nearEnd() bool { return p.day.After(p.today.Add(-pastEnds - 45)) }

// favourites are the numbers that buyers ask for.
var favourites = []int{1, 7, 8, 11, 13, 17, 21, 22, 33, 42, 50, 77, 99, 100}

// chooseNumber picks the lowest free number; one buyer in fifteen asks for one.
func (p *past) chooseNumber(s *stock) edition.Number {
	if s.ed.Open() {
		return edition.Number{}
	}
	if p.below(15) == 0 {
		n := edition.Number{Kind: edition.Numbered, N: pick(p.gen, favourites)}
		if n.N <= s.ed.Limit && s.free(n) {
			return n
		}
	}
	for i := 1; i <= s.ed.Limit; i++ {
		if n := (edition.Number{Kind: edition.Numbered, N: i}); s.free(n) {
			return n
		}
	}
	return edition.Number{} // never: an edition is chosen while numbers are left
}

func (s *stock) free(n edition.Number) bool {
	st, touched := s.standing[n]
	return !touched || st.Line == 0 && (st.State == edition.Free || st.State == edition.Signed)
}

// homeTax and marketTax are sales taxes in thousandths of the goods, invented for the demo.
const (
	homeTax   = 53
	marketTax = 60
)

// price settles postage, tax, fee, gift message and note of a sale.
func (p *past) price(c *chain, outlet order.Outlet) error {
	goods := c.Goods()
	if goods.Currency == "" {
		goods = dollars(0)
	}
	if c.ShipTo.Country != "US" {
		c.Postage = dollars(2200)
	}
	var err error
	switch {
	case outlet.CollectsTax && c.ShipTo.Country == "US":
		c.Tax, err = goods.Share(marketTax, 1000)
	case c.outlet != gallery && c.ShipTo.Region == "VA":
		c.Tax, err = goods.Share(homeTax, 1000)
	}
	if err != nil {
		return err
	}
	total, err := goods.Add(c.Postage)
	if err != nil {
		return err
	}
	if c.Fee, err = outlet.FeeOn(total); err != nil {
		return err
	}
	if p.chance(7) {
		c.GiftMessage = pick(p.gen, giftMessages)
	}
	if p.chance(5) {
		c.Note = pick(p.gen, notes)
	}
	switch {
	case p.nearEnd():
	case p.below(45) == 0:
		c.fate = isCancelled
	case p.below(60) == 0:
		c.fate = isReturned
	}
	return nil
}

var giftMessages = []string{
	"Happy birthday, Mum. For the wall above the piano.", "To Odile and Bram, for the new house.", "Für die Küche, mit Liebe.",
	"Thirty years! With love from all of us.", "You always stopped in front of this one.",
}

var notes = []string{"asked for a loose corner, no tape on the print", "knows the work from the spring fair", "will frame it herself", "wants it unsigned on the front: signed on the back"}

// firstPayment records what came in with the sale: all of it, or a third as a deposit.
func (p *past) firstPayment(c *chain) error {
	due := c.Due()
	if c.outlet == fairs && p.chance(25) && !p.nearEnd() {
		part := money.Of(due.Minor/3, currency)
		c.due = p.working.Add(c.Placed, 4+p.below(6))
		return p.pay(c, order.Deposit, part, c.Placed, "at the fair")
	}
	return p.pay(c, order.Balance, due, c.Placed, "")
}

func (p *past) pay(c *chain, kind order.PaymentKind, a money.Amount, on calendar.Day, note string) error {
	if a.Sign() <= 0 {
		return nil
	}
	pay := order.Payment{Order: c.ID, Kind: kind, Amount: a, Day: on, Note: note}
	id, err := p.tx.AddPayment(pay)
	pay.ID = id
	c.Payments = append(c.Payments, pay)
	return err
}

// settle records the balances that came in.
func (p *past) settle() error {
	for _, c := range p.queue {
		if c.due.IsZero() || c.due.After(p.day) {
			continue
		}
		if err := p.pay(c, order.Balance, c.Owed(), p.day, ""); err != nil {
			return err
		}
		c.due = calendar.Day{}
	}
	return nil
}

// said is what an order says of a buyer of the book.
func (p *past) said(buyer int64) (order.Said, error) {
	b, err := p.tx.Buyer(buyer)
	return b.Said(), err
}
