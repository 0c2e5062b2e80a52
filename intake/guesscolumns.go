package intake

import (
	"fmt"
	"slices"
	"strings"
)

// sample is what the values of a column look like.
type sample struct {
	values, days, money, numbers, sizes, emails, countries, long, region, words, whole, alone int
}

const mostSample = 200 // values of a column that are looked at

// sampleOf looks at a column below a row.
func sampleOf(s *Sheet, below, column int) sample {
	var v sample
	for _, r := range s.Rows {
		c := r.At(column)
		if r.N <= below || c.blank() || c.Merged {
			continue
		}
		if v.values++; v.values > mostSample {
			break
		}
		v.add(c)
	}
	return v
}

func (v *sample) add(c Cell) {
	v.alone += One(aloneDay(c) > 0)
	if c.Kind == Date {
		v.days++
		return
	}
	if c.Kind == Number {
		v.money++
		v.whole += One(!strings.Contains(c.Number, "."))
		return
	}
	if looksLikeDay(c.Text) {
		v.days++
		return
	}
	if _, ok, t := amountText(c.Text, "USD", ""); ok || t.rule == "amount.currency" || t.rule == "amount.decimal" {
		v.money++
		v.whole += One(strings.Trim(c.Text, "0123456789") == "")
	}
	if n, ok, _ := numbersText(c.Text); ok && (n.of > 0 || strings.ContainsAny(c.Text, "#") || len(n.numbers) > 0 && n.numbers[0].Kind != "N") {
		v.numbers++
	}
	if _, ok, t := sizeOf(c.Text, ""); ok || t.rule == "size.unit" {
		v.sizes++
	}
	at := strings.IndexByte(c.Text, '@')
	v.emails += One(at > 0 && strings.Contains(c.Text[at:], ".") && !strings.Contains(c.Text, " "))
	_, country := countryOf(c.Text)
	v.countries += One(country && len(c.Text) > 2)
	v.region += One(len(c.Text) == 2 && strings.ToUpper(c.Text) == c.Text)
	v.long += One(len(c.Text) > 30)
	v.words += One(c.Kind == Words)
}

// anyDay reports a text that is a day in one order or the other.
func anyDay(text string) bool {
	_, dm, _ := dayText(text, DayMonth)
	_, md, _ := dayText(text, MonthDay)
	return dm || md
}

// looksLikeDay reports a text that is a day and no amount: 4.05 may be both, and counts as an amount.
func looksLikeDay(text string) bool {
	d, ok, _ := dayText(text, MonthDay)
	if !ok {
		d, ok, _ = dayText(text, DayMonth)
	}
	return ok && (d.year != 0 || !d.order || strings.Contains(text, "/"))
}

// most reports that nearly all values of a column are of a kind.
func (v sample) most(n int) bool { return v.values > 0 && n*5 >= v.values*4 }

// agrees reports whether values can be of a field; a column without values can be of any.
func (v sample) agrees(f Field) bool {
	if v.values == 0 {
		return true
	}
	switch f {
	case SoldOn:
		return (v.days+v.alone)*2 >= v.values
	case Promised, ArriveBy, SentOn:
		return v.days*2 >= v.values
	case Price, Total, Owed, Fee, Postage, Tax:
		return v.money*2 >= v.values
	case Paid:
		return true
	case Quantity, Limit:
		return v.most(v.whole)
	case Numbers:
		return (v.numbers+v.whole)*2 >= v.values || v.days > 0 && v.numbers+v.whole+v.days >= v.values
	case Email:
		return v.emails*2 >= v.values
	case Region:
		return v.region*2 >= v.values
	case State:
		return v.words*2 >= v.values && v.region*2 < v.values && v.days*2 < v.values
	case Buyer, Title, City, Outlet, Country:
		return v.words*2 >= v.values && v.money*2 < v.values
	}
	return true
}

// guessColumns says which field each column of a sheet is, by heading first, then by values.
func guessColumns(s *Sheet, header Row, headerRow int) ([]Column, []Reason) {
	width := len(header.Cells)
	for i, r := range s.Rows {
		if i > mostSample {
			break
		}
		width = max(width, min(len(r.Cells), mostMapColumns))
	}
	g := guesser{sheet: s, header: header, below: headerRow, taken: map[Field]int{}, fields: make([]Field, width), samples: make([]sample, width)}
	for i := range width {
		g.samples[i] = sampleOf(s, headerRow, i)
	}
	g.byHeading()
	g.byWord()
	g.byValues()
	var columns []Column
	for i := range width {
		h := strings.TrimSpace(header.At(i).Text)
		if len(h) > mostHeading {
			h = ""
		}
		if g.samples[i].values > 0 || h != "" {
			columns = append(columns, Column{Column: i, Heading: h, Field: g.fields[i]})
		}
	}
	return columns, g.reasons
}

type guesser struct {
	sheet   *Sheet
	header  Row
	below   int
	taken   map[Field]int
	fields  []Field
	samples []sample
	reasons []Reason
}

func (g *guesser) give(i int, f Field, sure Confidence, why string, args ...any) {
	g.fields[i] = f
	g.taken[f]++
	g.reasons = append(g.reasons, Reason{Sheet: g.sheet.Name, Column: i, Heading: strings.TrimSpace(g.header.At(i).Text), Part: "field", Value: string(f), Why: fmt.Sprintf(why, args...), Sure: sure})
}

// byHeading goes by the words of the headings. A heading whose values do not agree is left to the values.
func (g *guesser) byHeading() {
	for _, v := range headingWords {
		for _, w := range append([]string{Fold(v.field.Long())}, v.words...) {
			for i, c := range g.header.Cells {
				if g.fields[i] != Unused || headingWord(c.Text) != w || !g.free(v.field) || c.Merged {
					continue
				}
				if ofLab(c.Text, v.field) {
					continue
				}
				if v.field == Region && w == "state" && g.samples[i].region*2 < g.samples[i].values || !g.samples[i].agrees(v.field) {
					continue
				}
				g.give(i, v.field, Plain, "its heading is %q", strings.TrimSpace(c.Text))
			}
		}
	}
}

// byWord goes by single words of headings that say more: "Price in shop", "Note of the buyer".
func (g *guesser) byWord() {
	for _, v := range headingWords {
		for _, w := range v.words {
			if len(w) < 4 || strings.Contains(w, " ") {
				continue
			}
			for i, c := range g.header.Cells {
				if g.fields[i] != Unused || c.Merged || !g.free(v.field) || !slices.Contains(strings.Fields(Fold(c.Text)), w) || !g.samples[i].agrees(v.field) || ofLab(c.Text, v.field) {
					continue
				}
				g.give(i, v.field, Likely, "its heading has the word %q", w)
			}
		}
	}
}

// ofLab reports a heading about the lab, whose days are none of a sale.
func ofLab(heading string, f Field) bool {
	return (f == SoldOn || f == SentOn || f == Promised || f == ArriveBy || f == State) && labWords.MatchString(heading)
}

// headingWord folds a heading; a lone # is a number, a lone sign of a currency the price.
func headingWord(text string) string {
	switch strings.TrimSpace(text) {
	case "#", "№", "n°", "N°", "nº", "Nº", "n.º", "N.º", "n.°", "N.°":
		return "number"
	case "$", "€", "£", "US$":
		return "price"
	}
	return Fold(text)
}

func (g *guesser) free(f Field) bool { return g.taken[f] == 0 || f == Note }

// byValues gives columns whose heading says nothing a field by what nearly all their values are.
func (g *guesser) byValues() {
	for i, v := range g.samples {
		if g.fields[i] != Unused || v.values < 2 {
			continue
		}
		switch {
		case v.most(v.emails) && g.free(Email):
			g.give(i, Email, Plain, "%d of %d values are e-mail addresses", v.emails, v.values)
		case v.most(v.sizes) && g.free(Size):
			g.give(i, Size, Likely, "%d of %d values are sizes", v.sizes, v.values)
		case v.most(v.numbers) && g.free(Numbers):
			g.give(i, Numbers, Likely, "%d of %d values are written as numbers of prints", v.numbers, v.values)
		case v.most(v.days) && g.free(SoldOn) && !ofLab(g.header.At(i).Text, SoldOn):
			g.give(i, SoldOn, Likely, "%d of %d values are days", v.days, v.values)
		case v.most(v.countries) && g.free(Country):
			g.give(i, Country, Likely, "%d of %d values are countries", v.countries, v.values)
		case v.most(v.money) && v.whole*2 < v.values && g.free(Price):
			g.give(i, Price, Likely, "%d of %d values are amounts", v.money, v.values)
		case v.long*2 >= v.values && g.free(Note):
			g.give(i, Note, Likely, "%d of %d values are long texts", v.long, v.values)
		}
	}
}
