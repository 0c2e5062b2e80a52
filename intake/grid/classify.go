package grid

import (
	"regexp"

	"solander/intake"
	"solander/intake/cell"
)

var totalWords = regexp.MustCompile(`^(?:grand |sub ?)?(?:total|totals|sum|sums|summe|gesamt|gesamtsumme|endsumme|subtotal|insgesamt|somme|totaux|suma|totales)(?: (?:of |for |sold |sales )?[\pL0-9]+)?$`)

// Aside says why a row is no sale; rule is "" when it may be one. Blank rows are not in a table.
func (p *Grid) Aside(r *intake.Row) (rule, why string) {
	filled, single := 0, -1
	for i, c := range r.Cells {
		if !c.Blank() && !c.Merged {
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
	case filled == 1 && r.Cells[single].Kind == intake.Words:
		return "section", "it holds one text alone, as a title of the rows below it does"
	case p.onlyMoney(r):
		return "total", "it holds sums alone, without day, buyer or title"
	case !p.anyField(r):
		return "section", "none of the mapped columns has a value"
	}
	return "", ""
}

// repeats reports a row whose mapped cells all hold their headings.
func (p *Grid) repeats(r *intake.Row) bool {
	same := 0
	for i, h := range p.Headings {
		c := r.At(i)
		switch {
		case c.Blank() || c.Merged:
		case h != "" && intake.Fold(c.Text) == h:
			same++
		default:
			return false
		}
	}
	return same >= 2
}

// totals reports a row whose first text is a word for a total, which has a figure, and names no one and nothing else.
func (p *Grid) totals(r *intake.Row) bool {
	if !p.beginsTotal(r) {
		return false
	}
	named, figures := -1, 0 // the word itself is no name
	for i, c := range r.Cells {
		switch {
		case c.Blank() || c.Merged:
		case c.Kind == intake.Number || c.Formula:
			figures++
		case named < 0:
			named++
		case i < len(p.Used) && p.Used[i] != intake.Unused:
			if isAmount(c.Text) {
				figures++
				continue
			}
			named++
		}
	}
	return named == 0 && figures > 0
}

// isAmount reports a text that is money, of whatever currency and with either sign for decimals.
func isAmount(text string) bool {
	for _, decimal := range []string{".", ","} {
		if _, ok, t := cell.AmountText(text, "USD", decimal); ok || t.Rule == "amount.currency" {
			return true
		}
	}
	return false
}

// beginsTotal reports a row whose first cell that is a text is a word for a total.
func (p *Grid) beginsTotal(r *intake.Row) bool {
	for _, c := range r.Cells {
		if c.Kind == intake.Words && !c.Merged && !c.Blank() {
			return totalWords.MatchString(intake.Fold(c.Text))
		}
	}
	return false
}

var MoneyFields = map[intake.Field]bool{intake.Price: true, intake.Total: true, intake.Paid: true, intake.Owed: true, intake.Fee: true, intake.Postage: true, intake.Tax: true, intake.Quantity: true}

// onlyMoney reports a row of at least one formula, whose mapped values are all sums.
func (p *Grid) onlyMoney(r *intake.Row) bool {
	formulas := 0
	for i, c := range r.Cells {
		if c.Blank() || c.Merged {
			continue
		}
		if i >= len(p.Used) || p.Used[i] == intake.Unused {
			if c.Kind == intake.Words {
				return false
			}
			continue
		}
		if !MoneyFields[p.Used[i]] || c.Kind != intake.Number {
			return false
		}
		if c.Formula {
			formulas++
		}
	}
	return formulas > 0
}

func (p *Grid) anyField(r *intake.Row) bool {
	for i, f := range p.Used {
		if f != intake.Unused && !r.At(i).Blank() && !r.At(i).Merged {
			return true
		}
	}
	return false
}

// Meanings is what the colours and the words of a file mean.
type Meanings struct {
	fills map[intake.Fill]intake.Meaning
	words map[string]intake.Meaning
}

func NewMeanings(m intake.Mapping) Meanings {
	r := Meanings{map[intake.Fill]intake.Meaning{}, map[string]intake.Meaning{}}
	for _, f := range m.Fills {
		r.fills[f.Fill] = f.Means
	}
	for _, w := range m.Words {
		r.words[intake.WordKey(w.Text)] = w.Means
	}
	return r
}

// RowMeaning works out what the colours of a row mean: the meaning on which all its meaningful colours agree. fill is the
// colour shown for the row; two says that colours disagree; unknown are colours without a meaning, which cover most of the row.
func (r Meanings) RowMeaning(p *Grid, row *intake.Row) (means intake.Meaning, fill intake.Fill, two bool, unknown intake.Fill) {
	means = intake.Nothing
	count := map[intake.Fill]int{}
	filled := 0
	for _, c := range row.Cells {
		if c.Blank() || c.Merged {
			continue
		}
		filled++
		if r.NoColour(c.Fill) {
			continue
		}
		count[c.Fill]++
		if count[c.Fill] > count[fill] || fill == 0 {
			fill = c.Fill
		}
		m := r.fills[c.Fill]
		if m == "" || m == intake.Nothing {
			continue
		}
		if means != intake.Nothing && means != m {
			two = true
		}
		means = m
	}
	if fill != 0 && r.fills[fill] == "" && count[fill]*2 > filled {
		unknown = fill
	}
	return means, fill, two, unknown
}

// StateWord works out what the word of a row's state column means. found is false for a word that the mapping does not know.
func (r Meanings) StateWord(text string) (means intake.Meaning, found bool) {
	w := intake.WordKey(text)
	if w == "" {
		return intake.Nothing, true
	}
	means, found = r.words[w]
	return means, found
}

// Unpainted reports a row without a colour of its own: none of its cells has one, or only few have one that means nothing.
// White is a colour only where the mapping says what it means.
func (r Meanings) Unpainted(fill, unknown intake.Fill) bool {
	return fill == 0 || unknown == 0 && r.fills[fill] == ""
}

// NoColour reports a fill that does not count as a colour.
func (r Meanings) NoColour(f intake.Fill) bool { return f == 0 || f.Plain() && r.fills[f] == "" }
