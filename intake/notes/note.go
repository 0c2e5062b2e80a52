// Package notes finds what a note says: facts, each with the words it was read from and how plainly they say it. It takes none of
// them: that needs her yes.
package notes

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"solander/calendar"
	"solander/intake"
	"solander/intake/cell"
	"solander/money"
)

// Figures is how days, amounts and sizes are written in a file.
type Figures struct {
	Currency, Decimal, Unit string
	Days                    intake.DayOrder
}

// Bounds of a note; what is beyond is kept and not read.
const (
	MostNote  = 4_000 // bytes
	mostFacts = 40
)

// FactsIn finds what a note says, in the order of its words. near is the day of the sale, for days without a year; zero
// leaves such days out. The facts have no ids yet.
func (g Figures) FactsIn(note string, near calendar.Day) []intake.Fact {
	if len(note) > MostNote || !utf8.ValidString(note) {
		return nil
	}
	var all []intake.Fact
	taken := make([]bool, len(note))
	digit := strings.ContainsAny(note, "0123456789")
	for _, p := range patterns {
		if !digit && p.value.figures() {
			continue
		}
		for from := 0; from < len(note) && len(all) < mostFacts; {
			m := p.re().FindStringSubmatchIndex(note[from:])
			if m == nil {
				break
			}
			for i := range m {
				if m[i] >= 0 {
					m[i] += from
				}
			}
			from = max(m[3], from+1)
			for from < len(note) && !utf8.RuneStart(note[from]) {
				from++
			}
			if slices.Contains(taken[m[2]:m[3]], true) || negated(note[:m[2]], p.kind) {
				continue
			}
			f, ok := g.fact(p, note, m, near)
			if !ok {
				continue
			}
			f = ofTheLab(f, note, taken)
			for i := m[2]; i < m[3]; i++ {
				taken[i] = true
			}
			all = append(all, f)
		}
	}
	slices.SortStableFunc(all, func(a, b intake.Fact) int { return cmp.Compare(a.Start, b.Start) })
	return all
}

// negated reports a no or not before words that mean the opposite with it.
func negated(before string, kind intake.FactKind) bool {
	if kind != intake.IsGift && kind != intake.PaidAll && kind != intake.PaidPart {
		return false
	}
	fields := strings.Fields(strings.ToLower(before))
	if len(fields) == 0 {
		return false
	}
	switch fields[len(fields)-1] {
	case "no", "not", "isn't", "never", "un", "kein", "nicht":
		return true
	}
	return false
}

// fact makes a fact of a match: m[2:4] are its words, m[4:6] the part with the value.
func (g Figures) fact(p pattern, note string, m []int, near calendar.Day) (intake.Fact, bool) {
	f := intake.Fact{Kind: p.kind, Words: note[m[2]:m[3]], Start: m[2], End: m[3], Percent: p.percent, Sure: p.sure}
	if p.value == noValue {
		return f, true
	}
	at := 4
	for at+1 < len(m) && m[at] < 0 {
		at += 2
	}
	if at+1 >= len(m) {
		return f, false
	}
	ok := g.value(&f, p.value, note[m[at]:m[at+1]], near)
	return f, ok
}

func (g Figures) value(f *intake.Fact, kind valueOfFact, text string, near calendar.Day) bool {
	switch kind {
	case moneyValue:
		return g.amount(f, text)
	case percentValue:
		n, err := strconv.Atoi(text)
		f.Percent = n
		return err == nil && n > 0 && n <= 100
	case dayValue:
		return g.day(f, text, near)
	case sizeValue:
		z, ok, t := cell.SizeOf(text, g.Unit)
		f.Width, f.Height, f.Text = z.Width, z.Height, text
		if t.Rule == "size.unit" {
			f.Sure = intake.Doubtful
			return true
		}
		return ok
	}
	f.Text = text
	return true
}

func (g Figures) amount(f *intake.Fact, text string) bool {
	s := strings.ToLower(text)
	for _, w := range []struct{ word, code string }{{"dollars", "$"}, {"dollar", "$"}, {"euros", "EUR"}, {"euro", "EUR"}, {"pounds", "GBP"}, {"pound", "GBP"}} {
		if rest, ok := strings.CutSuffix(s, w.word); ok {
			s = rest + w.code
			break
		}
	}
	a, ok, t := cell.AmountText(s, g.Currency, g.Decimal)
	if t.Rule == "amount.decimal" {
		f.Sure, f.Text = intake.Doubtful, text
		return true
	}
	f.Amount = a
	return ok && a.Minor > 0
}

func (g Figures) day(f *intake.Fact, text string, near calendar.Day) bool {
	d, ok, t := cell.DayText(text, g.Days)
	if t.Rule == "day.order" {
		f.Sure, f.Text = intake.Doubtful, text
		return true
	}
	if !ok || d.Year == 0 && near.IsZero() {
		f.Text = text
		return ok
	}
	f.Day, f.NoYear = d.Near(near), d.Year == 0
	if f.NoYear && f.Day.Before(near) && f.Kind != intake.SoldOnDay && f.Kind != intake.SomeDay {
		y, _, _ := f.Day.Civil()
		f.Day = d.In(y + 1) // what follows a sale comes after it
	}
	if f.NoYear && f.Sure == intake.Plain {
		f.Sure = intake.Likely
	}
	return true
}

// Contradict fills Against of each fact with the ids of those that cannot be true with it. due is what the order costs;
// zero when it is not known.
func Contradict(facts []intake.Fact, due money.Amount) {
	for i := range facts {
		for j := range facts {
			if i != j && against(facts[i], facts[j], due) {
				facts[i].Against = append(facts[i].Against, facts[j].ID)
			}
		}
	}
}

func against(a, b intake.Fact, due money.Amount) bool {
	if rank(a.Kind) > rank(b.Kind) {
		a, b = b, a
	}
	switch {
	case a.Kind == b.Kind:
		return differ(a, b)
	case a.Kind == intake.PaidAll:
		return b.Kind == intake.NotPaid || b.Kind == intake.StillOwed || b.Kind == intake.PaidPart && b.Percent != 100
	case a.Kind == intake.NotPaid:
		return b.Kind == intake.PaidPart
	case a.Kind == intake.StillOwed && b.Kind == intake.PaidPart:
		x, ok1 := Share(a, due)
		y, ok2 := Share(b, due)
		return ok1 && ok2 && x.Minor+y.Minor != due.Minor
	}
	return false
}

// rank puts the kinds that are about money in an order, so that against looks at each pair once.
func rank(k intake.FactKind) int {
	return slices.Index([]intake.FactKind{intake.PaidAll, intake.NotPaid, intake.StillOwed, intake.PaidPart}, k) & 0xF
}

func differ(a, b intake.Fact) bool {
	switch a.Kind {
	case intake.StillOwed:
		return a.Amount != b.Amount || a.Percent != b.Percent
	case intake.SheetOn, intake.LabDay, intake.HoldUntil, intake.NeededBy, intake.SentOnDay, intake.SoldOnDay:
		return a.Day != b.Day
	case intake.OfSize:
		return a.Width != b.Width || a.Height != b.Height
	case intake.OfGrade, intake.HowMany:
		return intake.Fold(a.Text) != intake.Fold(b.Text)
	}
	return false
}

// Share is the amount of a fact about money, of a total that is known when only a share of it is said.
func Share(f intake.Fact, due money.Amount) (money.Amount, bool) {
	if f.Percent == 0 {
		return f.Amount, !f.Amount.IsZero() && due.Minor > 0
	}
	if due.Minor <= 0 {
		return money.Amount{}, false
	}
	a, err := due.Share(int64(f.Percent), 100)
	return a, err == nil
}
