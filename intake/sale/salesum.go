package sale

import (
	"solander/edition"
	"solander/intake"
	"solander/money"
)

// First is the first print of a row.
func (s *Sale) First() *Sale {
	if s.head != nil {
		return s.head
	}
	return s
}

// dueEach is what a row costs that says a price for each of its kinds of prints.
func (s *Sale) dueEach(currency string) money.Amount {
	if s.Each == nil {
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
	for _, p := range s.Pieces() {
		add(p.Each, p.Copies())
	}
	add(s.Postage, 1)
	add(s.Tax, 1)
	return total
}

// ProvenBy says what the price of several prints is of, when only one way comes to the total of the row; else "".
func (s *Sale) ProvenBy(currency string) string {
	if s.Total == nil {
		return ""
	}
	total := *s.Total
	without, bare := *s.Wording, *s
	without.Total, bare.Wording = nil, &without
	each, all := bare.Due(currency, intake.OfEach) == total, bare.Due(currency, intake.OfAll) == total
	switch {
	case each && !all:
		return intake.OfEach
	case all && !each:
		return intake.OfAll
	}
	return ""
}

func (s *Sale) ColumnName(f intake.Field) string {
	_, column := s.Grid.Cell(s.Row, f)
	if column < 0 {
		return ""
	}
	return s.Grid.Name(column)
}

// Due is what the row costs, goods and postage; nothing when its price is not known.
func (s *Sale) Due(currency, several string) money.Amount {
	if s.Total != nil {
		return *s.Total
	}
	if s.Price == nil {
		return s.dueEach(currency)
	}
	n := s.Prints()
	if several == intake.OfAll {
		n = 1
	} else if several == "" && n > 1 {
		return money.Amount{}
	}
	sum, err := s.Price.Times(int64(n))
	if err != nil {
		return money.Of(0, currency)
	}
	for _, more := range []*money.Amount{s.Postage, s.Tax} {
		if more == nil {
			continue
		}
		if sum, err = sum.Add(*more); err != nil {
			return money.Of(0, currency)
		}
	}
	return sum
}

// Prints is how many prints the row sells.
func (s *Sale) Prints() int {
	n := 0
	for _, p := range s.Pieces() {
		n += p.Copies()
	}
	return n
}

// Copies is how many of this one kind it sells.
func (s *Sale) Copies() int { return max(1, s.quantity, len(s.Numbers.Numbers)) }

// Pieces are the kinds of prints of a row.
func (s *Sale) Pieces() []*Sale { return append([]*Sale{s}, s.Also...) }

func TitleColumn(s *Sale) int {
	_, column := s.Grid.Cell(s.Row, intake.Title)
	return column
}

// Of is the limit that a row says: in its column, or behind the stroke of a numbered impression.
func (s *Sale) Of() int {
	if s.limit > 0 {
		return s.limit
	}
	if n := s.Numbers; len(n.Numbers) > 0 && n.Numbers[0].Kind == edition.Numbered {
		return n.Of
	}
	return 0
}
