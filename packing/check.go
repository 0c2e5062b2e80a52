package packing

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/measure"
	"solander/money"
	"solander/tariff"
)

// Bounds on what a problem may hold; beyond lies a typing error or an attack.
const (
	maxFaults = 50
	maxOrders = 5000
	maxCopies = 1000
	maxLayers = 8
	maxPieces = 8
	maxCuts   = 2000
	maxLists  = 2000
)

// MostJoint is how many orders may share parcels: beyond, too many subsets of them might be held.
const MostJoint = 8

// Check reports every fault of a problem, at most 50, joined; the Field of each is its JSON path. The
// planner assumes a problem that passes.
func (p *Problem) Check() error {
	k := &checker{p: p}
	k.must(p.Format == ProblemFormat, problem.To("format"), "is not a format known here", "write "+ProblemFormat)
	k.must(money.Known(p.Currency), problem.To("currency"), "is not a currency code", "use an ISO 4217 code such as USD")
	k.must(!p.Day.IsZero(), problem.To("day"), "is missing", "write the day of hand-over, 2025-11-03")
	k.must(!slices.Contains(p.Holidays, calendar.Day{}), problem.To("holidays"), "hold an empty day", "leave it out")
	k.place(problem.To("origin"), p.Origin)
	k.must(len(p.Orders) > 0 && len(p.Orders) <= maxOrders, problem.To("orders"), "holds no order, or too many", "give 1 to 5000 orders")
	for _, list := range []struct {
		name   string
		length int
	}{{"shelf", len(p.Shelf)}, {"wraps", len(p.Wraps)}, {"rules", len(p.Rules)}, {"cards", len(p.Cards)}} {
		k.must(list.length <= maxLists, problem.To(list.name), "is too long", "give at most 2000")
	}
	k.orders()
	k.combined()
	k.shelf()
	k.wraps()
	k.rules()
	k.issued()
	k.cards()
	k.margin()
	k.options()
	return errors.Join(k.faults...)
}

// problem is the path of the whole problem.
var problem *fault.Path

type checker struct {
	p      *Problem
	items  map[string]*Item
	wrapID map[string]bool
	faults []error
}

func (k *checker) must(ok bool, path fault.Path, what, mend string) {
	if ok || len(k.faults) >= maxFaults {
		return
	}
	at := path.String()
	k.faults = append(k.faults, fault.Invalidf(at, "%s", said(at, what)).At("%s", at).ToMend("%s", mend))
}

// said is a sentence about the field that a path leads to. One about an entry of a list names the entry itself;
// of a field's name the words are said, for the sentence is also read where the field has a label.
func said(path, what string) string {
	name := path[strings.LastIndexByte(path, '.')+1:]
	if strings.HasSuffix(name, "]") {
		return what
	}
	return strings.ReplaceAll(name, "_", " ") + " " + what
}

// id checks the form of an id and that it is not in seen yet.
func (k *checker) id(path fault.Path, id string, seen map[string]bool) {
	ok := tariff.IsID(id)
	k.must(ok, path.To("id"), "is missing or no id", "1 to 80 characters, no space at either end, no control characters")
	if ok && seen[id] {
		k.must(false, path.To("id"), fmt.Sprintf("%q is used twice", id), "ids of a list differ")
	}
	seen[id] = true
}

func (k *checker) length(path fault.Path, l measure.Length, least measure.Length) {
	k.must(l >= least && l <= measure.MaxLength, path, "is missing or no possible length", "a length above 0 and up to 100 m, such as 8 1/2 in")
}

func (k *checker) mass(path fault.Path, m measure.Mass) {
	k.must(m >= 0 && m <= measure.MaxMass, path, "is no possible mass", "a mass up to 1000 kg, such as 12 oz")
}

func (k *checker) money(path fault.Path, n int64) {
	k.must(n >= 0 && n <= money.MaxMinor, path, "is no possible amount", "whole minor units (cents), not negative")
}

func (k *checker) number(path fault.Path, n, least, most int) {
	if n < least || n > most {
		k.must(false, path, fmt.Sprintf("%d is out of range", n), fmt.Sprintf("a whole number from %d to %d", least, most))
	}
}

func country(code string) bool {
	return len(code) == 2 && code[0] >= 'A' && code[0] <= 'Z' && code[1] >= 'A' && code[1] <= 'Z'
}

func (k *checker) place(path fault.Path, p Place) {
	k.must(country(p.Country), path.To("country"), "is missing or no country", "two capital letters, such as US")
	k.must(len(p.Postcode) <= 40, path.To("postcode"), "is too long", "at most 40 characters")
}

func (k *checker) orders() {
	seen := map[string]bool{}
	for i := range k.p.Orders {
		o := &k.p.Orders[i]
		path := problem.Entry("orders", i)
		k.id(path, o.ID, seen)
		k.place(path.To("destination"), o.Destination)
		k.must(o.ArriveBy.IsZero() || !o.ArriveBy.Before(k.p.Day), path.To("arrive_by"), "is before the day of hand-over", "name a later day or leave it out")
		k.must(len(o.Sheets) > 0, path.To("sheets"), "is empty", "an order has at least one sheet")
		sheets, copies := map[string]bool{}, 0
		for j := range o.Sheets {
			p := path.Entry("sheets", j)
			k.id(p, o.Sheets[j].ID, sheets)
			k.sheet(p, &o.Sheets[j])
			copies += min(max(o.Sheets[j].Number(), 0), maxCopies+1)
		}
		k.must(copies <= maxCopies, path.To("sheets"), fmt.Sprintf("holds %d copies", copies), "an order has at most 1000 copies")
	}
}

func (k *checker) sheet(p fault.Path, s *Sheet) {
	k.length(p.To("width"), s.Width, 1)
	k.length(p.To("height"), s.Height, 1)
	k.length(p.To("caliper"), s.Caliper, 1)
	k.must((s.Grammage > 0) != (s.Mass > 0), p.To("grammage"), "and mass: exactly one must be given", "give grammage, such as 310 gsm, or mass")
	k.must(s.Grammage >= 0 && s.Grammage <= measure.MaxGrammage, p.To("grammage"), "is no possible grammage", "such as 310 gsm")
	k.mass(p.To("mass"), s.Mass)
	if s.Grammage > 0 && s.Mass == 0 && s.Width <= measure.MaxLength && s.Height <= measure.MaxLength && s.Width > 0 && s.Height > 0 {
		// 1 mm² of 1 mg/m² has 1 ng; sides rounded up to whole millimetres.
		up := func(l measure.Length) int64 { return int64((l + measure.Millimetre - 1) / measure.Millimetre) }
		k.must(up(s.Width)*up(s.Height)*int64(s.Grammage) <= int64(measure.MaxMass), p.To("grammage"), "makes the sheet heavier than 1000 kg", "correct size or grammage")
	}
	k.number(p.To("copies"), s.Copies, 0, maxCopies)
	k.money(p.To("value"), s.Value)
	if s.Roll != nil {
		k.length(p.To("roll.tightest"), s.Roll.Tightest, 1)
		k.must(!s.Stiff, p.To("roll"), "does not go with stiff", "a stiff sheet may not be rolled")
	}
}

func (k *checker) margin() {
	m, at := k.p.Margin, problem.To("margin")
	k.number(at.To("grammage"), m.Grammage, 0, MostMargin)
	k.number(at.To("caliper"), m.Caliper, 0, MostMargin)
	k.mass(at.To("parcel"), m.Parcel)
}

func (k *checker) options() {
	o := k.p.Options
	k.money(problem.To("options.minute_wage"), o.MinuteWage)
	k.must(o.MinuteWage <= 1_000_000, problem.To("options.minute_wage"), "is absurdly large", "minor units for one minute")
	k.number(problem.To("options.exact_states"), o.ExactStates, 0, 65536)
	if o.RejectedMost != nil {
		k.number(problem.To("options.rejected_most"), *o.RejectedMost, 0, 200)
	}
}

func (k *checker) cards() {
	seen := map[string]bool{}
	first := map[string]bool{}
	for i := range k.p.Cards {
		c := &k.p.Cards[i]
		path := problem.Entry("cards", i)
		k.id(path, c.ID, seen)
		if err := c.Check(path.String()); err != nil && len(k.faults) < maxFaults {
			all := fault.All(err)
			for _, f := range all[:min(len(all), maxFaults-len(k.faults))] {
				k.faults = append(k.faults, f)
			}
		}
		k.must(c.Currency == k.p.Currency, path.To("currency"), "is not the problem's", "use cards in one currency")
		start := c.Series + "\x00" + c.From.String()
		k.must(!first[start], path.To("from"), "is the first day of another card of the series, too", "leave one of them out")
		first[start] = true
	}
}
