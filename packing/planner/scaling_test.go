package planner_test

import (
	"reflect"
	"testing"

	"solander/measure"
	"solander/packing"
	"solander/tariff"
)

// lengthen multiplies every length in a value by n, every volume by n³, and every bound by what it bounds.
func lengthen(v reflect.Value, n int64) {
	switch v.Type() {
	case reflect.TypeFor[measure.Length]():
		v.SetInt(v.Int() * n)
		return
	case reflect.TypeFor[tariff.Volume]():
		v.SetInt(v.Int() * n * n * n)
		return
	case reflect.TypeFor[tariff.Bound]():
		b := v.Addr().Interface().(*tariff.Bound)
		times := map[string]int64{"nm": n, "um3": n * n * n}[b.Measure.Unit()]
		for _, p := range []*int64{b.Min, b.Over, b.Max, b.Under} {
			if p != nil && times > 0 {
				*p *= times
			}
		}
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			lengthen(v.Elem(), n)
		}
	case reflect.Slice:
		for i := range v.Len() {
			lengthen(v.Index(i), n)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Field(i).CanSet() {
				lengthen(v.Field(i), n)
			}
		}
	}
}

// Everything three times as long, with masses and prices as they were, costs the same and goes the same way.
func TestLengthsScale(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	each(t, func(t *testing.T, seed uint64, p packing.Problem, was packing.Plan) {
		q := clone(t, p)
		for i := range q.Orders {
			for j := range q.Orders[i].Sheets {
				s := &q.Orders[i].Sheets[j]
				s.Mass, s.Grammage = s.EachMass(), 0
			}
		}
		was = plan(t, q)
		lengthen(reflect.ValueOf(&q), 3)
		now := plan(t, q)
		if now.Total != was.Total || now.Held != was.Held || len(now.Parcels) != len(was.Parcels) {
			t.Errorf("%d: %d and %d held, three times as long %d and %d held", seed, was.Total, was.Held, now.Total, now.Held)
			return
		}
		for i := range was.Parcels {
			if a, b := was.Parcels[i], now.Parcels[i]; a.Wrap != b.Wrap || a.Service != b.Service || b.Size.Length != 3*a.Size.Length || a.Mass != b.Mass {
				t.Errorf("%d: parcel %d goes another way when three times as long", seed, i)
			}
		}
	})
}

// own makes a problem's ids and grades its own, and has its sheets go by its own wraps and items alone.
func own(p *packing.Problem, mark string) {
	var wraps []packing.Wrap
	ofKind := map[packing.Kind][]string{}
	for i := range p.Shelf {
		p.Shelf[i].ID = mark + p.Shelf[i].ID
		ofKind[p.Shelf[i].Kind] = append(ofKind[p.Shelf[i].Kind], p.Shelf[i].ID)
	}
	rule := packing.Rule{ID: mark, When: packing.When{Grades: []string{mark}}}
	for _, w := range p.Wraps {
		w.ID = mark + w.ID
		usable := true
		for i := range w.Layers {
			l := &w.Layers[i]
			for j := range l.Items {
				l.Items[j] = mark + l.Items[j]
			}
			if len(l.Items) == 0 {
				l.Items = ofKind[l.Kind]
			}
			usable = usable && len(l.Items) > 0
		}
		if usable {
			wraps = append(wraps, w)
			rule.Then.OnlyWraps = append(rule.Then.OnlyWraps, w.ID)
		}
	}
	p.Wraps, p.Rules = wraps, []packing.Rule{rule}
	for i := range p.Orders {
		p.Orders[i].ID = mark + p.Orders[i].ID
		if p.Orders[i].Combine != "" {
			p.Orders[i].Combine += mark
		}
		for j := range p.Orders[i].Sheets {
			p.Orders[i].Sheets[j].Grade = mark
		}
	}
}

// Two studios that share nothing cost together what they cost apart.
func TestWhatIsApartAddsUp(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	var before packing.Problem
	tried := 0
	each(t, func(t *testing.T, seed uint64, p packing.Problem, _ packing.Plan) {
		a, b := before, clone(t, p)
		before = clone(t, p)
		if len(a.Orders) == 0 {
			return
		}
		own(&a, "a")
		own(&b, "b")
		if len(a.Wraps) == 0 || len(b.Wraps) == 0 {
			return
		}
		b.Origin, b.Day, b.Cards, b.Holidays, b.PriceClasses, b.Options = a.Origin, a.Day, a.Cards, a.Holidays, a.PriceClasses, a.Options
		for i := range b.Orders {
			b.Orders[i].ArriveBy = a.Orders[0].ArriveBy
		}
		both := a
		both.Orders = append(append([]packing.Order(nil), a.Orders...), b.Orders...)
		both.Shelf = append(append([]packing.Item(nil), a.Shelf...), b.Shelf...)
		both.Wraps = append(append([]packing.Wrap(nil), a.Wraps...), b.Wraps...)
		both.Rules = append(append([]packing.Rule(nil), a.Rules...), b.Rules...)
		x, y, all := plan(t, a), plan(t, b), plan(t, both)
		if all.Total != x.Total+y.Total || all.Held != x.Held+y.Held {
			t.Errorf("%d: %d and %d, together %d; held %d, %d, %d", seed, x.Total, y.Total, all.Total, x.Held, y.Held, all.Held)
		}
		tried++
	})
	if tried < 50 {
		t.Errorf("only %d pairs were tried", tried)
	}
}
