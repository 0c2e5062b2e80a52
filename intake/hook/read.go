package hook

import (
	"fmt"
	"maps"
	"slices"
	"strconv"

	"solander/calendar"
	"solander/fault"
	"solander/internal/pointer"
	"solander/money"
	"solander/order"
)

// mostLines bounds the prints of one message.
const mostLines = 200

// Read makes an order of a message. The mapping must be valid. Faults: Invalid, each in the field of the order
// (lines[0].price) and with the place in the message (#/items/0/cost) as where it happened.
func (m Mapping) Read(message []byte, st Studio) (Reading, error) {
	doc, err := pointer.Document(message)
	if err != nil {
		return Reading{}, err
	}
	r := reader{m: m, st: st, out: Reading{from: map[string]pointer.Pointer{}}}
	if r.out.Passed = m.passed(doc); r.out.Passed != "" {
		return r.out, nil
	}
	r.order(doc)
	r.lines(doc)
	return r.out, r.Err()
}

// passed tells why a message is none of an order.
func (m Mapping) passed(doc any) string {
	for _, at := range slices.Sorted(maps.Keys(m.Only)) {
		text := ""
		if p, ok := pointer.Parse(at); ok {
			text, _, _ = source{{at: p}}.in(doc)
		}
		if !slices.Contains(m.Only[at], text) {
			return fmt.Sprintf("at %s stands %q", at, fault.Clip(text))
		}
	}
	return ""
}

type reader struct {
	fault.List
	m   Mapping
	st  Studio
	out Reading
}

// bad adds a fault in a field, with the place in the message.
func (r *reader) bad(field string, err error) {
	for _, f := range fault.All(err) {
		f = f.In(field)
		if f.Where == "" {
			f = f.At("%s", r.out.Source(field))
		}
		r.Add(f)
	}
}

// text looks a field up below a place of the document.
func (r *reader) text(field, src string, doc any, below pointer.Pointer) string {
	if src == "" {
		return ""
	}
	s, bad := parseSource(src)
	if bad != nil { // a valid mapping has none
		r.bad(field, bad)
		return ""
	}
	text, at, bad := s.in(doc)
	if at != nil {
		r.out.from[field] = below.Below(at...)
	}
	if bad != nil {
		r.bad(field, bad)
	}
	return text
}

func (r *reader) order(doc any) {
	get := func(field string) string { return r.text(field, r.m.Order[field], doc, nil) }
	o := &r.out
	o.Ref, o.Note, o.GiftMessage, o.PaidNote = get("ref"), get("note"), get("gift_message"), get("paid_note")
	o.Buyer = order.Buyer{Name: get("buyer.name"), Email: get("buyer.email"), Phone: get("buyer.phone")}
	o.ShipTo = order.Address{
		Name: get("ship_to.name"), Line1: get("ship_to.line1"), Line2: get("ship_to.line2"), City: get("ship_to.city"),
		Region: get("ship_to.region"), Postcode: get("ship_to.postcode"), Country: get("ship_to.country"),
	}
	o.Placed, o.Promised, o.ArriveBy = r.day("placed", get("placed")), r.day("promised", get("promised")), r.day("arrive_by", get("arrive_by"))
	if c := get("currency"); c != "" && c != r.st.Currency {
		r.bad("currency", fault.New(fault.Invalid, "the amounts are in %q, the studio's money is %s", fault.Clip(c), r.st.Currency).ToMend("sell in %s", r.st.Currency))
		return
	}
	o.Postage, o.Tax, o.Paid = r.charge("postage", get("postage")), r.charge("tax", get("tax")), r.charge("paid", get("paid"))
}

func (r *reader) day(field, text string) calendar.Day {
	d, err := readDay(text, r.m.Days, r.st.Place)
	if err != nil {
		r.bad(field, err)
	}
	return d
}

func (r *reader) charge(field, text string) money.Amount {
	if a := r.amount(field, text); a != nil {
		return *a
	}
	return money.Amount{}
}

// amount reads an amount; nil for none.
func (r *reader) amount(field, text string) *money.Amount {
	if text == "" {
		return nil
	}
	if r.m.Money == "minor" {
		n, err := strconv.ParseInt(text, 10, 64)
		if err != nil || n < -money.MaxMinor || n > money.MaxMinor {
			r.bad(field, fault.New(fault.Invalid, "%q is not a whole number of minor units", fault.Clip(text)).ToMend("look at the mapping's form of amounts"))
			return nil
		}
		a := money.Of(n, r.st.Currency)
		return &a
	}
	a, err := money.Parse(text, r.st.Currency)
	if err != nil {
		r.bad(field, err)
		return nil
	}
	return &a
}

func (r *reader) lines(doc any) {
	at, ok := pointer.Parse(r.m.Lines)
	found, there := at.In(doc)
	items, list := found.([]any)
	r.out.from["lines"] = at
	if !ok || !there || !list {
		r.bad("lines", fault.New(fault.Invalid, "there is no list of prints").ToMend("look at the mapping's lines, and at the message"))
		return
	}
	if len(items) > mostLines {
		r.bad("lines", fault.New(fault.Invalid, "%d prints in one order are too many", len(items)).ToMend("use up to %d", mostLines))
		return
	}
	for i, item := range items {
		r.line(item, at.Below(strconv.Itoa(i)))
	}
}

// line reads an element of the list: as many lines as its quantity.
func (r *reader) line(item any, below pointer.Pointer) {
	first := len(r.out.Lines)
	get := func(name string) string { return r.text(lineField(first, name), r.m.Line[name], item, below) }
	l := Line{Number: get("number"), Price: r.amount(lineField(first, "price"), get("price"))}
	l.Edition = r.edition(lineField(first, "edition"), get("edition"))
	n := r.quantity(lineField(first, "quantity"), get("quantity"))
	for i := range n {
		if len(r.out.Lines) >= mostLines {
			r.bad(lineField(first, "quantity"), fault.New(fault.Invalid, "these are more than %d prints in one order", mostLines).ToMend("look at the quantity"))
			return
		}
		r.out.from[lineField(first+i, "")] = below
		for _, name := range lineFields {
			if at, ok := r.out.from[lineField(first, name)]; ok {
				r.out.from[lineField(first+i, name)] = at
			}
		}
		r.out.Lines = append(r.out.Lines, l)
	}
}

func (r *reader) quantity(field, text string) int {
	if text == "" {
		return 1
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		r.bad(field, fault.New(fault.Invalid, "%q is not a count of prints", fault.Clip(text)).ToMend("give a whole number from 1"))
		return 1
	}
	return n
}

func (r *reader) edition(field, text string) int64 {
	if text == "" {
		r.bad(field, fault.New(fault.Invalid, "the message does not say which print it is").ToMend("look at the mapping's line, and at the message"))
		return 0
	}
	if len(r.m.Editions) > 0 {
		id, ok := r.m.Editions[text]
		if !ok {
			r.bad(field, fault.New(fault.Invalid, "the mapping knows no edition %q", fault.Clip(text)).ToMend("add it to the mapping's editions"))
		}
		return id
	}
	id, err := strconv.ParseInt(text, 10, 64)
	if err != nil || id <= 0 {
		r.bad(field, fault.New(fault.Invalid, "%q is not the number of an edition", fault.Clip(text)).ToMend("give the mapping a table of editions"))
		return 0
	}
	return id
}
