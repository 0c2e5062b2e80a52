package intake

import (
	"regexp"
	"strings"
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

// rowMeaning works out what the colours of a row mean: the meaning on which all its meaningful colours agree. fill is the
// colour shown for the row; two says that colours disagree; unknown are colours without a meaning, which cover most of the row.
func (r *reader) rowMeaning(p *plan, row *Row) (means Meaning, fill Fill, two bool, unknown Fill) {
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
func (r *reader) stateWord(text string) (means Meaning, found bool) {
	w := wordKey(text)
	if w == "" {
		return Nothing, true
	}
	means, found = r.words[w]
	return means, found
}

// wordKey is a word of states as it is compared; a sign such as ✓ stays what it is.
func wordKey(text string) string {
	if w := Fold(text); w != "" {
		return w
	}
	return clean(text)
}

// clean joins the lines and spaces of a text of one line.
func clean(s string) string { return strings.Join(strings.Fields(s), " ") }
