package tariff

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"solander/measure"
	"solander/money"
)

func (o *Offer) line(rule, what, text string, amount int64, source, status string) Line {
	return Line{
		Rule: rule, What: what, Text: text, Count: 1, Amount: amount,
		Source: first(source, o.Service.Source, o.Card.Source),
		Status: first(status, o.Service.Status, o.Card.Status),
	}
}

func first(texts ...string) string {
	for _, t := range texts {
		if t != "" {
			return t
		}
	}
	return ""
}

func (o *Offer) postageLine(row int, billed measure.Mass) Line {
	r := o.Service.Prices.Rows[row]
	text := o.called
	switch o.Service.Prices.By {
	case ByMass:
		text += r.Mass.String()
	case ByVolume:
		text += r.Volume.String()
	}
	status := r.Status
	if slices.Contains(r.Carried, o.Zone) || len(r.Carried) > 0 && len(o.Service.Prices.Zones) == 0 {
		status = "extrapolated"
	}
	return o.line("postage", o.Service.ID, text, int64(o.column[row]), r.Source, status)
}

// reason puts a broken rule into words.
func (o *Offer) reason(b broken, p *Parcel) *Reason {
	return &Reason{Rule: b.rule, Text: o.words(b, p), Got: b.got, Limit: b.limit, Unit: b.unit}
}

func (o *Offer) words(b broken, p *Parcel) string {
	name := o.Service.Name
	got, limit := Against(b.got, b.limit, b.unit)
	switch b.rule {
	case "zone.mass":
		return fmt.Sprintf("%s takes at most %s to zone %s; the parcel has %s", name, limit, o.Zone, got)
	case "service.issued":
		return fmt.Sprintf("packaging issued for class %s may not go by class %s, however it is cut", strings.Join(p.IssuedFor, ", "), o.Service.Class)
	case "service.container":
		if o.Service.Container == "" {
			return fmt.Sprintf("the container %s has a price of its own and does not go by %s", p.Container, name)
		}
		return fmt.Sprintf("%s is the price of the container %s alone", name, o.Service.Container)
	case "service.form":
		return fmt.Sprintf("%s does not take a %s", name, p.Form)
	case "service.flexible":
		return name + " takes only what bends; the parcel is stiff"
	case "service.tracking":
		return name + " has no tracking"
	case "service.signature":
		return name + " sells no signature on delivery"
	case "price.step":
		return fmt.Sprintf("%s has prices up to %s; the parcel counts as %s", name, limit, got)
	case "price.dash":
		return fmt.Sprintf("%s does not carry the step up to %s to zone %s", name, limit, o.Zone)
	case "cover.most":
		return fmt.Sprintf("%s covers at most %s; the contents are worth %s", name, limit, got)
	}
	return fmt.Sprintf("%s of %s: the parcel has %s, the limit is %s", strings.TrimPrefix(b.rule, "limit."), name, got, limit)
}

// Show prints a number of a Reason with its unit.
func Show(n int64, unit string) string {
	switch unit {
	case "nm":
		return showLength(measure.Length(n))
	case "ng":
		return showMass(measure.Mass(n))
	case "um3":
		return Volume(n).String()
	case "":
		return strconv.FormatInt(n, 10)
	case "sheets", "pieces", "days":
		if n == 1 {
			return "1 " + strings.TrimSuffix(unit, "s")
		}
		return strconv.FormatInt(n, 10) + " " + unit
	}
	return money.Of(n, unit).String()
}

// Against prints what there is and the limit that it breaks, both in the system of units of the limit. What
// is not tidy in that system is rounded away from each other, so that the sentence stays true; the exact
// numbers stand beside it in the reason.
func Against(got, limit int64, unit string) (string, string) {
	over := got > limit
	switch unit {
	case "nm":
		g, l := measure.Length(got), measure.Length(limit)
		s := measure.SystemOf(l)
		if over {
			return g.Above(s), l.Below(s)
		}
		return g.Below(s), l.Above(s)
	case "ng":
		g, l := measure.Mass(got), measure.Mass(limit)
		s := measure.SystemOfMass(l)
		if over {
			return g.Above(s), l.Below(s)
		}
		return g.Below(s), l.Above(s)
	case "um3":
		if l := Volume(limit); over {
			step := l.unit() / 1000
			return ((Volume(got) + step - 1) / step * step).in(l.unit()), l.String()
		}
	}
	return Show(got, unit), Show(limit, unit)
}

// showLength prints a tidy length exactly and any other in millimetres, cut to the micrometre: the exact number
// stands beside it in the reason.
func showLength(l measure.Length) string {
	if l%(measure.Inch/64) == 0 || l%(10*measure.Micrometre) == 0 {
		return l.String()
	}
	return thousandths(int64(l/measure.Micrometre)) + " mm"
}

// showMass prints a tidy mass exactly and any other in grams, cut to the milligram.
func showMass(m measure.Mass) string {
	if t := m.String(); len(t) <= 16 {
		return t
	}
	return thousandths(int64(m/measure.Milligram)) + " g"
}

func thousandths(n int64) string {
	s := fmt.Sprintf("%d.%03d", n/1000, n%1000)
	return strings.TrimRight(strings.TrimRight(s, "0"), ".")
}
