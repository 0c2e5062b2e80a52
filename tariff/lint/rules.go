package lint

import (
	"fmt"
	"slices"
	"strings"

	"solander/money"
	"solander/tariff"
)

// rules compares everything of a service but its prices.
func (d *differ) rules(was, now *tariff.Service) {
	d.turned("service", "name", was.Name, now.Name)
	d.turned("service", "class", was.Class, now.Class)
	d.turned("service", "destinations", reach(was), reach(now))
	d.turned("service", "zone table", was.Zones, now.Zones)
	d.turned("service", "forms", forms(was.Forms), forms(now.Forms))
	d.turned("service", "only what bends", yes(was.Flexible), yes(now.Flexible))
	d.turned("service", "container", was.Container, now.Container)
	d.turned("service", "tracking", yes(was.Tracking), yes(now.Tracking))
	d.turned("service", "days", days(was.Days), days(now.Days))
	d.limits(was.Limits, now.Limits)
	d.turned("dimensional", "mass by volume", dimensional(was.Dimensional), dimensional(now.Dimensional))
	d.surcharges(was.Surcharges, now.Surcharges)
	d.cover(was.Cover, now.Cover)
	d.turned("signature", "signature", d.amount(was.Signature), d.amount(now.Signature))
	d.claims(was.Claims, now.Claims)
}

// claims compares when claims are taken, and what the card says of other days beside them.
func (d *differ) claims(was, now *tariff.Claims) {
	if was == nil {
		was = &tariff.Claims{}
	}
	if now == nil {
		now = &tariff.Claims{}
	}
	for _, x := range []struct {
		of       string
		was, now *tariff.Window
	}{{"damaged", was.Damaged, now.Damaged}, {"lost", was.Lost, now.Lost}, {"missing contents", was.Missing, now.Missing}} {
		d.turned("claims", "claims, "+x.of, window(x.was), window(x.now))
	}
}

func window(w *tariff.Window) string {
	if w == nil || w.Note == "" {
		return w.Words()
	}
	return w.Words() + " (" + w.Note + ")"
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

func reach(s *tariff.Service) string {
	where := "everywhere"
	if s.Abroad != nil {
		where = map[bool]string{true: "abroad", false: "at home"}[*s.Abroad]
	}
	if len(s.Countries) > 0 {
		where += ", to " + strings.Join(s.Countries, ", ")
	}
	return where
}

func forms(list []tariff.Form) string {
	if len(list) == 0 {
		return "box, cylinder"
	}
	var out []string
	for _, f := range list {
		out = append(out, string(f))
	}
	return strings.Join(out, ", ")
}

func days(d *tariff.Days) string {
	if d == nil {
		return "not stated"
	}
	return fmt.Sprintf("%d to %d, %s", d.Min, d.Max, d.Counted)
}

func rounding(r tariff.Rounding) string {
	if r.Step == 0 {
		return "not"
	}
	return fmt.Sprintf("%s to %s", r.Mode, r.Step)
}

func dimensional(d *tariff.Dimensional) string {
	if d == nil {
		return ""
	}
	out := fmt.Sprintf("%s count as %s", d.Divisor.Volume, d.Divisor.Mass)
	if d.Over > 0 {
		out += ", above " + d.Over.String()
	}
	out += ", sides rounded " + rounding(d.Round)
	if d.Step > 0 {
		out += ", up to whole " + d.Step.String()
	}
	if d.Cylinder.Den > 0 {
		out += fmt.Sprintf(", cylinders by %d/%d", d.Cylinder.Num, d.Cylinder.Den)
	}
	if d.Most > 0 {
		out += ", at most " + d.Most.String()
	}
	return out
}

// limits compares what limits each measure, by form.
func (d *differ) limits(was, now []tariff.Bound) {
	type key struct {
		form    tariff.Form
		measure tariff.Measure
	}
	gather := func(list []tariff.Bound) map[key]string {
		out := map[key]string{}
		for _, b := range list {
			k := key{b.Form, b.Measure}
			out[k] = strings.Trim(out[k]+", "+d.numbers(b), ", ")
		}
		return out
	}
	a, b := gather(was), gather(now)
	seen := map[key]bool{}
	for _, l := range slices.Concat(now, was) {
		k := key{l.Form, l.Measure}
		if seen[k] {
			continue
		}
		seen[k] = true
		d.turned("limit", boundName(l), a[k], b[k])
	}
}

func boundName(b tariff.Bound) string {
	if b.Form != "" {
		return fmt.Sprintf("%s of a %s", b.Measure, b.Form)
	}
	return string(b.Measure)
}

// numbers puts what a bound asks into words.
func (d *differ) numbers(b tariff.Bound) string {
	unit := b.Measure.Unit()
	if unit == "money" {
		unit = d.b.Currency
	}
	var out []string
	for _, n := range []struct {
		word string
		at   *int64
	}{{"at least", b.Min}, {"over", b.Over}, {"at most", b.Max}, {"under", b.Under}} {
		if n.at != nil {
			out = append(out, n.word+" "+tariff.Show(*n.at, unit))
		}
	}
	return strings.Join(out, ", ")
}

func (d *differ) surcharges(was, now []tariff.Surcharge) {
	find := func(list []tariff.Surcharge, id string) *tariff.Surcharge {
		for i := range list {
			if list[i].ID == id {
				return &list[i]
			}
		}
		return nil
	}
	for i := range now {
		n := &now[i]
		w := find(was, n.ID)
		if w == nil {
			d.say("surcharge", "%s is new: %s", n.Name, d.feeText(n))
			continue
		}
		d.turned("surcharge", n.Name, d.feeText(w), d.feeText(n))
	}
	for i := range was {
		if find(now, was[i].ID) == nil {
			d.say("surcharge", "%s is gone", was[i].Name)
		}
	}
}

func (d *differ) feeText(s *tariff.Surcharge) string {
	out := []string{money.Of(s.Amount, d.b.Currency).String()}
	if s.Form != "" {
		out = append(out, "for a "+string(s.Form))
	}
	if s.Stiff != nil {
		out = append(out, "stiff: "+yes(*s.Stiff))
	}
	for _, b := range s.When {
		out = append(out, boundName(b)+" "+d.numbers(b))
	}
	if s.Group != "" {
		out = append(out, "group "+s.Group)
	}
	return strings.Join(out, ", ")
}

func (d *differ) amount(n *int64) string {
	if n == nil {
		return ""
	}
	return money.Of(*n, d.b.Currency).String()
}

func (d *differ) cover(was, now *tariff.Cover) {
	text := func(c *tariff.Cover) string {
		if c == nil {
			return ""
		}
		out := []string{"included " + d.amount(&c.Included)}
		for _, s := range c.Steps {
			out = append(out, "to "+d.amount(&s.UpTo)+" "+d.amount(&s.Price))
		}
		if c.Per > 0 {
			out = append(out, d.amount(&c.PerPrice)+" for each further "+d.amount(&c.Per))
		}
		if c.Most != nil {
			out = append(out, "at most "+d.amount(c.Most))
		}
		return strings.Join(out, ", ")
	}
	d.turned("cover", "cover", text(was), text(now))
}
