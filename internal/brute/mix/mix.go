// Package mix makes small problems in which every two and every three features of the format of problems are drawn together. It is
// a helper for tests, and solves nothing.
package mix

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"solander/calendar"
	"solander/internal/brute"
	"solander/measure"
	"solander/packing"
)

const (
	mm   = measure.Millimetre
	gram = measure.Gram
)

// Mixed makes a small problem of three features of the format, drawn so that each three that go together have their
// turn, and of others. See Features. Most have thresholds moved to, or next to, what the best plan needs.
func Mixed(seed uint64) packing.Problem {
	p, d := mixed(seed)
	for range d.IntN(4) {
		d.Tighten(&p)
	}
	return p
}

// mixed makes one without thresholds moved.
func mixed(seed uint64) (packing.Problem, brute.Dice) {
	for again := uint64(0); ; again++ {
		p, d := draw(rand.NewPCG(seed, 20261128+again))
		if brute.Work(&p) <= brute.MostWork {
			return p, d
		}
	}
}

// draw makes a problem of dice.
func draw(from *rand.PCG) (packing.Problem, brute.Dice) {
	m := mixer{Dice: brute.Dice{Rand: rand.New(from)}, wanted: map[string]bool{}, ways: 1}
	for range 3 {
		m.wanted[brute.Pick(m.Dice, Features...)] = true
	}
	m.others = brute.Pick(m.Dice, 8, 20, 35)
	m.shape()
	m.p = packing.Problem{
		Format: packing.ProblemFormat, Currency: "USD", Day: calendar.Date(2025, 11, 3).Add(m.IntN(9)), Origin: packing.Place{Country: "US", Postcode: "24060"},
	}
	m.orders()
	m.few()
	m.wrap()
	m.simple()
	m.margin()
	m.cards()
	m.rules()
	if m.wants("holidays") {
		m.p.Holidays = []calendar.Day{m.p.Day.Add(1 + m.IntN(4))}
	}
	return m.p, m.Dice
}

// shape draws how the wrap with the features holds its sheets: by the features wanted, else by chance.
func (m *mixer) shape() {
	any := func(of ...string) bool { return slices.ContainsFunc(of, func(f string) bool { return m.wanted[f] }) }
	m.both = any(both...) || any(tubes...) && any(packs...) || m.Chance(12)
	m.roll = any("rolled") || any(tubes...) || m.Chance(m.others)
	if any(flatOnly...) || any("rolled") {
		m.both = false
	}
	if m.both || any(flatOnly...) || any(packs...) {
		m.roll = false
	}
	if !m.roll && !m.both && m.Chance(30) {
		m.wanted["beside"] = true
	}
	m.wanted["both"] = m.both
}

// margin draws how far off paper and scale may be, and what the first wrap weighs by itself.
func (m *mixer) margin() {
	if m.wants("margin of grammage") {
		m.p.Margin.Grammage = brute.Pick(m.Dice, 1, 50, 333, 1000)
	}
	if m.wants("margin of caliper") {
		m.p.Margin.Caliper = brute.Pick(m.Dice, 1, 50, 333)
	}
	if m.wants("margin of a parcel") {
		m.p.Margin.Parcel = brute.Pick(m.Dice, 1, gram, 5*gram)
	}
	if m.wants("mass of a wrap") {
		m.p.Wraps[0].Mass = brute.Pick(m.Dice, 1, 5*gram, 14*gram)
	}
}

// mixer puts a problem together.
type mixer struct {
	brute.Dice
	wanted map[string]bool
	others int // in a hundred: how likely a feature is that is not wanted
	roll   bool
	both   bool
	p      packing.Problem

	ways        int            // how many choices the layers so far leave, roughly
	of          packing.Shape  // of a wrap of both shapes: round which sheets the layers go that are drawn
	long, short measure.Length // what the layers so far have made of the largest sheet, roughly
}

// wants reports whether a feature is to be there, by wish or by chance.
func (m *mixer) wants(feature string) bool {
	if !slices.Contains(Features, feature) {
		panic("brute: no feature " + feature)
	}
	if m.wanted[feature] {
		return true
	}
	if m.Chance(m.others) {
		m.wanted[feature] = true // by chance, but for all
		return true
	}
	return false
}

func (m *mixer) orders() {
	number := 1
	if m.wants("several orders") || m.wants("combined") {
		number = 2
	}
	for i := range number {
		o := packing.Order{ID: fmt.Sprintf("order %c", 'b'-rune(i)), Destination: packing.Place{Country: "US", Postcode: brute.Pick(m.Dice, "97201", "24060", "972 01", "")}}
		if m.wants("abroad") && m.Chance(50) {
			o.Destination = packing.Place{Country: "CA", Postcode: "k1a-0b1"}
		}
		if m.wants("arrive by") {
			o.ArriveBy = m.p.Day.Add(2 + m.IntN(6))
		}
		if m.wants("combined") {
			o.Combine = "both"
			if i > 0 {
				o.Destination = m.p.Orders[0].Destination
			}
		}
		m.sheets(&o, brute.Pick(m.Dice, 1, 2, 3, 3, 4)/number)
		m.p.Orders = append(m.p.Orders, o)
	}
}

// few leaves so few copies that every way to lay them can be tried.
func (m *mixer) few() {
	left := 6
	if m.beside() {
		left = 4
	}
	for i := range m.p.Orders {
		for j := range m.p.Orders[i].Sheets {
			s := &m.p.Orders[i].Sheets[j]
			if left -= s.Number(); left < 0 {
				left, s.Copies = left+s.Number()-1, 0
			}
		}
	}
}

func (m *mixer) beside() bool { return m.wanted["beside"] || m.wanted["between"] }

func (m *mixer) sheets(o *packing.Order, most int) {
	kinds := 1
	if m.wants("several kinds") || m.wants("alike") || m.wants("turned") || m.both && m.Chance(80) {
		kinds = 2
	}
	for i := range kinds {
		s := packing.Sheet{
			Width: brute.Near(m.Dice, brute.Pick(m.Dice, 100*mm, 120*mm, 150*mm)), Height: brute.Near(m.Dice, brute.Pick(m.Dice, 100*mm, 140*mm, 200*mm)),
			Caliper: brute.Pick(m.Dice, 300*measure.Micrometre, mm, 2*mm), Mass: brute.Pick(m.Dice, 10*gram, 25*gram, 50*gram),
		}
		if m.wants("grammage") {
			s.Mass, s.Grammage = 0, brute.Pick(m.Dice, 310*measure.GSM, 189_501)
		}
		if m.wants("value") {
			s.Value = brute.Pick[int64](m.Dice, 2000, 5000, 9000)
		}
		if m.wants("grade") {
			s.Grade = brute.Pick(m.Dice, "fine", "plain")
		}
		if m.wants("stiff sheet") && m.Chance(60) {
			s.Stiff = true
		} else if m.roll || m.wants("roll") || m.both && i == 0 {
			s.Roll = &packing.Roll{Tightest: brute.Pick(m.Dice, 30*mm, 40*mm)}
		}
		if i > 0 && (m.wanted["alike"] || m.wanted["turned"]) {
			s = o.Sheets[0]
		}
		if i > 0 && m.wanted["turned"] {
			s.Width, s.Height = s.Height, s.Width
		}
		s.ID, s.Copies = fmt.Sprintf("s%c", 'y'-rune(i)), 0
		if m.wants("copies") {
			s.Copies = 1 + m.IntN(max(1, min(3, most)))
		}
		if m.beside() { // thick enough, and some, for lying side by side to serve
			s.Caliper, s.Copies = brute.Pick(m.Dice, mm, 2*mm), max(s.Copies, brute.Pick(m.Dice, 1, 2, 2))
			if i > 0 {
				s.Caliper = o.Sheets[0].Caliper
			}
		}
		m.long, m.short = max(m.long, s.Width, s.Height), max(m.short, min(s.Width, s.Height))
		o.Sheets = append(o.Sheets, s)
	}
}

// wrap makes the wrap that has the features.
func (m *mixer) wrap() {
	w := packing.Wrap{ID: "wrap", Shape: packing.Flat}
	if m.roll {
		w.Shape = packing.Rolled
	}
	if (m.roll || m.both) && m.wants("core") {
		w.Core = 35 * mm
	}
	if m.wants("fewest") {
		w.Fewest = 2
	}
	if m.wants("most") {
		w.Most = 2 + m.IntN(2)
	}
	if m.wants("work") {
		w.Minutes, w.MinutesPerSheet, m.p.Options.MinuteWage = 1+m.IntN(4), m.IntN(3), 7
	}
	if m.both {
		m.wrapBoth(&w)
		m.p.Wraps = append(m.p.Wraps, w)
		return
	}
	add := func(feature string, kind packing.Kind, per packing.Per) {
		if m.wants(feature) {
			w.Layers = append(w.Layers, m.layer(kind, per))
		}
	}
	add("sleeve per sheet", packing.Sleeve, packing.PerSheet)
	add("tissue per sheet", packing.Tissue, packing.PerSheet)
	if !m.roll {
		add("board per sheet", packing.Board, packing.PerSheet)
		if m.wants("between") || m.wanted["beside"] {
			w.Beside = brute.Pick(m.Dice, 2, 2, 2, 2, 3)
			if m.wants("between") {
				w.Between = brute.Near(m.Dice, 5*mm)
			}
			if m.Chance(70) { // for two of the largest
				m.long, m.short = max(m.long, 2*m.short+w.Between), max(m.short, min(m.long, 2*m.short+w.Between))
			}
		}
	}
	add("tissue in gaps", packing.Tissue, packing.PerGap)
	add("tissue round the stack", packing.Tissue, packing.PerStack)
	if m.roll {
		m.tube(&w)
	} else {
		add("board round the stack", packing.Board, packing.PerStack)
		add("sleeve round the stack", packing.Sleeve, packing.PerStack)
		m.outermost(&w, len(w.Layers) < 7)
	}
	m.p.Wraps = append(m.p.Wraps, w)
}

// tube rolls what there is, and seldom puts the tube into something.
func (m *mixer) tube(w *packing.Wrap) {
	w.Layers = append(w.Layers, m.layer(packing.Tube, packing.PerStack))
	m.long, m.short = max(m.long+20*mm, 74*mm), 74*mm
	if m.wanted["envelope"] || m.wanted["carton"] || m.wanted["empty"] || m.wanted["cut base"] || m.wanted["stiff"] && m.Chance(50) || m.wants("nested") {
		m.outermost(w, false)
	}
}

// outermost ends a wrap.
func (m *mixer) outermost(w *packing.Wrap, nested bool) {
	last := brute.Pick(m.Dice, packing.Envelope, packing.Carton)
	switch {
	case (m.wanted["envelope"] || m.roll && m.wanted["stiff"]) && (m.wanted["carton"] || m.wanted["empty"] || m.wanted["cut base"]):
		nested = true
	case m.wanted["carton"] || m.wanted["empty"] || m.wanted["cut base"]:
		last, nested = packing.Carton, nested && m.wants("nested")
	case m.wanted["envelope"] || m.wanted["soft"]:
		last, nested = packing.Envelope, nested && m.wants("nested")
	default:
		nested = nested && m.wants("nested")
	}
	if nested && len(w.Layers) < 7 {
		w.Layers = append(w.Layers, m.layer(packing.Envelope, packing.PerStack))
		last = packing.Carton
	}
	w.Layers = append(w.Layers, m.layer(last, packing.PerStack))
}
