// Package rules reads house rules: each as one sentence, and which of them can never be kept together.
//
// It plans nothing and knows no studio: the names of wraps, the currency and the units come in as arguments. Lengths are
// nanometres, masses nanograms, amounts minor units.
package rules

import (
	"strconv"
	"strings"

	"solander/measure"
	"solander/money"
	"solander/packing"
)

// Words are what a sentence needs to know beside the rule.
type Words struct {
	Units    measure.System
	Currency string
	Wraps    []packing.Wrap      // for their names
	Country  func(string) string // the name of a country by its two letters; nil = the letters
}

// Sentence is a rule as one reads it, without a full stop: "prints worth more than 120.00 USD going abroad: signed for".
func (w Words) Sentence(r packing.Rule) string {
	when, then := w.When(r.When), w.Then(r.Then)
	subject := "all prints"
	if len(when) > 0 {
		subject = "prints " + strings.Join(when, ", ")
	}
	if len(then) == 0 {
		then = []string{"nothing is asked"}
	}
	return subject + ": " + strings.Join(then, " and ")
}

// When is the conditions, a phrase each.
func (w Words) When(c packing.When) []string {
	var out []string
	say := func(is bool, words ...string) {
		if is {
			out = append(out, strings.Join(words, ""))
		}
	}
	say(len(c.Grades) > 0, "of the grade ", oneOf(c.Grades))
	say(c.LongestOver != nil, "longer than ", length(c.LongestOver, w.Units))
	say(c.LongestTo != nil, "up to ", length(c.LongestTo, w.Units), " long")
	say(c.ValueOver != nil, "worth more than ", w.amount(c.ValueOver), " in one parcel")
	say(c.SheetsFrom != nil, number(c.SheetsFrom), " or more in a parcel")
	say(c.SheetsTo != nil, "at most ", number(c.SheetsTo), " in a parcel")
	say(c.MassOver != nil, "heavier than ", mass(c.MassOver, w.Units), " when packed")
	say(c.MassTo != nil, "up to ", mass(c.MassTo, w.Units), " when packed")
	say(c.OrderSheetsFrom != nil, "of an order of ", number(c.OrderSheetsFrom), " or more")
	say(c.OrderSheetsTo != nil, "of an order of at most ", number(c.OrderSheetsTo))
	say(c.OrderValueOver != nil, "of an order worth more than ", w.amount(c.OrderValueOver))
	say(c.Abroad != nil && *c.Abroad, "going abroad")
	say(c.Abroad != nil && !*c.Abroad, "staying in the country")
	say(len(c.Countries) > 0, "going to ", oneOf(w.countries(c.Countries)))
	say(len(c.Orders) > 0, "of the order ", oneOf(c.Orders))
	say(c.Shape == packing.Flat, "that lie flat")
	say(c.Shape == packing.Rolled, "that are rolled")
	say(c.Shape == packing.Both, "that go some rolled, some flat")
	return out
}

// Then is the demands, a phrase each.
func (w Words) Then(d packing.Then) []string {
	var out []string
	say := func(is bool, words ...string) {
		if is {
			out = append(out, strings.Join(words, ""))
		}
	}
	say(d.Shape == packing.Flat, "flat")
	say(d.Shape == packing.Rolled, "rolled")
	say(d.Shape == packing.Both, "some rolled, some flat")
	say(len(d.OnlyWraps) > 0, "wrapped only ", oneOf(w.named(d.OnlyWraps)))
	say(len(d.NotWraps) > 0, "not wrapped ", oneOf(w.named(d.NotWraps)))
	say(d.SheetsMost != nil, "at most ", number(d.SheetsMost), " in a parcel")
	say(d.Together, "the whole order together")
	say(len(d.OnlyClasses) > 0, "only by ", oneOf(d.OnlyClasses))
	say(len(d.NotClasses) > 0, "not by ", oneOf(d.NotClasses))
	say(d.Tracking, "tracked")
	say(d.Signature, "signed for")
	say(d.FullCover, "covered in full")
	return out
}

// named are wraps by their names; one without a name, or not there, by its key.
func (w Words) named(ids []string) []string {
	var out []string
	for _, id := range ids {
		name := id
		for _, x := range w.Wraps {
			if x.ID == id && x.Name != "" {
				name = x.Name
			}
		}
		out = append(out, "“"+name+"”")
	}
	return out
}

func (w Words) countries(codes []string) []string {
	if w.Country == nil {
		return codes
	}
	var out []string
	for _, c := range codes {
		out = append(out, w.Country(c))
	}
	return out
}

func (w Words) amount(n *int64) string {
	if n == nil {
		return ""
	}
	return money.Of(*n, w.Currency).String()
}

func number(n *int) string {
	if n == nil {
		return ""
	}
	return strconv.Itoa(*n)
}

func length(l *measure.Length, u measure.System) string {
	if l == nil {
		return ""
	}
	return l.In(u)
}

func mass(m *measure.Mass, u measure.System) string {
	if m == nil {
		return ""
	}
	return m.In(u)
}

// oneOf joins words by "or".
func oneOf(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " or " + words[n-1]
	}
	return strings.Join(words, "")
}
