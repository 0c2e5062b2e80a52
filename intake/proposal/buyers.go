package proposal

import (
	"slices"
	"strconv"

	"solander/fault"
	"solander/intake"
	"solander/intake/cell"
	"solander/intake/sale"
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
	for _, s := range r.Sales {
		r.nameless(s)
		s.Person = -1
	}
	for _, mail := range []bool{true, false} {
		for _, s := range r.Sales {
			if s.Buyer.Name != "" && mail == (s.Buyer.Email != "") {
				r.known(s, r.whose(s, who))
			}
		}
	}
}

// whose returns the place in the report of a row's buyer.
func (r *assembly) whose(s *sale.Sale, who *people) int {
	in := order.Party{Name: s.Buyer.Name, Email: s.Buyer.Email}
	place := order.PlaceKey(s.Address)
	if place != "" {
		in.Addresses = []order.Address{s.Address}
	}
	known := r.alike(in)
	d := order.Decide(order.TakeByName, in, append(who.like(in), parties(known, r.In.Book)...), r.In.Book.ToldApart)
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
		if id := r.Report.Buyers[at].ID; id != 0 {
			who.at[id] = at
		}
		if in.Email == "" {
			who.guesses[guess] = at
		}
	}
	who.note(in, r.Report.Buyers[at].ID, at)
	return at
}

// alike returns every writing of a buyer in the book with the name or the e-mail address.
func (r *assembly) alike(in order.Party) []order.Buyer {
	out := r.In.Book.Buyers(in.Name, "")
	if in.Email == "" {
		return out
	}
	seen := map[int64]bool{}
	for _, b := range out {
		seen[b.ID] = true
	}
	out = slices.Clone(out)
	for _, b := range r.In.Book.Buyers(in.Name, in.Email) {
		if !seen[b.ID] {
			out = append(out, b)
		}
	}
	return out
}

func parties(known []order.Buyer, book intake.Book) []order.Party {
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
		if len(in.Addresses) == 0 || len(p.Addresses) >= mostPlaces {
			return
		}
		key := order.PlaceKey(in.Addresses[0])
		if !slices.ContainsFunc(p.Addresses, func(a order.Address) bool { return order.PlaceKey(a) == key }) {
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
func (r *assembly) nameless(s *sale.Sale) {
	if s.Buyer.Name != "" {
		return
	}
	if s.Buyer.Email != "" {
		s.Buyer.Name = s.Buyer.Email
		return
	}
	if name := intake.Clean(r.In.Answers[intake.AskNoBuyer]); name != "" {
		s.Buyer.Name = name
		r.Ask(wholeQuestion(intake.AskNoBuyer, s))
		return
	}
	_, column := s.Grid.Cell(s.Row, intake.Buyer)
	r.Problem(s, column, cell.Trouble{Rule: "buyer.missing", What: "the row does not say who bought", Mend: "write a name, or say which name such buyers get", Bars: true, Ask: intake.AskNoBuyer})
}

func wholeQuestion(id string, s *sale.Sale) intake.Question {
	q := intake.WholeFile[id]
	q.ID, q.Where = id, s.Place(-1)
	return q
}

// known gives a row its buyer, and the buyer what the row knows more.
func (r *assembly) known(s *sale.Sale, at int) {
	s.Person = at
	if at < 0 {
		return
	}
	b := &r.Report.Buyers[at]
	if b.ID == 0 && b.Buyer.Phone == "" {
		b.Buyer.Phone = s.Buyer.Phone
	}
	if b.Ask != "" && b.ID == 0 {
		r.Problem(s, -1, cell.Trouble{Rule: "buyer.which", What: "several buyers in the book have the name " + fault.Clip(s.Buyer.Name), Mend: "say which one it is", Bars: true, Ask: b.Ask})
	}
}

// bookBuyer returns the place in the report of a buyer of the book.
func (r *assembly) bookBuyer(s *sale.Sale, who *people, id int64, known []order.Buyer) int {
	if at, ok := who.at[id]; ok {
		return at
	}
	b := intake.NewBuyer{ID: id, Buyer: s.Buyer, Said: s.Buyer.Said(), Row: s.Place(-1)}
	for _, k := range known {
		if k.ID == id {
			b.Buyer = k
		}
	}
	who.at[id] = len(r.Report.Buyers)
	r.Report.Buyers = append(r.Report.Buyers, b)
	return who.at[id]
}

// addBuyer makes a buyer of a row; when several of the book have its name, she is asked which of them it is.
func (r *assembly) addBuyer(s *sale.Sale, several []order.Buyer) int {
	b := intake.NewBuyer{Buyer: s.Buyer, Said: s.Buyer.Said(), Row: s.Place(-1)}
	if len(several) > 1 {
		r.askBuyer(s, &b, several)
	}
	r.Report.Buyers = append(r.Report.Buyers, b)
	return len(r.Report.Buyers) - 1
}

const newBuyer = "new"

func (r *assembly) askBuyer(s *sale.Sale, b *intake.NewBuyer, known []order.Buyer) {
	q := intake.Question{ID: "buyer:" + intake.Fold(s.Buyer.Name) + ":" + order.EmailKey(s.Buyer.Email), What: "Which buyer is " + fault.Clip(s.Buyer.Name) + "?", Where: s.Place(-1)}
	for _, k := range known {
		value := strconv.FormatInt(k.ID, 10)
		q.Choices = append(q.Choices, intake.Choice{Value: value, Words: intake.Clean(k.Name + " " + k.Email)})
		if r.In.Answers[q.ID] == value {
			b.ID, b.Buyer = k.ID, k
		}
	}
	q.Choices = append(q.Choices, intake.Choice{Value: newBuyer, Words: "another one"})
	r.Ask(q)
	if r.In.Answers[q.ID] != newBuyer {
		b.Ask = q.ID
	}
}
