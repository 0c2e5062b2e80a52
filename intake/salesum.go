package intake

import (
	"solander/edition"
	"solander/money"
)

// first is the first print of a row.
func (s *sale) first() *sale {
	if s.head != nil {
		return s.head
	}
	return s
}

// dueEach is what a row costs that says a price for each of its kinds of prints.
func (s *sale) dueEach(currency string) money.Amount {
	if s.each == nil {
		return money.Amount{}
	}
	total := money.Of(0, currency)
	add := func(a *money.Amount, n int) {
		if a == nil {
			return
		}
		if x, err := a.Times(int64(n)); err == nil {
			if next, err := total.Add(x); err == nil {
				total = next
			}
		}
	}
	for _, p := range s.pieces() {
		add(p.each, p.copies())
	}
	add(s.postage, 1)
	add(s.tax, 1)
	return total
}

// provenBy says what the price of several prints is of, when only one way comes to the total of the row; else "".
func (s *sale) provenBy(currency string) string {
	if s.total == nil {
		return ""
	}
	total := *s.total
	without, bare := *s.wording, *s
	without.total, bare.wording = nil, &without
	each, all := bare.due(currency, ofEach) == total, bare.due(currency, ofAll) == total
	switch {
	case each && !all:
		return ofEach
	case all && !each:
		return ofAll
	}
	return ""
}

func (s *sale) columnName(f Field) string {
	_, column := s.plan.cell(s.row, f)
	if column < 0 {
		return ""
	}
	return s.plan.name(column)
}

// due is what the row costs, goods and postage; nothing when its price is not known.
func (s *sale) due(currency, several string) money.Amount {
	if s.total != nil {
		return *s.total
	}
	if s.price == nil {
		return s.dueEach(currency)
	}
	n := s.prints()
	if several == ofAll {
		n = 1
	} else if several == "" && n > 1 {
		return money.Amount{}
	}
	sum, err := s.price.Times(int64(n))
	if err != nil {
		return money.Of(0, currency)
	}
	for _, more := range []*money.Amount{s.postage, s.tax} {
		if more == nil {
			continue
		}
		if sum, err = sum.Add(*more); err != nil {
			return money.Of(0, currency)
		}
	}
	return sum
}

// prints is how many prints the row sells.
func (s *sale) prints() int {
	n := 0
	for _, p := range s.pieces() {
		n += p.copies()
	}
	return n
}

// copies is how many of this one kind it sells.
func (s *sale) copies() int { return max(1, s.quantity, len(s.numbers.numbers)) }

// pieces are the kinds of prints of a row.
func (s *sale) pieces() []*sale { return append([]*sale{s}, s.also...) }

func titleColumn(s *sale) int {
	_, column := s.plan.cell(s.row, Title)
	return column
}

// of is the limit that a row says: in its column, or behind the stroke of a numbered impression.
func (s *sale) of() int {
	if s.limit > 0 {
		return s.limit
	}
	if n := s.numbers; len(n.numbers) > 0 && n.numbers[0].Kind == edition.Numbered {
		return n.of
	}
	return 0
}
