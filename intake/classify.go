package intake

import (
	"regexp"
)

var totalWords = regexp.MustCompile(`^(?:grand |sub ?)?(?:total|totals|sum|sums|summe|gesamt|gesamtsumme|endsumme|subtotal|insgesamt|somme|totaux|suma|totales)(?: (?:of |for |sold |sales )?[\pL0-9]+)?$`)

// aside says why a row is no sale; rule is "" when it may be one. Blank rows are not in a table.
func (p *plan) aside(r *Row) (rule, why string) {
	filled, single := 0, -1
	for i, c := range r.Cells {
		if !c.blank() && !c.Merged {
			filled++
			single = i
		}
	}
	switch {
	case filled == 0:
		return "section", "it holds nothing but what merged cells carry into it"
	case p.repeats(r):
		return "heading", "it repeats the headings"
	case p.totals(r):
		return "total", "it is a row of totals"
	case filled == 1 && r.Cells[single].Kind == Words:
		return "section", "it holds one text alone, as a title of the rows below it does"
	case p.onlyMoney(r):
		return "total", "it holds sums alone, without day, buyer or title"
	case !p.anyField(r):
		return "section", "none of the mapped columns has a value"
	}
	return "", ""
}

// repeats reports a row whose mapped cells all hold their headings.
func (p *plan) repeats(r *Row) bool {
	same := 0
	for i, h := range p.headings {
		c := r.At(i)
		switch {
		case c.blank() || c.Merged:
		case h != "" && Fold(c.Text) == h:
			same++
		default:
			return false
		}
	}
	return same >= 2
}

// totals reports a row whose first text is a word for a total, which has a figure, and names no one and nothing else.
func (p *plan) totals(r *Row) bool {
	if !p.beginsTotal(r) {
		return false
	}
	named, figures := -1, 0 // the word itself is no name
	for i, c := range r.Cells {
		switch {
		case c.blank() || c.Merged:
		case c.Kind == Number || c.Formula:
			figures++
		case named < 0:
			named++
		case i < len(p.used) && p.used[i] != Unused:
			if _, ok, _ := amountText(c.Text, "USD", "."); ok {
				figures++
				continue
			}
			named++
		}
	}
	return named == 0 && figures > 0
}

// beginsTotal reports a row whose first cell that is a text is a word for a total.
func (p *plan) beginsTotal(r *Row) bool {
	for _, c := range r.Cells {
		if c.Kind == Words && !c.Merged && !c.blank() {
			return totalWords.MatchString(Fold(c.Text))
		}
	}
	return false
}

var moneyFields = map[Field]bool{Price: true, Total: true, Paid: true, Owed: true, Fee: true, Postage: true, Tax: true, Quantity: true}

// onlyMoney reports a row of at least one formula, whose mapped values are all sums.
func (p *plan) onlyMoney(r *Row) bool {
	formulas := 0
	for i, c := range r.Cells {
		if c.blank() || c.Merged {
			continue
		}
		if i >= len(p.used) || p.used[i] == Unused {
			if c.Kind == Words {
				return false
			}
			continue
		}
		if !moneyFields[p.used[i]] || c.Kind != Number {
			return false
		}
		if c.Formula {
			formulas++
		}
	}
	return formulas > 0
}

func (p *plan) anyField(r *Row) bool {
	for i, f := range p.used {
		if f != Unused && !r.At(i).blank() && !r.At(i).Merged {
			return true
		}
	}
	return false
}

// meanings is what the colours and the words of a file mean.
type meanings struct {
	fills map[Fill]Meaning
	words map[string]Meaning
}

func meaningsOf(m Mapping) meanings {
	r := meanings{map[Fill]Meaning{}, map[string]Meaning{}}
	for _, f := range m.Fills {
		r.fills[f.Fill] = f.Means
	}
	for _, w := range m.Words {
		r.words[wordKey(w.Text)] = w.Means
	}
	return r
}

// rowMeaning works out what the colours of a row mean: the meaning on which all its meaningful colours agree. fill is the
// colour shown for the row; two says that colours disagree; unknown are colours without a meaning, which cover most of the row.
func (r meanings) rowMeaning(p *plan, row *Row) (means Meaning, fill Fill, two bool, unknown Fill) {
	means = Nothing
	count := map[Fill]int{}
	filled := 0
	for _, c := range row.Cells {
		if c.blank() || c.Merged {
			continue
		}
		filled++
		if r.noColour(c.Fill) {
			continue
		}
		count[c.Fill]++
		if count[c.Fill] > count[fill] || fill == 0 {
			fill = c.Fill
		}
		m := r.fills[c.Fill]
		if m == "" || m == Nothing {
			continue
		}
		if means != Nothing && means != m {
			two = true
		}
		means = m
	}
	if fill != 0 && r.fills[fill] == "" && count[fill]*2 > filled {
		unknown = fill
	}
	return means, fill, two, unknown
}

// stateWord works out what the word of a row's state column means. found is false for a word that the mapping does not know.
func (r meanings) stateWord(text string) (means Meaning, found bool) {
	w := wordKey(text)
	if w == "" {
		return Nothing, true
	}
	means, found = r.words[w]
	return means, found
}

// unpainted reports a row without a colour of its own: none of its cells has one, or only few have one that means nothing.
// White is a colour only where the mapping says what it means.
func (r meanings) unpainted(fill, unknown Fill) bool {
	return fill == 0 || unknown == 0 && r.fills[fill] == ""
}

// noColour reports a fill that does not count as a colour.
func (r meanings) noColour(f Fill) bool { return f == 0 || f.Plain() && r.fills[f] == "" }
