package mail

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"solander/intake/cell"
	"solander/measure"
	"solander/money"
)

var (
	unitWords = `(?:"|”|″|''|in\.?|inch|inches|cm|mm)`
	sizeIn    = regexp.MustCompile(`(?i)\d{1,4}(?:[.,]\d{1,3})?(?: \d/\d{1,2})? ?` + unitWords + `? ?(?:x|×|by) ?\d{1,4}(?:[.,]\d{1,3})?(?: \d/\d{1,2})?(?: ?` + unitWords + `)?`)
	slipIn    = regexp.MustCompile(`\b(\d{1,5}) ?(?:/|of) ?(\d{1,5})\b`)
	numberIn  = regexp.MustCompile(`(?i)(?:^|[^\pL])(?:number|nummer|num[ée]ro|n[úu]mero|no\.|nr\.?|n[°º]|№|#) ?(\d{1,5})\b`)
	countIn   = regexp.MustCompile(`(?i)^(\d{1,2}) ?[x×] (?:\pL)|\b(?:qty|quantity) ?:? ?(\d{1,2})\b|[x×] ?(\d{1,2})$`)
)

// says reports whether a text has the words of another one after the other, whatever the case and marks.
func says(text, words string) bool {
	w := plain(words)
	return w != "" && strings.Contains(" "+plain(text)+" ", " "+w+" ")
}

func plain(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }), " ")
}

// prints takes the prints: lines that name a work, with what stands on them and on the lines below until the next one.
func (r *reader) prints() {
	for i := range r.lines {
		l := &r.lines[i]
		title := r.titleIn(l.text)
		if title == "" || l.used {
			continue
		}
		words, told, end := l.text, l.text, i+1
		for ; end < len(r.lines) && end <= i+4; end++ {
			below := &r.lines[end]
			if below.text == "" || r.titleIn(below.text) != "" || !r.aboutPrint(below.text) {
				break
			}
			below.used, words, told = true, words+" "+below.text, told+joint+below.text
		}
		l.used = true
		r.print(title, words, told)
	}
}

// titleIn is the longest title that a line says; "" for none.
func (r *reader) titleIn(text string) string {
	best := ""
	for _, e := range r.known.Editions {
		if len(e.Title) > len(best) && says(text, e.Title) {
			best = e.Title
		}
	}
	return best
}

// aboutPrint reports whether a line goes on saying which print it is.
func (r *reader) aboutPrint(text string) bool {
	switch f, _ := label(text); f {
	case "price", "count", "number":
		return true
	case "":
		if _, value, ok := strings.Cut(text, ":"); ok && strings.EqualFold(strings.TrimSpace(text[:strings.Index(text, ":")]), "size") {
			return value != ""
		}
	default:
		return false
	}
	without := slipIn.ReplaceAllString(sizeIn.ReplaceAllString(amountIn.ReplaceAllString(text, ""), ""), "")
	return without != text && len(strings.Fields(without)) <= 4
}

// print takes the prints of the words; told is the same, as it is shown.
func (r *reader) print(title, words, told string) {
	p := Print{Words: shortened(told)}
	var left []Edition
	for _, e := range r.known.Editions {
		if e.Title == title {
			left = append(left, e)
		}
	}
	rest := strings.Replace(words, title, " ", 1)
	if size := sizeIn.FindString(rest); size != "" {
		rest = strings.Replace(rest, size, " ", 1)
		if left = ofSize(left, size, r.unit()); len(left) == 0 {
			p.Doubt = fmt.Sprintf("no edition of %s is %s, or it is sold out: choose the print", title, size)
		}
	}
	p.Price, rest = r.priceIn(rest)
	left = narrowed(left, words)
	switch {
	case len(left) == 1:
		p.Edition = left[0].ID
		p.Number = numberOf(rest, left[0])
	case len(left) > 1:
		p.Doubt = fmt.Sprintf("%s has %d editions, and the mail does not say which: choose the print", title, len(left))
	}
	n := 1
	if m := countIn.FindStringSubmatch(strings.TrimSpace(words)); m != nil {
		n, _ = strconv.Atoi(m[1] + m[2] + m[3])
		n = max(1, n)
	}
	if n > 1 && p.Price != "" {
		p.Price, p.Doubt = "", strings.TrimPrefix(p.Doubt+"; ", "; ")+"the mail has one amount for several prints: look at the prices"
	}
	for range n {
		if len(r.out.Prints) < mostPrints {
			r.out.Prints = append(r.out.Prints, p)
		}
		p.Number = "" // a number is said of one
	}
}

// priceIn takes the last amount of the words.
func (r *reader) priceIn(words string) (price, rest string) {
	all := amountIn.FindAllString(words, -1)
	if len(all) == 0 {
		return "", words
	}
	last := all[len(all)-1]
	a, err := money.Parse(strings.TrimSpace(last), r.known.Currency)
	if err != nil {
		return "", words
	}
	return a.Plain(), strings.Replace(words, last, " ", 1)
}

func (r *reader) unit() string {
	if r.known.Units == measure.Metric {
		return "mm"
	}
	return "in"
}

// ofSize are the editions of a size, either way round, to a tenth of an inch: sizes are rounded when they are turned into the other units.
func ofSize(all []Edition, text, unit string) []Edition {
	z, ok, _ := cell.SizeOf(text, unit)
	if !ok {
		return nil
	}
	near := func(a, b measure.Length) bool { return max(a-b, b-a) <= measure.Inch/10 }
	var out []Edition
	for _, e := range all {
		if near(e.Width, z.Width) && near(e.Height, z.Height) || near(e.Width, z.Height) && near(e.Height, z.Width) {
			out = append(out, e)
		}
	}
	return out
}

// narrowed are the editions whose grade or paper the words name; all of them when that names none.
func narrowed(all []Edition, words string) []Edition {
	if len(all) < 2 {
		return all
	}
	for _, of := range []func(Edition) string{func(e Edition) string { return e.Grade }, func(e Edition) string { return e.Paper }} {
		var out []Edition
		for _, e := range all {
			if says(words, of(e)) {
				out = append(out, e)
			}
		}
		if len(out) > 0 && len(out) < len(all) {
			return out
		}
	}
	return all
}

// numberOf is the number that the words ask for: "17/250" of this edition, "No. 17".
func numberOf(words string, e Edition) string {
	for _, m := range slipIn.FindAllStringSubmatch(words, -1) {
		if m[2] == strconv.Itoa(e.Limit) && e.Limit > 0 {
			return m[1]
		}
	}
	if m := numberIn.FindStringSubmatch(words); m != nil && e.Limit > 0 {
		return m[1]
	}
	return ""
}
