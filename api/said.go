package api

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"net/http"
	"net/url"

	"solander/bench"
	"solander/exchange"
	"solander/feeds"
	"solander/measure"
	"solander/order"
	"solander/studio"
)

// Line is a print of an order.
type Line struct {
	Edition int64  `json:"edition"`
	Title   string `json:"title"`
	Number  string `json:"number,omitempty" doc:"As it is written on the sheet: 17/250. An open edition has none."`
	Price   Money  `json:"price"`
	Dropped bool   `json:"dropped,omitempty" doc:"It was taken out of the order."`
}

// Payment is money in, or back.
type Payment struct {
	Kind     string `json:"kind" enum:"deposit,balance,refund"`
	Amount   Money  `json:"amount"`
	Came     *Money `json:"came,omitempty" doc:"As it came or went, when that was in another currency than the studio's: amount is what of the order it settled."`
	Worth    *Money `json:"worth,omitempty" doc:"What that was worth on its day, in the studio's currency."`
	Day      *Day   `json:"day"`
	How      string `json:"how,omitempty" enum:"cash,card,other" doc:"By what it was made; left out when nobody said."`
	Note     string `json:"note,omitempty"`
	Reversed bool   `json:"reversed,omitempty" doc:"It was a wrong entry and does not count."`
}

// Parcel is what leaves the house.
type Parcel struct {
	State      string `json:"state" enum:"packed,labelled,handed-over"`
	Service    string `json:"service,omitempty"`
	Tracking   string `json:"tracking,omitempty"`
	HandedOver *Day   `json:"handed_over,omitempty"`
	Weighed    string `json:"weighed,omitempty" doc:"What the studio's scale said, in grams or kilograms with the unit; left out when it was not weighed."`
}

// Lack is one thing without which an order cannot go.
type Lack struct {
	Rule string `json:"rule" doc:"money, signature, address or facts."`
	What string `json:"what"`
	Mend string `json:"mend"`
}

// Order is an order as its outlet may see it.
type Order struct {
	Ref         string    `json:"ref" doc:"The outlet's own name of it."`
	Mark        string    `json:"mark" doc:"The studio's."`
	State       string    `json:"state" enum:"open,closed,cancelled,returned"`
	Placed      *Day      `json:"placed"`
	Promised    *Day      `json:"promised"`
	ArriveBy    *Day      `json:"arrive_by,omitempty"`
	Buyer       Buyer     `json:"buyer"`
	ShipTo      Address   `json:"ship_to" doc:"Empty parts where it is not known yet."`
	InPerson    bool      `json:"in_person,omitempty" doc:"Handed over to the buyer in person."`
	Lacks       []Lack    `json:"lacks,omitempty" doc:"Everything that an open order lacks before it can go: money, signatures, an address."`
	Lines       []Line    `json:"lines" nullable:"false"`
	Postage     Money     `json:"postage"`
	Tax         Money     `json:"tax"`
	Due         Money     `json:"due"`
	Paid        Money     `json:"paid"`
	Owed        Money     `json:"owed"`
	Agreed      *Agreed   `json:"agreed,omitempty" doc:"When it was agreed in another currency than the studio's, how it stands in that."`
	Payments    []Payment `json:"payments" nullable:"false"`
	Parcels     []Parcel  `json:"parcels" nullable:"false"`
	Note        string    `json:"note,omitempty"`
	GiftMessage string    `json:"gift_message,omitempty"`
	Doubts      []Doubt   `json:"doubts,omitempty" doc:"What may be wrong with the address, or cannot be printed on a label or a slip. It bars nothing; a person at the studio sees it, too."`
}

// Agreed is how an order stands in the currency in which it was agreed.
type Agreed struct {
	Total   Money  `json:"total"`
	Paid    Money  `json:"paid"`
	Owed    Money  `json:"owed" doc:"Below nothing: it is to be paid back."`
	Day     *Day   `json:"day"`
	Rate    string `json:"rate,omitempty" doc:"In words; left out when a sum was agreed."`
	Changed bool   `json:"changed,omitempty" doc:"The order was changed since: before more is paid, the studio agrees its total anew."`
}

func agreedOf(w *exchange.Owing) *Agreed {
	if w == nil {
		return nil
	}
	a := w.Agreed
	return &Agreed{Total: moneyOf(a.Total), Paid: moneyOf(w.Paid), Owed: moneyOf(w.Owed), Day: dayOf(a.Day), Rate: a.Rate, Changed: w.Changed}
}

// Doubt is something that may be wrong.
type Doubt struct {
	Field string `json:"field" doc:"Where it stands, such as ship_to.name."`
	Text  string `json:"text"`
}

func orderOf(v feeds.FeedOrder) Order {
	o := Order{
		Ref: v.Ref, Mark: v.Mark, State: string(v.State), Placed: dayOf(v.Placed), Promised: dayOf(v.Promised), ArriveBy: dayOf(v.ArriveBy),
		Buyer: Buyer{Name: v.Who.Name, Email: v.Who.Email, Phone: v.Who.Phone}, ShipTo: Address(v.ShipTo),
		Lines: []Line{}, Payments: []Payment{}, Parcels: []Parcel{},
		Postage: moneyOf(v.Postage), Tax: moneyOf(v.Tax), Due: moneyOf(v.Due), Paid: moneyOf(v.Paid), Owed: moneyOf(v.Owed),
		Agreed: agreedOf(v.Agreed), Note: v.Note, GiftMessage: v.GiftMessage, InPerson: v.InPerson,
	}
	if v.State == order.Open {
		for _, l := range bench.LacksToGo(v.Order, v.Tell) {
			o.Lacks = append(o.Lacks, Lack(l))
		}
		for _, d := range v.Order.Doubts() {
			o.Doubts = append(o.Doubts, Doubt(d))
		}
	}
	for i, l := range v.Lines {
		o.Lines = append(o.Lines, Line{Edition: l.Edition, Title: v.Titles[i], Number: v.Labels[i], Price: moneyOf(l.Price), Dropped: l.Dropped})
	}
	for _, p := range v.Payments {
		is := Payment{Kind: string(p.Kind), Amount: moneyOf(p.Amount), Day: dayOf(p.Day), How: string(p.How), Note: p.Note, Reversed: p.Reversed}
		for _, c := range v.Came {
			if c.Payment == p.ID {
				came, worth := moneyOf(c.Amount), moneyOf(c.Worth)
				is.Came, is.Worth = &came, &worth
			}
		}
		o.Payments = append(o.Payments, is)
	}
	for _, p := range v.Parcels {
		o.Parcels = append(o.Parcels, Parcel{State: string(p.State), Service: p.Service, Tracking: p.Tracking, HandedOver: dayOf(p.HandedOver), Weighed: weighedOf(p)})
	}
	return o
}

func weighedOf(p studio.Parcel) string {
	if p.Weighed == 0 {
		return ""
	}
	return p.Weighed.In(measure.Metric)
}

// say is the order as it is kept with the write.
func say(v feeds.FeedOrder) (string, error) {
	b, err := json.Marshal(orderOf(v))
	return string(b), err
}

// tag is the entity tag of an order: it changes with everything that a caller sees.
func tag(o Order) (string, error) {
	b, err := json.Marshal(o)
	sum := sha256.Sum256(b)
	return `"` + hex.EncodeToString(sum[:12]) + `"`, err
}

// told is the answer that is an order, or nothing with the status that says so.
type told struct {
	Status   int
	ETag     string `header:"ETag"`
	Location string `header:"Location"`
	Body     Order
}

func tell(o Order) (*told, error) {
	t, err := tag(o)
	return &told{Status: http.StatusOK, ETag: t, Location: Base + "/orders/" + url.PathEscape(o.Ref), Body: o}, err
}

// again reads an answer as it was kept.
func again(answer string) (*told, error) {
	var o Order
	if err := json.Unmarshal([]byte(answer), &o); err != nil {
		return nil, err
	}
	return tell(o)
}

// Edition is an edition that can be sold.
type Edition struct {
	ID     int64  `json:"id"`
	Title  string `json:"title"`
	Size   string `json:"size" doc:"Width and height, as the studio writes them."`
	Paper  string `json:"paper"`
	Grade  string `json:"grade,omitempty"`
	Limit  int    `json:"limit" doc:"0: an open edition, without numbers."`
	Unsold int    `json:"unsold" doc:"Numbers that a sale can still be given; 0 of an open edition."`
	Price  Money  `json:"price" doc:"The price now, by the price steps."`
}

// Editions is the list of them.
type Editions struct {
	Editions []Edition `json:"editions" nullable:"false"`
}
