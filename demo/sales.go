package demo

import (
	"fmt"

	"solander/book"
	"solander/calendar"
	"solander/edition"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// keepFree is how many numbers of an edition the past leaves for the days to come.
const keepFree = 3

// take takes one sale of the past into the book.
func (p *past) take(st *studio.Studio, placed calendar.Day) error {
	at := p.weighted([]int{40, 35, 17, 8})
	outlet := p.outlets[at]
	in := book.Sale{Outlet: outlet.ID, Ref: p.ref(at), Placed: placed, Promised: p.working.Add(placed, outlet.PromiseDays)}
	in.Buyer, in.ShipTo = p.buyer(at)
	if in.Promised.Before(p.day) {
		in.Promised = p.working.Add(p.day, 1)
	}
	goods, err := p.choosePrints(&in)
	if err != nil {
		return err
	}
	x := &story{}
	if err := p.price(&in, at, goods); err != nil {
		return err
	}
	in.Paid = money.Of(goods.Minor+in.Postage.Minor+in.Tax.Minor, currency)
	if outlet.CollectsTax {
		in.Paid.Minor -= in.Tax.Minor
	}
	switch {
	case p.nearEnd():
	case at == fairs && p.chance(25):
		in.Paid.Minor /= 3
		in.PaidNote, x.due = "at the fair", p.working.Add(placed, 4+p.below(6))
		fallthrough
	default:
		x.fate = p.fate()
	}
	if x.order, err = book.In(p.t).TakeOrder(in); err != nil {
		return err
	}
	p.stories, p.sold = append(p.stories, x), append(p.sold, sold{x.order, at, placed})
	return p.write(st, x.order, at, !x.due.IsZero())
}

// sold is an order of the past with its outlet and the day of the sale.
type sold struct {
	order  int64
	outlet int
	placed calendar.Day
}

// fate says how a sale ends.
func (p *past) fate() fate {
	switch {
	case p.below(45) == 0:
		return isCancelled
	case p.below(60) == 0:
		return isReturned
	}
	return isSent
}

// patron is a buyer who may come again.
type patron struct {
	order.Buyer
	address order.Address
}

// buyer is a new one, or in one of six cases one who comes again: the book knows her by what she writes.
func (p *past) buyer(outlet int) (order.Buyer, order.Address) {
	if len(p.buyers) > 20 && p.below(6) == 0 {
		k := pick(p.gen, p.buyers)
		return k.Buyer, k.address
	}
	b, address := p.buyerAt(p.somewhere(outlet))
	p.buyers = append(p.buyers, patron{b, address})
	return b, address
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

// choosePrints puts one print into a sale, sometimes two or three, each of another edition, and adds up what they cost.
func (p *past) choosePrints(in *book.Sale) (goods money.Amount, err error) {
	count, goods := 1+p.weighted([]int{81, 15, 4}), dollars(0)
	weights := p.onSale()
	for len(in.Lines) < count && err == nil {
		i := p.weighted(weights)
		weights[i] = 0
		err = p.choose(in, i, &goods)
	}
	return goods, err
}

// choose puts a print of the catalogue into a sale, unless too few of it are left.
func (p *past) choose(in *book.Sale, at int, goods *money.Amount) error {
	e := p.stocks[at].ed
	if !e.Open() {
		if left, err := p.t.Tx.Unsold(e.ID); err != nil || left <= keepFree {
			return err
		}
	}
	number, err := p.chooseNumber(e)
	if err != nil {
		return err
	}
	price, err := book.In(p.t).PriceNow(e)
	goods.Minor += price.Minor
	in.Lines = append(in.Lines, book.SaleLine{Edition: e.ID, Number: number})
	if p.spare != nil {
		p.spare[at]-- // it is paid, so it has a sheet
	}
	return err
}

// onSale weighs the editions that are on sale by how well they sell.
func (p *past) onSale() []int {
	weights := make([]int, len(p.stocks))
	for i, s := range p.stocks {
		if s != nil && s.arrived && (p.spare == nil || p.spare[i] > 0) {
			weights[i] = s.c.weight
		}
	}
	return weights
}

// lookForSpare looks into the drawer when only what lies there may be sold.
func (p *past) lookForSpare() error {
	if !p.nearEnd() {
		return nil
	}
	d, err := p.t.Drawer()
	if err != nil {
		return err
	}
	p.spare = make([]int, len(p.stocks))
	for i, s := range p.stocks {
		if s != nil {
			p.spare[i] = d.Spare(s.ed.ID)
		}
	}
	return nil
}

// nearEnd reports the weeks before the use cases take over: what is sold then can be sent at once, so
// that nothing of the past is left open.
func (p *past) nearEnd() bool { return p.day.After(p.today.Add(-pastEnds - 45)) }

// favourites are the numbers that buyers ask for.
var favourites = []int{1, 7, 8, 11, 13, 17, 21, 22, 33, 42, 50, 77, 99, 100}

// chooseNumber asks for no number, which gives the lowest; one buyer in fifteen wants one that is free.
func (p *past) chooseNumber(e edition.Edition) (string, error) {
	if e.Open() || p.below(15) > 0 {
		return "", nil
	}
	n := edition.Number{Kind: edition.Numbered, N: pick(p.gen, favourites)}
	if n.N > e.Limit {
		return "", nil
	}
	st, err := p.t.Tx.Standing(e.ID, n)
	if err != nil || st.State != edition.Free {
		return "", err
	}
	return n.String(), nil
}

// marketTax is the sales tax that the market collects, in thousandths of the goods, invented for the demo.
const marketTax = 60

// price settles postage, tax, gift message and note of a sale.
func (p *past) price(in *book.Sale, at int, goods money.Amount) (err error) {
	in.Postage, in.Tax = dollars(0), dollars(0)
	if in.ShipTo.Country != "US" {
		in.Postage = dollars(2200)
	}
	switch {
	case p.outlets[at].CollectsTax && in.ShipTo.Country == "US":
		in.Tax, err = goods.Share(marketTax, 1000)
	case at != tollgate:
		in.Tax, err = p.taxed(*in, goods)
	}
	if p.chance(7) {
		in.GiftMessage = pick(p.gen, giftMessages)
	}
	if p.chance(5) {
		in.Note = pick(p.gen, notes)
	}
	return err
}

var giftMessages = []string{
	"Happy birthday, Mum. For the wall above the piano.", "To Odile and Bram, for the new house.", "Für die Küche, mit Liebe.",
	"Thirty years! With love from all of us.", "You always stopped in front of this one.",
}

var notes = []string{"asked for a loose corner, no tape on the print", "knows the work from the spring fair", "will frame it herself", "wants it unsigned on the front: signed on the back"}
