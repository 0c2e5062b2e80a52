package brute

import (
	"fmt"

	"solander/measure"
	"solander/tariff"
)

func (d Dice) service(c *tariff.Card) tariff.Service {
	s := tariff.Service{
		ID: fmt.Sprintf("service %d", len(c.Services)), Class: Pick(d, "slow", "slow", "fast"), Name: "a service",
		Tracking: d.Chance(70), Flexible: d.Chance(10), Status: Pick(d, "", "", "secondary"),
	}
	if d.Chance(60) { // one that goes nearly everywhere
		d.prices(&s)
		s.Cover, s.Signature, s.Tracking = d.cover(), ptr[int64](90), true
		return s
	}
	switch d.IntN(12) {
	case 0:
		s.Countries = []string{Pick(d, "US", "CA")}
	case 1:
		s.Abroad = ptr(d.Chance(50))
	}
	if len(c.Zones) > 0 && d.Chance(80) {
		s.Zones = "z"
	}
	if d.Chance(10) {
		s.Forms = []tariff.Form{Pick(d, tariff.Box, tariff.Cylinder)}
	}
	if d.Chance(5) {
		s.Container = Pick(d, "box-1", "box-2")
	}
	if d.Chance(75) {
		least := d.IntN(3)
		s.Days = &tariff.Days{Min: least, Max: least + d.IntN(4), Counted: Pick(d, tariff.CalendarDays, tariff.DeliveryDays, tariff.WeekDays)}
	}
	for range d.IntN(3) {
		s.Limits = append(s.Limits, d.Bound(false))
	}
	d.prices(&s)
	if d.Chance(30) {
		d.Dimensional(&s)
	}
	for i := range d.IntN(4) {
		s.Surcharges = append(s.Surcharges, d.Surcharge(i))
	}
	if d.Chance(60) {
		s.Cover = d.cover()
	}
	if d.Chance(60) {
		s.Signature = ptr(int64(d.IntN(4) * 50))
	}
	return s
}

// Bound is one that most parcels pass as a limit, and some meet as a condition.
func (d Dice) Bound(condition bool) tariff.Bound {
	b := tariff.Bound{Measure: Pick(d, tariff.Measures()...)}
	if d.Chance(15) {
		b.Form = Pick(d, tariff.Box, tariff.Cylinder)
	}
	var n int64
	switch b.Measure {
	case tariff.Length:
		n = int64(Pick(d, 330*mm, 400*mm, 440*mm))
	case tariff.Width:
		n = int64(Pick(d, 74*mm, 300*mm, 340*mm))
	case tariff.Height:
		n = int64(Pick(d, 3*mm, 6*mm, 20*mm, 74*mm))
	case tariff.Girth:
		n = int64(Pick(d, 240*mm, 620*mm, 700*mm))
	case tariff.LengthGirth:
		n = int64(Pick(d, 700*mm, 1000*mm, 1100*mm))
	case tariff.LengthWidthHeight:
		n = int64(Pick(d, 600*mm, 700*mm, 800*mm))
	case tariff.LengthTwoDiameters:
		n = int64(Pick(d, 500*mm, 900*mm, 1100*mm))
	case tariff.VolumeOf:
		n = int64(Pick(d, 500, 1500, 5000)) * int64(tariff.CubicCentimetre)
	case tariff.MassOf:
		n = int64(measure.Mass(10+d.IntN(50)) * 5 * gram)
	case tariff.ValueOf:
		n = Pick[int64](d, 5000, 9000, 14000)
	}
	n = Near(d, n)
	switch {
	case !condition && d.Chance(75):
		*Pick(d, &b.Max, &b.Under) = ptr(n)
	case d.Chance(80):
		*Pick(d, &b.Min, &b.Over) = ptr(n / 4)
	default:
		b.Min, b.Max = ptr(n/4), ptr(n)
	}
	return b
}

func (d Dice) prices(s *tariff.Service) {
	columns := 1
	if s.Zones != "" && d.Chance(85) {
		s.Prices.Zones = []string{"near", "far"}
		columns = 2
	}
	row := func(mass measure.Mass, volume tariff.Volume, step int) {
		r := tariff.Row{Mass: mass, Volume: volume, Status: Pick(d, "", "", "primary")}
		for i := range columns {
			price := tariff.Cell(50*(step+2*i) + 5*d.IntN(30)) // may fall with mass, on purpose
			if d.Chance(4) {
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
			row(Near(d, mass), 0, i+2)
		}
		if d.Chance(90) {
			row(2000*gram, 0, 8)
		}
	}
}

func (d Dice) rounding() tariff.Rounding {
	if d.Chance(30) {
		return tariff.Rounding{}
	}
	return tariff.Rounding{Step: Pick(d, mm, 10*mm, measure.Inch), Mode: Pick(d, tariff.Nearest, tariff.Up, tariff.Down)}
}

func (d Dice) Dimensional(s *tariff.Service) {
	dim := &tariff.Dimensional{
		Over:    tariff.Volume(d.IntN(20)) * 100 * tariff.CubicCentimetre,
		Divisor: tariff.Ratio{Volume: Pick(d, 5*tariff.CubicCentimetre, 166*tariff.CubicInch), Mass: Pick(d, gram, measure.Pound)},
		Round:   d.rounding(), Step: Pick(d, 1, 10*gram, measure.Ounce),
	}
	if dim.Divisor.Mass == measure.Pound {
		dim.Divisor.Volume = 166 * tariff.CubicInch
	} else {
		dim.Divisor.Volume = 5 * tariff.CubicCentimetre
	}
	if d.Chance(50) {
		dim.Cylinder = tariff.Fraction{Num: 785, Den: 1000}
	}
	if d.Chance(20) {
		dim.Most = 400 * gram
	}
	s.Dimensional = dim
}

func (d Dice) Surcharge(i int) tariff.Surcharge {
	c := tariff.Surcharge{ID: fmt.Sprintf("fee %d", i), Name: "a fee", Group: Pick(d, "", "size", "size", "form"), Amount: int64(d.IntN(5) * 40)}
	if d.Chance(20) {
		c.Form = Pick(d, tariff.Box, tariff.Cylinder)
	}
	if d.Chance(15) {
		c.Stiff = ptr(d.Chance(50))
	}
	for range 1 + d.IntN(2) {
		c.When = append(c.When, d.Bound(true))
	}
	return c
}

func (d Dice) cover() *tariff.Cover {
	c := &tariff.Cover{Included: Pick[int64](d, 0, 2000, 5000)}
	if d.Chance(70) {
		c.Steps = []tariff.CoverStep{{UpTo: Near[int64](d, 7000), Price: 120}, {UpTo: Near[int64](d, 10_000), Price: 200}}
	}
	if d.Chance(50) {
		c.Per, c.PerPrice = Pick[int64](d, 1000, 3000), 35
	}
	if d.Chance(40) {
		c.Most = ptr(Near[int64](d, Pick[int64](d, 9000, 14_000)))
	}
	return c
}
