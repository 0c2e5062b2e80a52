package charging

import (
	"fmt"
	"slices"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/money"
)

// MostRows bounds a table; beyond lies a typing error.
const MostRows = 100

// Check looks at a table alone: each row by itself, and the tiers of each charge, which begin at nothing, follow on one another without a
// gap or an overlap, and have no end; and that rows with days follow rows without, so that no sale is before the table.
// Faults: Invalid, in fields "fees[2].over".
func (t Table) Check() error {
	var l fault.List
	l.Check(len(t) <= MostRows, "fees", fmt.Sprintf("%d rows are too many for a fee table", len(t)), fmt.Sprintf("use up to %d", MostRows))
	if len(t) > MostRows {
		return l.Err()
	}
	currency := ""
	for i, r := range t {
		l.Add(r.check(fmt.Sprintf("fees[%d].", i), &currency))
	}
	if err := l.Err(); err != nil {
		return err
	}
	for _, what := range Whats() {
		l.Add(t.checkDays(what))
	}
	return l.Err()
}

// place is a row of a table with its place in it.
type place struct {
	Row
	at int
}

func (p place) field(name string) string { return fmt.Sprintf("fees[%d].%s", p.at, name) }

// checkDays looks at the rows of a kind, day by day.
func (t Table) checkDays(what What) error {
	var l fault.List
	byDay := map[calendar.Day][]place{}
	var first *place
	for i, r := range t {
		if r.What != what {
			continue
		}
		p := place{r, i}
		byDay[r.From] = append(byDay[r.From], p)
		if first == nil || r.From.Before(first.From) {
			first = &p
		}
	}
	if first != nil && !first.From.IsZero() {
		l.Add(fault.Invalidf(first.field("from"), "the table says nothing of a %s before %s", what, first.From).
			ToMend("add a row without a day for the time before; its share may be 0"))
	}
	for _, rows := range byDay {
		for len(rows) > 0 {
			name := rows[0].Name
			var tiers []place
			rows = slices.DeleteFunc(rows, func(p place) bool {
				if p.Name == name {
					tiers = append(tiers, p)
				}
				return p.Name == name
			})
			l.Add(checkTiers(tiers))
		}
	}
	return l.Err()
}

// checkTiers looks at the tiers of one charge on one day.
func checkTiers(tiers []place) error {
	slices.SortStableFunc(tiers, func(a, b place) int { return int(min(1, max(-1, a.Over.Minor-b.Over.Minor))) })
	first := tiers[0]
	if !first.Over.IsZero() {
		return fault.Invalidf(first.field("over"), "%q has a gap: nothing is said of amounts up to %s", first.Name, first.Over).ToMend("begin its lowest tier at nothing")
	}
	for i, p := range tiers[1:] {
		before := tiers[i]
		switch {
		case before.UpTo.IsZero(), before.UpTo.Minor > p.Over.Minor:
			return fault.Invalidf(p.field("over"), "%q has two tiers for amounts just above %s", p.Name, p.Over).
				ToMend("let a tier begin where the one before it ends, or give another charge a name of its own")
		case before.UpTo.Minor < p.Over.Minor:
			return fault.Invalidf(p.field("over"), "%q has a gap: nothing is said of amounts over %s up to %s", p.Name, before.UpTo, p.Over).
				ToMend("begin the tier over %s", before.UpTo)
		case p.Of.or() != first.Of.or():
			return fault.Invalidf(p.field("of"), "the tiers of %q are of different amounts", p.Name).ToMend("choose the same for all of them")
		case p.Parts != first.Parts:
			return fault.Invalidf(p.field("parts"), "some tiers of %q are of the whole amount, some of a part of it", p.Name).ToMend("choose the same for all of them")
		}
	}
	if last := tiers[len(tiers)-1]; !last.UpTo.IsZero() {
		return fault.Invalidf(last.field("up_to"), "%q has a gap: nothing is said of amounts over %s", last.Name, last.UpTo).ToMend("leave the end of its highest tier empty")
	}
	return nil
}

// check looks at a row by itself. currency is that of the rows before.
func (r Row) check(at string, currency *string) error {
	var l fault.List
	l.Check(slices.Contains(Whats(), r.What), at+"what", fmt.Sprintf("%.20q is nothing that is charged", string(r.What)), "use sale or payment")
	l.Check(slices.Contains(Ofs(), r.Of.or()), at+"of", fmt.Sprintf("%.20q is nothing of which a share is taken", string(r.Of)), "use prints, postage, tax or each-print")
	l.Check(r.What != Payment || r.Of.or() == Prints, at+"of", "a fee on a payment is of what was paid", "leave it at the prints")
	name := strings.TrimSpace(r.Name)
	l.Check(name != "", at+"name", "the charge has no name", "call it as the outlet does, such as commission")
	l.Check(len([]rune(name)) <= 60 && !strings.ContainsFunc(name, func(c rune) bool { return c < ' ' }), at+"name", "the name is too long, or not one line", "use up to 60 letters")
	l.Check(r.Share >= 0 && r.Share <= Whole, at+"share", "the share is between 0 and 100 %", "give the share of a sale")
	l.Check(r.From.IsZero() || !r.From.Before(calendar.Earliest) && !r.From.After(calendar.Latest), at+"from", fmt.Sprintf("%s is not a likely day", r.From), "look at the year")
	l.Check(r.UpTo.IsZero() || r.UpTo.Minor > r.Over.Minor, at+"up_to", "the tier ends before it begins", "look at both ends")
	l.Check(r.Most.IsZero() || r.Most.Minor >= r.Least.Minor, at+"most", "the most is below the least", "look at both")
	for _, x := range []struct {
		field string
		a     money.Amount
	}{{"over", r.Over}, {"up_to", r.UpTo}, {"fixed", r.Fixed}, {"least", r.Least}, {"most", r.Most}} {
		l.Check(x.a.Sign() >= 0 && x.a.Minor <= money.MaxMinor, at+x.field, "the amount is negative or absurd", "give an amount from 0")
		switch {
		case x.a.IsZero():
		case *currency == "":
			*currency = x.a.Currency
		default:
			l.Check(x.a.Currency == *currency, at+x.field, fmt.Sprintf("it is in %.10q, rows before are in %s", x.a.Currency, *currency), "use one currency in a table")
		}
	}
	return l.Err()
}

// Each does something to every amount of the table, named as Check names it, such as to see that it is in the studio's currency.
// Faults: those of what is done.
func (t Table) Each(do func(field string, a money.Amount) (money.Amount, error)) (Table, error) {
	out := slices.Clone(t)
	for i := range out {
		r := &out[i]
		for name, a := range map[string]*money.Amount{"over": &r.Over, "up_to": &r.UpTo, "fixed": &r.Fixed, "least": &r.Least, "most": &r.Most} {
			if a.IsZero() {
				*a = money.Amount{}
				continue
			}
			var err error
			if *a, err = do(fmt.Sprintf("fees[%d].%s", i, name), *a); err != nil {
				return nil, err
			}
		}
	}
	return out, nil
}
