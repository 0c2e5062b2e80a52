package intake

import (
	"slices"
	"strconv"

	"solander/fault"
	"solander/order"
)

// people are the buyers of a file while its rows are read: order.Decide says for each row which of them, or of the book, it is.
type people struct {
	byEmail, byName map[string][]int // places in parties
	parties         []order.Party    // Person: a buyer of the book, or -1 and below, a new one: -1-place in the report
	at              map[int64]int    // place in the report of a buyer of the book
	guesses         map[string]int   // place by name and address, where only a guess is left
}

// mostPlaces bounds with how many addresses of one buyer a row is compared.
const mostPlaces = 50

// settleBuyers says for each row who bought, by the rule for files; those with an e-mail address first, for they say most.
func (r *assembly) settleBuyers() {
	who := &people{byEmail: map[string][]int{}, byName: map[string][]int{}, at: map[int64]int{}, guesses: map[string]int{}}
	for _, s := range r.sales {
		r.nameless(s)
		s.person = -1
	}
	for _, mail := range []bool{true, false} {
		for _, s := range r.sales {
			if s.buyer.Name != "" && mail == (s.buyer.Email != "") {
				r.known(s, r.whose(s, who))
			}
		}
	}
}

// whose returns the place in the report of a row's buyer.
func (r *assembly) whose(s *sale, who *people) int {
	in := order.Party{Name: s.buyer.Name, Email: s.buyer.Email}
	place := order.PlaceKey(s.address)
	if place != "" {
		in.Addresses = []order.Address{s.address}
	}
	known := r.alike(in)
	d := order.Decide(order.TakeByName, in, append(who.like(in), parties(known, r.in.Book)...), r.in.Book.ToldApart)
	guess := order.NameKey(in.Name) + "/" + place
	at, guessed := who.guesses[guess]
	switch {
	case d.Take < 0:
		at = int(-1 - d.Take)
	case d.Take > 0:
		at = r.bookBuyer(s, who, d.Take, known)
	case in.Email == "" && guessed:
		return at
	default:
		at = r.addBuyer(s, several(d.Several, known))
		if id := r.report.Buyers[at].ID; id != 0 {
			who.at[id] = at
		}
		if in.Email == "" {
			who.guesses[guess] = at
		}
	}
	who.note(in, r.report.Buyers[at].ID, at)
	return at
}

// alike returns every writing of a buyer in the book with the name or the e-mail address.
func (r *assembly) alike(in order.Party) []order.Buyer {
	out := r.in.Book.Buyers(in.Name, "")
	if in.Email == "" {
		return out
	}
	seen := map[int64]bool{}
	for _, b := range out {
		seen[b.ID] = true
	}
	out = slices.Clone(out)
	for _, b := range r.in.Book.Buyers(in.Name, in.Email) {
		if !seen[b.ID] {
			out = append(out, b)
		}
	}
	return out
}

func parties(known []order.Buyer, book Book) []order.Party {
	var out []order.Party
	for _, b := range known {
		id := b.Person()
		out = append(out, order.Party{Person: id, Name: b.Name, Email: b.Email, Addresses: book.Places(id)})
	}
	return out
}

// like returns the buyers of the file with the name or the e-mail address.
func (w *people) like(in order.Party) []order.Party {
	var out []order.Party
	for _, i := range w.byName[order.NameKey(in.Name)] {
		out = append(out, w.parties[i])
	}
	if in.Email != "" {
		for _, i := range w.byEmail[order.EmailKey(in.Email)] {
			out = append(out, w.parties[i])
		}
	}
	return out
}

// note keeps how a buyer is written in a row.
func (w *people) note(in order.Party, id int64, at int) {
	in.Person = id
	if id == 0 {
		in.Person = int64(-1 - at)
	}
	name, mail := order.NameKey(in.Name), order.EmailKey(in.Email)
	for _, i := range w.byName[name] {
		p := &w.parties[i]
		if p.Person != in.Person || order.EmailKey(p.Email) != mail {
			continue
		}
		if len(in.Addresses) > 0 && len(p.Addresses) < mostPlaces && !slices.ContainsFunc(p.Addresses, func(a order.Address) bool { return order.PlaceKey(a) == order.PlaceKey(in.Addresses[0]) }) {
			p.Addresses = append(p.Addresses, in.Addresses[0])
		}
		return
	}
	w.parties = append(w.parties, in)
	w.byName[name] = append(w.byName[name], len(w.parties)-1)
	if mail != "" {
		w.byEmail[mail] = append(w.byEmail[mail], len(w.parties)-1)
	}
}

// several returns the buyers of the book among persons who fit by their name alone.
func several(persons []int64, known []order.Buyer) []order.Buyer {
	var out []order.Buyer
	for _, b := range known {
		if b.SameAs == 0 && slices.Contains(persons, b.ID) {
			out = append(out, b)
		}
	}
	return out
}

// nameless gives a row without a buyer the name that was answered.
func (r *assembly) nameless(s *sale) {
	if s.buyer.Name != "" {
		return
	}
	if s.buyer.Email != "" {
		s.buyer.Name = s.buyer.Email
		return
	}
	if name := clean(r.in.Answers[askNoBuyer]); name != "" {
		s.buyer.Name = name
		r.ask(wholeQuestion(askNoBuyer, s))
		return
	}
	_, column := s.plan.cell(s.row, Buyer)
	r.problem(s, column, trouble{"buyer.missing", "the row does not say who bought", "write a name, or say which name such buyers get", true, askNoBuyer})
}

func wholeQuestion(id string, s *sale) Question {
	q := wholeFile[id]
	q.ID, q.Where = id, s.place(-1)
	return q
}

// known gives a row its buyer, and the buyer what the row knows more.
func (r *assembly) known(s *sale, at int) {
	s.person = at
	if at < 0 {
		return
	}
	b := &r.report.Buyers[at]
	if b.ID == 0 && b.Buyer.Phone == "" {
		b.Buyer.Phone = s.buyer.Phone
	}
	if b.Ask != "" && b.ID == 0 {
		r.problem(s, -1, trouble{"buyer.which", "several buyers in the book have the name " + fault.Clip(s.buyer.Name), "say which one it is", true, b.Ask})
	}
}

// bookBuyer returns the place in the report of a buyer of the book.
func (r *assembly) bookBuyer(s *sale, who *people, id int64, known []order.Buyer) int {
	if at, ok := who.at[id]; ok {
		return at
	}
	b := NewBuyer{ID: id, Buyer: s.buyer, Said: s.buyer.Said(), Row: s.place(-1)}
	for _, k := range known {
		if k.ID == id {
			b.Buyer = k
		}
	}
	who.at[id] = len(r.report.Buyers)
	r.report.Buyers = append(r.report.Buyers, b)
	return who.at[id]
}

// addBuyer makes a buyer of a row; when several of the book have its name, she is asked which of them it is.
func (r *assembly) addBuyer(s *sale, several []order.Buyer) int {
	b := NewBuyer{Buyer: s.buyer, Said: s.buyer.Said(), Row: s.place(-1)}
	if len(several) > 1 {
		r.askBuyer(s, &b, several)
	}
	r.report.Buyers = append(r.report.Buyers, b)
	return len(r.report.Buyers) - 1
}

const newBuyer = "new"

func (r *assembly) askBuyer(s *sale, b *NewBuyer, known []order.Buyer) {
	q := Question{ID: "buyer:" + Fold(s.buyer.Name) + ":" + order.EmailKey(s.buyer.Email), What: "Which buyer is " + fault.Clip(s.buyer.Name) + "?", Where: s.place(-1)}
	for _, k := range known {
		value := strconv.FormatInt(k.ID, 10)
		q.Choices = append(q.Choices, Choice{value, clean(k.Name + " " + k.Email)})
		if r.in.Answers[q.ID] == value {
			b.ID, b.Buyer = k.ID, k
		}
	}
	q.Choices = append(q.Choices, Choice{newBuyer, "another one"})
	r.ask(q)
	if r.in.Answers[q.ID] != newBuyer {
		b.Ask = q.ID
	}
}
