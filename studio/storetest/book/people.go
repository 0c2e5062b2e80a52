package book

import (
	"bytes"
	"testing"

	"solander/fault"
	"solander/order"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// taken makes one buyer another's writing, with her orders.
func taken(t *testing.T, s studio.Store, id, as int64) {
	t.Helper()
	bed.Write(t, s, func(tx studio.Tx) error {
		b, err := tx.Buyer(id)
		if err != nil {
			return err
		}
		b.SameAs = as
		if _, err := tx.SaveBuyer(b); err != nil {
			return err
		}
		ids, err := tx.BuyerOrders(id)
		if err != nil {
			return err
		}
		return tx.MoveOrders(ids, as)
	})
}

func ids(all []order.Buyer) []int64 {
	out := []int64{}
	for _, b := range all {
		out = append(out, b.ID)
	}
	return out
}

func peopleAlike(t *testing.T, s studio.Store) {
	a := bed.Person(t, s, order.Buyer{Name: "Zoë Ødegård", Email: "zoe@post.example"})
	b := bed.Person(t, s, order.Buyer{Name: "zoe odegard", Email: "z@post.example"})
	c := bed.Person(t, s, order.Buyer{Name: "Bo Ek", Email: "ZOE@Post.example"})
	bed.Person(t, s, order.Buyer{Name: "Zoe Odegard", Apart: true})
	e := bed.Person(t, s, order.Buyer{Name: "Bo Ek"})
	alike := func(name, email string, want ...int64) {
		t.Helper()
		bed.Read(t, s, func(tx studio.Tx) error {
			all, err := tx.BuyersAlike(name, email)
			bed.Same(t, name+" "+email, append([]int64{}, want...), ids(all))
			return err
		})
	}
	alike("ZOE  ØDEGÅRD", "", a, b)
	alike("nobody", " Zoe@post.EXAMPLE ", a, c)
	alike("zoe odegard", "zoe@post.example", a, b, c)
	alike("", "")
	alike("---", "")
	taken(t, s, b, a)
	alike("zoe odegard", "", a, b) // how she was written stays known
	bed.Write(t, s, func(tx studio.Tx) error { _, err := tx.SaveBuyer(order.Buyer{ID: c, Name: "Cy Ek"}); return err })
	alike("bo ek", "zoe@post.example", a, e)
	alike("cy ek", "", c)
	bed.Read(t, s, func(tx studio.Tx) error {
		w, err := tx.Writings(a)
		bed.Same(t, "taken as her", []int64{b}, ids(w))
		if err != nil {
			return err
		}
		same, err := tx.SamePeople()
		bed.Same(t, "who is whom", map[int64]int64{b: a}, same)
		return err
	})
}

func peopleMoved(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 9)
	other := bed.Person(t, s, order.Buyer{Name: "M. Lindqvist", Email: "m@example.org"})
	first := bed.Add(t, s, h.Sale(ed))
	sale := h.Sale(ed)
	sale.Buyer, sale.Said = other, order.Said{Name: "M. Lindqvist", Email: "m@example.org", Phone: "555 0100"}
	sale.ShipTo.Line1 = "3 Mill Road"
	second := bed.Add(t, s, sale)
	bed.Same(t, "said", sale.Said, second.Said)
	held := func() string {
		var who string
		bed.Read(t, s, func(tx studio.Tx) error {
			rows, err := tx.Numbers(ed)
			for _, r := range rows {
				if r.OrderMark == second.Mark {
					who = r.Buyer
				}
			}
			return err
		})
		return who
	}
	bed.Promise(t, s, ed, second)
	bed.Same(t, "holder before", "M. Lindqvist", held())
	before := bed.Dumped(t, s)
	taken(t, s, other, h.Buyer)
	bed.Same(t, "holder while they are one", "Mara Lindqvist", held())
	bed.Same(t, "her orders", []string{"S-1002", "S-1001"}, foundOf(t, s, h.Buyer))
	bed.Same(t, "found by the other writing", []string{"S-1002"}, bed.Found(t, s, "m@example.org"))
	bed.Read(t, s, func(tx studio.Tx) error {
		people, err := tx.People(studio.BuyerQuery{Text: "m@example.org", Limit: 9})
		bed.Same(t, "she is found so", []int64{h.Buyer}, ids(people))
		buyers, err2 := tx.Buyers("", 9)
		bed.Same(t, "and listed once", []int64{h.Buyer}, ids(buyers))
		places, err3 := tx.Places(h.Buyer, 9)
		bed.Same(t, "two addresses, the latest first", []string{"3 Mill Road", first.ShipTo.Line1}, []string{places[0].Line1, places[1].Line1})
		deals, err4 := tx.Dealings([]int64{h.Buyer, other})
		bed.Same(t, "dealings", map[int64]studio.Dealing{h.Buyer: {Orders: 2, Last: second.Placed}}, deals)
		o, err5 := tx.Order(second.ID)
		bed.Same(t, "the order says what it said", sale.Said, o.Said)
		for _, e := range []error{err, err2, err3, err4} {
			if e != nil {
				return e
			}
		}
		return err5
	})
	bed.Sound(t, s)
	bed.Write(t, s, func(tx studio.Tx) error {
		if err := tx.MoveOrders([]int64{second.ID}, other); err != nil {
			return err
		}
		_, err := tx.SaveBuyer(order.Buyer{ID: other, Name: "M. Lindqvist", Email: "m@example.org"})
		return err
	})
	bed.Same(t, "holder after", "M. Lindqvist", held())
	bed.Same(t, "row for row as before", buyersAndOrders(t, before), buyersAndOrders(t, bed.Dumped(t, s)))
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.MoveOrders([]int64{999}, other) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.MoveOrders([]int64{first.ID}, 999) })
	bed.Sound(t, s)
}

func foundOf(t *testing.T, s studio.Store, buyer int64) []string {
	t.Helper()
	got := []string{}
	bed.Read(t, s, func(tx studio.Tx) error {
		all, err := tx.Orders(studio.OrderQuery{Buyer: buyer})
		for _, o := range all {
			got = append(got, o.Mark)
		}
		return err
	})
	return got
}

func peopleApart(t *testing.T, s studio.Store) {
	a, b, c := bed.Person(t, s, order.Buyer{Name: "A"}), bed.Person(t, s, order.Buyer{Name: "B"}), bed.Person(t, s, order.Buyer{Name: "C"})
	tell := func(x, y int64, want bool) {
		t.Helper()
		bed.Write(t, s, func(tx studio.Tx) error {
			news, err := tx.TellApart(x, y)
			bed.Same(t, "news", want, news)
			return err
		})
	}
	pairs := func(want ...[2]int64) {
		t.Helper()
		bed.Read(t, s, func(tx studio.Tx) error {
			got, err := tx.ToldApart()
			bed.Same(t, "told apart", append([][2]int64{}, want...), append([][2]int64{}, got...))
			return err
		})
	}
	tell(b, a, true)
	tell(a, b, false)
	pairs([2]int64{a, b})
	taken(t, s, a, c)
	pairs([2]int64{b, c}) // who was taken as another is told apart as that one
	taken(t, s, b, c)
	pairs()
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.TellApart(a, 999); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.ForgetApart(a, c) })
	bed.Refused(t, s, fault.Refused, func(tx studio.Tx) error { return tx.DropBuyer(c) })
	bed.Refused(t, s, fault.Refused, func(tx studio.Tx) error { return tx.DropBuyer(a) })
	bed.Write(t, s, func(tx studio.Tx) error { return tx.ForgetApart(b, a) })
	bed.Write(t, s, func(tx studio.Tx) error { return tx.DropBuyer(a) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.DropBuyer(a) })
	bed.Sound(t, s)
}

func peoplePaged(t *testing.T, s studio.Store) {
	var want []int64
	for _, n := range []string{"Ada", "ada", "Ådne", "Bo", "Zoë", "zoe"} {
		want = append(want, bed.Person(t, s, order.Buyer{Name: n, Email: "x@post.example"}))
	}
	apart := bed.Person(t, s, order.Buyer{Name: "Ada", Email: "x@post.example", Apart: true})
	alone := bed.Person(t, s, order.Buyer{Name: "Quill"})
	by := func(q studio.BuyerQuery) (got []int64) {
		bed.Read(t, s, func(tx studio.Tx) error {
			all, err := tx.People(q)
			got = ids(all)
			return err
		})
		return got
	}
	all := []int64{want[0], want[1], apart, want[2], want[3], alone, want[4], want[5]}
	bed.Same(t, "by name, then as they came", all, by(studio.BuyerQuery{Limit: 99}))
	for i := range all {
		bed.Same(t, "the page behind", append([]int64{}, all[i+1:min(i+3, len(all))]...), by(studio.BuyerQuery{Limit: 2, After: all[i]}))
	}
	bed.Same(t, "found", []int64{want[0], want[1], apart}, by(studio.BuyerQuery{Text: "ada", Limit: 9}))
	bed.Same(t, "found behind", []int64{apart}, by(studio.BuyerQuery{Text: "ada", Limit: 9, After: want[1]}))
	bed.Same(t, "signs find nobody", []int64{}, by(studio.BuyerQuery{Text: "!?", Limit: 9}))
	bed.Read(t, s, func(tx studio.Tx) error {
		sharing, err := tx.BuyersSharing(99)
		bed.Same(t, "who shares something, by name", want, ids(sharing))
		few, err2 := tx.BuyersSharing(2)
		bed.Same(t, "a few", want[:2], ids(few))
		if err == nil {
			err = err2
		}
		return err
	})
}

// peopleCopied takes merged, parted and told-apart buyers to another store.
func peopleCopied(t *testing.T, from, to studio.Store) {
	a, b, c := bed.Person(t, from, order.Buyer{Name: "Ann Lee", Email: "ann@post.example"}), bed.Person(t, from, order.Buyer{Name: "A. Lee"}), bed.Person(t, from, order.Buyer{Name: "Cy"})
	taken(t, from, a, c) // a row that points at one behind it
	bed.Write(t, from, func(tx studio.Tx) error { _, err := tx.TellApart(b, c); return err })
	if err := to.Load(t.Context(), bytes.NewReader(bed.Dumped(t, from))); err != nil {
		t.Fatal(err)
	}
	bed.Sound(t, to)
	bed.Read(t, to, func(tx studio.Tx) error {
		all, err := tx.BuyersAlike("", "ann@post.example")
		bed.Same(t, "known again", []order.Buyer{{ID: a, Name: "Ann Lee", Email: "ann@post.example", SameAs: c}}, all)
		found, err2 := tx.Buyers("ann", 9)
		bed.Same(t, "found as the other", []int64{c}, ids(found))
		pairs, err3 := tx.ToldApart()
		bed.Same(t, "told apart", [][2]int64{{b, c}}, pairs)
		for _, e := range []error{err, err2} {
			if e != nil {
				return e
			}
		}
		return err3
	})
}

// buyersAndOrders are the lines of a copy without its head, its end and its counters.
func buyersAndOrders(t *testing.T, packed []byte) []string {
	t.Helper()
	all := bed.Lines(t, packed)
	return all[1 : len(all)-1]
}
