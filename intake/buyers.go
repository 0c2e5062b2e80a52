package intake

import (
	"strconv"

	"solander/fault"
	"solander/order"
)

// settleBuyers says for each row who bought: rows with the same e-mail address are one buyer; rows without one go by the name.
func (r *reader) settleBuyers() {
	byEmail, byName := map[string]int{}, map[string]int{}
	names := map[string]map[int]bool{}
	for _, s := range r.sales {
		r.nameless(s)
		s.person = -1
		if s.buyer.Email == "" {
			continue
		}
		key := emailKey(s.buyer.Email)
		at, ok := byEmail[key]
		if !ok {
			at = r.addBuyer(s)
			byEmail[key] = at
		}
		r.known(s, at)
		if n := Fold(s.buyer.Name); n != "" {
			if names[n] == nil {
				names[n] = map[int]bool{}
			}
			names[n][at] = true
		}
	}
	for _, s := range r.sales {
		n := Fold(s.buyer.Name)
		if s.person >= 0 || n == "" {
			continue
		}
		at, ok := byName[n]
		if !ok {
			at = -1
			for only := range names[n] {
				at = only
			}
			if len(names[n]) != 1 {
				at = r.addBuyer(s)
			}
			byName[n] = at
		}
		r.known(s, at)
	}
}

// emailKey compares addresses without regard to capitals.
func emailKey(s string) string {
	b := []byte(s)
	for i, c := range b {
		if c >= 'A' && c <= 'Z' {
			b[i] = c | 0x20
		}
	}
	return string(b)
}

// nameless gives a row without a buyer the name that was answered.
func (r *reader) nameless(s *sale) {
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
func (r *reader) known(s *sale, at int) {
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

// addBuyer makes a buyer of a row, or finds it in the book.
func (r *reader) addBuyer(s *sale) int {
	b := NewBuyer{Buyer: s.buyer, Row: s.place(-1)}
	known := r.in.Book.Buyers(s.buyer.Name, s.buyer.Email)
	if len(known) == 0 && s.buyer.Email != "" {
		for _, k := range r.in.Book.Buyers(s.buyer.Name, "") {
			if k.Email == "" {
				known = append(known, k)
			}
		}
	}
	if len(known) == 1 {
		b.ID, b.Buyer = known[0].ID, known[0]
	}
	if len(known) > 1 {
		r.askBuyer(s, &b, known)
	}
	r.report.Buyers = append(r.report.Buyers, b)
	return len(r.report.Buyers) - 1
}

const newBuyer = "new"

func (r *reader) askBuyer(s *sale, b *NewBuyer, known []order.Buyer) {
	q := Question{ID: "buyer:" + Fold(s.buyer.Name) + ":" + emailKey(s.buyer.Email), What: "Which buyer is " + fault.Clip(s.buyer.Name) + "?", Where: s.place(-1)}
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
