package guess

import (
	"fmt"
	"slices"
	"strings"

	"solander/intake"
	"solander/intake/cell"
	"solander/intake/notes"
	"solander/order"
)

// sample is what the values of a column look like.
type sample struct {
	values, days, money, numbers, sizes, emails, countries, long, region, words, whole, alone int
}

const mostSample = 200 // values of a column that are looked at

// sampleOf looks at a column below a row.
func sampleOf(s *intake.Sheet, below, column int) sample {
	var v sample
	for _, r := range s.Rows {
		c := r.At(column)
		if r.N <= below || c.Blank() || c.Merged {
			continue
		}
		if v.values++; v.values > mostSample {
			break
		}
		v.add(c)
	}
	return v
}

func (v *sample) add(c intake.Cell) {
	v.alone += intake.One(cell.AloneDay(c) > 0)
	if c.Kind == intake.Date {
		v.days++
		return
	}
	if c.Kind == intake.Number {
		v.money++
		v.whole += intake.One(!strings.Contains(c.Number, "."))
		return
	}
	if looksLikeDay(c.Text) {
		v.days++
		return
	}
	if _, ok, t := cell.AmountText(c.Text, "USD", ""); ok || t.Rule == "amount.currency" || t.Rule == "amount.decimal" {
		v.money++
		v.whole += intake.One(strings.Trim(c.Text, "0123456789") == "")
	}
	if n, ok, _ := cell.NumbersText(c.Text); ok && (n.Of > 0 || strings.ContainsAny(c.Text, "#") || len(n.Numbers) > 0 && n.Numbers[0].Kind != "N") {
		v.numbers++
	}
	if _, ok, t := cell.SizeOf(c.Text, ""); ok || t.Rule == "size.unit" {
		v.sizes++
	}
	at := strings.IndexByte(c.Text, '@')
	v.emails += intake.One(at > 0 && strings.Contains(c.Text[at:], ".") && !strings.Contains(c.Text, " "))
	_, country := order.CountryNamed(c.Text)
	v.countries += intake.One(country && len(c.Text) > 2)
	v.region += intake.One(len(c.Text) == 2 && strings.ToUpper(c.Text) == c.Text)
	v.long += intake.One(len(c.Text) > 30)
	v.words += intake.One(c.Kind == intake.Words)
}

// anyDay reports a text that is a day in one order or the other.
func anyDay(text string) bool {
	_, dm, _ := cell.DayText(text, intake.DayMonth)
	_, md, _ := cell.DayText(text, intake.MonthDay)
	return dm || md
}

// looksLikeDay reports a text that is a day and no amount: 4.05 may be both, and counts as an amount.
func looksLikeDay(text string) bool {
	d, ok, _ := cell.DayText(text, intake.MonthDay)
	if !ok {
		d, ok, _ = cell.DayText(text, intake.DayMonth)
	}
	return ok && (d.Year != 0 || !d.Order || strings.Contains(text, "/"))
}

// most reports that nearly all values of a column are of a kind.
func (v sample) most(n int) bool { return v.values > 0 && n*5 >= v.values*4 }

// agrees reports whether values can be of a field; a column without values can be of any.
func (v sample) agrees(f intake.Field) bool {
	if v.values == 0 {
		return true
	}
	switch f {
	case intake.SoldOn:
		return (v.days+v.alone)*2 >= v.values
	case intake.Promised, intake.ArriveBy, intake.SentOn:
		return v.days*2 >= v.values
	case intake.Price, intake.Total, intake.Owed, intake.Fee, intake.Postage, intake.Tax:
		return v.money*2 >= v.values
	case intake.Paid:
		return true
	case intake.Quantity, intake.Limit:
		return v.most(v.whole)
	case intake.Numbers:
		return (v.numbers+v.whole)*2 >= v.values || v.days > 0 && v.numbers+v.whole+v.days >= v.values
	case intake.Email:
		return v.emails*2 >= v.values
	case intake.Region:
		return v.region*2 >= v.values
	case intake.State:
		return v.words*2 >= v.values && v.region*2 < v.values && v.days*2 < v.values
	case intake.Buyer, intake.Title, intake.City, intake.Outlet, intake.Country:
		return v.words*2 >= v.values && v.money*2 < v.values
	}
	return true
}

// GuessColumns says which field each column of a sheet is, by heading first, then by values.
func GuessColumns(s *intake.Sheet, header intake.Row, headerRow int) ([]intake.Column, []Reason) {
	width := len(header.Cells)
	for i, r := range s.Rows {
		if i > mostSample {
			break
		}
		width = max(width, min(len(r.Cells), intake.MostMapColumns))
	}
	g := guesser{sheet: s, header: header, below: headerRow, taken: map[intake.Field]int{}, fields: make([]intake.Field, width), samples: make([]sample, width)}
	for i := range width {
		g.samples[i] = sampleOf(s, headerRow, i)
	}
	g.byHeading()
	g.byWord()
	g.byValues()
	var columns []intake.Column
	for i := range width {
		h := strings.TrimSpace(header.At(i).Text)
		if len(h) > intake.MostHeading {
			h = ""
		}
		if g.samples[i].values > 0 || h != "" {
			columns = append(columns, intake.Column{Column: i, Heading: h, Field: g.fields[i]})
		}
	}
	return columns, g.reasons
}

type guesser struct {
	sheet   *intake.Sheet
	header  intake.Row
	below   int
	taken   map[intake.Field]int
	fields  []intake.Field
	samples []sample
	reasons []Reason
}

func (g *guesser) give(i int, f intake.Field, sure intake.Confidence, why string, args ...any) {
	g.fields[i] = f
	g.taken[f]++
	g.reasons = append(g.reasons, Reason{Sheet: g.sheet.Name, Column: i, Heading: strings.TrimSpace(g.header.At(i).Text), Part: "field", Value: string(f), Why: fmt.Sprintf(why, args...), Sure: sure})
}

// byHeading goes by the words of the headings. A heading whose values do not agree is left to the values.
func (g *guesser) byHeading() {
	for _, v := range headingWords {
		for _, w := range append([]string{intake.Fold(v.field.Long())}, v.words...) {
			for i, c := range g.header.Cells {
				if g.fields[i] != intake.Unused || headingWord(c.Text) != w || !g.free(v.field) || c.Merged {
					continue
				}
				if ofLab(c.Text, v.field) {
					continue
				}
				if v.field == intake.Region && w == "state" && g.samples[i].region*2 < g.samples[i].values || !g.samples[i].agrees(v.field) {
					continue
				}
				g.give(i, v.field, intake.Plain, "its heading is %q", strings.TrimSpace(c.Text))
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
				if g.fields[i] != intake.Unused || c.Merged || !g.free(v.field) || !slices.Contains(strings.Fields(intake.Fold(c.Text)), w) || !g.samples[i].agrees(v.field) || ofLab(c.Text, v.field) {
					continue
				}
				g.give(i, v.field, intake.Likely, "its heading has the word %q", w)
			}
		}
	}
}

// ofLab reports a heading about the lab, whose days are none of a sale.
func ofLab(heading string, f intake.Field) bool {
	return (f == intake.SoldOn || f == intake.SentOn || f == intake.Promised || f == intake.ArriveBy || f == intake.State) && notes.LabWords.MatchString(heading)
}

// headingWord folds a heading; a lone # is a number, a lone sign of a currency the price.
func headingWord(text string) string {
	switch strings.TrimSpace(text) {
	case "#", "№", "n°", "N°", "nº", "Nº", "n.º", "N.º", "n.°", "N.°":
		return "number"
	case "$", "€", "£", "US$":
		return "price"
	}
	return intake.Fold(text)
}

func (g *guesser) free(f intake.Field) bool { return g.taken[f] == 0 || f == intake.Note }

// byValues gives columns whose heading says nothing a field by what nearly all their values are.
func (g *guesser) byValues() {
	for i, v := range g.samples {
		if g.fields[i] != intake.Unused || v.values < 2 {
			continue
		}
		switch {
		case v.most(v.emails) && g.free(intake.Email):
			g.give(i, intake.Email, intake.Plain, "%d of %d values are e-mail addresses", v.emails, v.values)
		case v.most(v.sizes) && g.free(intake.Size):
			g.give(i, intake.Size, intake.Likely, "%d of %d values are sizes", v.sizes, v.values)
		case v.most(v.numbers) && g.free(intake.Numbers):
			g.give(i, intake.Numbers, intake.Likely, "%d of %d values are written as numbers of prints", v.numbers, v.values)
		case v.most(v.days) && g.free(intake.SoldOn) && !ofLab(g.header.At(i).Text, intake.SoldOn):
			g.give(i, intake.SoldOn, intake.Likely, "%d of %d values are days", v.days, v.values)
		case v.most(v.countries) && g.free(intake.Country):
			g.give(i, intake.Country, intake.Likely, "%d of %d values are countries", v.countries, v.values)
		case v.most(v.money) && v.whole*2 < v.values && g.free(intake.Price):
			g.give(i, intake.Price, intake.Likely, "%d of %d values are amounts", v.money, v.values)
		case v.long*2 >= v.values && g.free(intake.Note):
			g.give(i, intake.Note, intake.Likely, "%d of %d values are long texts", v.long, v.values)
		}
	}
}
