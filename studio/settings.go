package studio

import (
	"context"
	"fmt"
	"regexp"
	"slices"
	"time"

	"solander/fault"
	"solander/leaving"
	"solander/measure"
	"solander/money"
	"solander/order"
)

// How many requests a feed may make in a minute: unless the studio chose, and at most.
const (
	DefaultFeedsAMinute = 600
	MostFeedsAMinute    = 1_000_000
)

// MostSetUpMoney is the most, in minor units, that fewer different wraps may cost in a day.
const MostSetUpMoney = 1_000_000

// Settings returns the studio's settings; zero before set-up.
func (s *Studio) Settings(ctx context.Context) (Settings, error) {
	var set Settings
	err := s.Store.Read(ctx, func(tx Tx) (err error) {
		set, err = tx.Settings()
		return err
	})
	return set, err
}

// AsItStands reads what has an id (0: nothing yet) and lets it be changed.
func AsItStands[T any](id int64, read func(int64) (T, error), change func(*T) error) (T, error) {
	var v T
	if id != 0 {
		var err error
		if v, err = read(id); err != nil {
			return v, err
		}
	}
	return v, change(&v)
}

// Whole is a change that puts one thing in the place of another.
func Whole[T any](v T) func(*T) error {
	return func(is *T) error {
		*is = v
		return nil
	}
}

// Tidy trims what people type around.
func (s Settings) Tidy() Settings {
	s.Address = s.Address.Tidy()
	if s.Holidays == "" {
		s.Holidays = "none"
	}
	if s.Units == "" {
		s.Units = measure.Imperial
	}
	if s.MarkPrefix == "" {
		s.MarkPrefix = "S"
	}
	return s
}

var prefixForm = regexp.MustCompile(`^[A-Z]{1,4}$`)

// Validate looks at the settings alone, but for wraps and rules, which need the shelf. Faults: Invalid,
// one a field.
func (s Settings) Validate() error {
	var l fault.List
	l.Add(order.Text("studio", s.Studio, 120, true))
	l.Add(order.Text("artist", s.Artist, 120, true))
	l.Add(s.Address.ValidateOrigin())
	l.Check(money.Known(s.Currency), "currency", fmt.Sprintf("%.10q is not a currency", s.Currency), "use three letters of ISO 4217, such as USD or EUR")
	l.Check(slices.Contains(measure.Systems(), s.Units), "units", fmt.Sprintf("%.20q is not a system of units", s.Units), "use inch or metric")
	_, err := time.LoadLocation(s.TimeZone)
	l.Check(err == nil && s.TimeZone != "", "time_zone", fmt.Sprintf("%.60q is not a time zone", s.TimeZone), "use an IANA name such as America/New_York or Europe/Berlin")
	l.Check(slices.Contains([]string{"us-federal", "none"}, s.Holidays), "holidays", fmt.Sprintf("%.40q is not a calendar of holidays", s.Holidays), "use us-federal or none")
	for i, d := range s.ClosedDays {
		l.Add(Sane(fmt.Sprintf("closed_days[%d]", i), d))
	}
	l.Check(prefixForm.MatchString(s.MarkPrefix), "mark_prefix", fmt.Sprintf("%.20q cannot start an order's mark", s.MarkPrefix), "use one to four capital letters")
	l.Check(s.MinuteWage >= 0 && s.MinuteWage <= 100_000, "minute_wage", "the wage of a minute is negative or absurd", "use 0 when minutes do not count")
	l.Add(s.Margin.Check("margin."))
	l.Add(leaving.Validate("leaving", s.Leaving))
	l.Check(s.SetUpMoney >= 0 && s.SetUpMoney <= MostSetUpMoney, "set_up_money", "a day cannot cost so much more", "use 0 when fewer wraps may cost nothing")
	l.Check(s.ReserveDays() >= 0 && s.ReserveDays() <= 60, "reserve", fmt.Sprintf("%d working days cannot be kept in reserve", s.ReserveDays()), "use 0 to 60")
	l.Check(s.FeedsAMinute >= 0 && s.FeedsAMinute <= MostFeedsAMinute, "feeds_a_minute", "a feed cannot be allowed so many requests", fmt.Sprintf("use 1 to %d, or 0 for %d", MostFeedsAMinute, DefaultFeedsAMinute))
	for i, c := range s.PriceClasses {
		l.Add(order.Text(fmt.Sprintf("price_classes[%d]", i), c, 40, true))
	}
	l.Add(s.Bills.Validate())
	for i := range s.Zones {
		l.Add(s.Zones[i].Check(fmt.Sprintf("zones[%d]", i)))
	}
	l.Add(s.validateWords())
	return l.Err()
}

func (s Settings) validateWords() error {
	var l fault.List
	for i, w := range s.Labs {
		l.Add(order.Text(fmt.Sprintf("labs[%d]", i), w, 120, true))
	}
	for i, w := range s.Grades {
		l.Add(order.Text(fmt.Sprintf("grades[%d]", i), w, 120, true))
	}
	for i, p := range s.Papers {
		at := fmt.Sprintf("papers[%d].", i)
		l.Add(order.Text(at+"name", p.Name, 120, true))
		l.Check(p.Grammage >= 20*measure.GSM && p.Grammage <= 2000*measure.GSM, at+"grammage", "a print's paper is between 20 and 2000 gsm", "look at the unit")
		l.Check(p.Caliper > 0 && p.Caliper <= 10*measure.Millimetre, at+"caliper", "the thickness of the sheet is between 0 and 10 mm", "look at the unit")
		l.Check(p.TightestRoll == 0 || p.TightestRoll >= measure.Centimetre && p.TightestRoll <= measure.Metre, at+"tightest_roll", "the tightest roll is between 1 cm and 1 m", "leave it empty when the paper may not be rolled")
	}
	return l.Err()
}
