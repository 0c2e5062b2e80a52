package brute

import (
	"fmt"

	"solander/measure"
	"solander/tariff"
)

func (d dice) service(c *tariff.Card) tariff.Service {
	s := tariff.Service{
		ID: fmt.Sprintf("service %d", len(c.Services)), Class: pick(d, "slow", "slow", "fast"), Name: "a service",
		Tracking: d.chance(70), Flexible: d.chance(10), Status: pick(d, "", "", "secondary"),
	}
	if d.chance(60) { // one that goes nearly everywhere
		d.prices(&s)
		s.Cover, s.Signature, s.Tracking = d.cover(), ptr[int64](90), true
		return s
	}
	switch d.IntN(12) {
	case 0:
		s.Countries = []string{pick(d, "US", "CA")}
	case 1:
		s.Abroad = ptr(d.chance(50))
	}
	if len(c.Zones) > 0 && d.chance(80) {
		s.Zones = "z"
	}
	if d.chance(10) {
		s.Forms = []tariff.Form{pick(d, tariff.Box, tariff.Cylinder)}
	}
	if d.chance(5) {
		s.Container = pick(d, "box-1", "box-2")
	}
	if d.chance(75) {
		least := d.IntN(3)
		s.Days = &tariff.Days{Min: least, Max: least + d.IntN(4), Counted: pick(d, tariff.CalendarDays, tariff.DeliveryDays, tariff.WeekDays)}
	}
	for range d.IntN(3) {
		s.Limits = append(s.Limits, d.bound(false))
	}
	d.prices(&s)
	if d.chance(30) {
		d.dimensional(&s)
	}
	for i := range d.IntN(4) {
		s.Surcharges = append(s.Surcharges, d.surcharge(i))
	}
	if d.chance(60) {
		s.Cover = d.cover()
	}
	if d.chance(60) {
		s.Signature = ptr(int64(d.IntN(4) * 50))
	}
	return s
}

// bound is one that most parcels pass as a limit, and some meet as a condition.
func (d dice) bound(condition bool) tariff.Bound {
	b := tariff.Bound{Measure: pick(d, tariff.Measures()...)}
	if d.chance(15) {
		b.Form = pick(d, tariff.Box, tariff.Cylinder)
	}
	var n int64
	switch b.Measure {
	case tariff.Length:
		n = int64(pick(d, 330*mm, 400*mm, 440*mm))
	case tariff.Width:
		n = int64(pick(d, 74*mm, 300*mm, 340*mm))
	case tariff.Height:
		n = int64(pick(d, 3*mm, 6*mm, 20*mm, 74*mm))
	case tariff.Girth:
		n = int64(pick(d, 240*mm, 620*mm, 700*mm))
	case tariff.LengthGirth:
		n = int64(pick(d, 700*mm, 1000*mm, 1100*mm))
	case tariff.LengthWidthHeight:
		n = int64(pick(d, 600*mm, 700*mm, 800*mm))
	case tariff.LengthTwoDiameters:
		n = int64(pick(d, 500*mm, 900*mm, 1100*mm))
	case tariff.VolumeOf:
		n = int64(pick(d, 500, 1500, 5000)) * int64(tariff.CubicCentimetre)
	case tariff.MassOf:
		n = int64(measure.Mass(10+d.IntN(50)) * 5 * gram)
	case tariff.ValueOf:
		n = pick[int64](d, 5000, 9000, 14000)
	}
	n = near(d, n)
	switch {
	case !condition && d.chance(75):
		*pick(d, &b.Max, &b.Under) = ptr(n)
	case d.chance(80):
		*pick(d, &b.Min, &b.Over) = ptr(n / 4)
	default:
		b.Min, b.Max = ptr(n/4), ptr(n)
	}
	return b
}

func (d dice) prices(s *tariff.Service) {
	columns := 1
	if s.Zones != "" && d.chance(85) {
		s.Prices.Zones = []string{"near", "far"}
		columns = 2
	}
	row := func(mass measure.Mass, volume tariff.Volume, step int) {
		r := tariff.Row{Mass: mass, Volume: volume, Status: pick(d, "", "", "primary")}
		for i := range columns {
			price := tariff.Cell(50*(step+2*i) + 5*d.IntN(30)) // may fall with mass, on purpose
			if d.chance(4) {
				price = tariff.NotCarried
			}
			r.Prices = append(r.Prices, price)
		}
		s.Prices.Rows = append(s.Prices.Rows, r)
	}
	switch d.IntN(10) {
	case 0:
		s.Prices.By = tariff.ByPiece
		row(0, 0, 4)
	case 1:
		s.Prices.By = tariff.ByVolume
		s.Prices.Round = d.rounding()
		for i, v := range []tariff.Volume{500, 1500, 4000, 20_000} {
			row(0, v*tariff.CubicCentimetre, i+2)
		}
	default:
		s.Prices.By = tariff.ByMass
		mass := measure.Mass(0)
		for i := range 2 + d.IntN(3) {
			mass += measure.Mass(8+d.IntN(20)) * 5 * gram
			row(near(d, mass), 0, i+2)
		}
		if d.chance(90) {
			row(2000*gram, 0, 8)
		}
	}
}

func (d dice) rounding() tariff.Rounding {
	if d.chance(30) {
		return tariff.Rounding{}
	}
	return tariff.Rounding{Step: pick(d, mm, 10*mm, measure.Inch), Mode: pick(d, tariff.Nearest, tariff.Up, tariff.Down)}
}

func (d dice) dimensional(s *tariff.Service) {
	dim := &tariff.Dimensional{
		Over:    tariff.Volume(d.IntN(20)) * 100 * tariff.CubicCentimetre,
		Divisor: tariff.Ratio{Volume: pick(d, 5*tariff.CubicCentimetre, 166*tariff.CubicInch), Mass: pick(d, gram, measure.Pound)},
		Round:   d.rounding(), Step: pick(d, 1, 10*gram, measure.Ounce),
	}
	if dim.Divisor.Mass == measure.Pound {
		dim.Divisor.Volume = 166 * tariff.CubicInch
	} else {
		dim.Divisor.Volume = 5 * tariff.CubicCentimetre
	}
	if d.chance(50) {
		dim.Cylinder = tariff.Fraction{Num: 785, Den: 1000}
	}
	if d.chance(20) {
		dim.Most = 400 * gram
	}
	s.Dimensional = dim
}

func (d dice) surcharge(i int) tariff.Surcharge {
	c := tariff.Surcharge{ID: fmt.Sprintf("fee %d", i), Name: "a fee", Group: pick(d, "", "size", "size", "form"), Amount: int64(d.IntN(5) * 40)}
	if d.chance(20) {
		c.Form = pick(d, tariff.Box, tariff.Cylinder)
	}
	if d.chance(15) {
		c.Stiff = ptr(d.chance(50))
	}
	for range 1 + d.IntN(2) {
		c.When = append(c.When, d.bound(true))
	}
	return c
}

func (d dice) cover() *tariff.Cover {
	c := &tariff.Cover{Included: pick[int64](d, 0, 2000, 5000)}
	if d.chance(70) {
		c.Steps = []tariff.CoverStep{{UpTo: near[int64](d, 7000), Price: 120}, {UpTo: near[int64](d, 10_000), Price: 200}}
	}
	if d.chance(50) {
		c.Per, c.PerPrice = pick[int64](d, 1000, 3000), 35
	}
	if d.chance(40) {
		c.Most = ptr(near[int64](d, pick[int64](d, 9000, 14_000)))
	}
	return c
}
