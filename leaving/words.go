package leaving

import (
	"fmt"
	"slices"
	"strings"

	"solander/fault"
	"solander/measure"
	"solander/money"
)

// Takes says what a way takes: "up to 12 in × 12 in × 1 in, 2 parcels a day, Ground alone". named calls a service by its key.
func (w Way) Takes(u measure.System, currency string, named func(string) string) string {
	var parts []string
	if o := w.Opening; o != nil {
		text := "through " + o.Length.In(u) + " × " + o.Width.In(u)
		if o.Depth > 0 {
			text += ", " + o.Depth.In(u) + " deep"
		}
		parts = append(parts, text)
	}
	if w.Heaviest > 0 {
		parts = append(parts, "up to "+w.Heaviest.In(u))
	}
	if w.Worth > 0 {
		parts = append(parts, "worth up to "+money.Of(w.Worth, currency).String())
	}
	if w.Least > 1 {
		parts = append(parts, "from "+fault.Count(w.Least, "parcel")+" on")
	}
	if w.Most > 0 {
		parts = append(parts, fmt.Sprintf("at most %s a day", fault.Count(w.Most, "parcel")))
	}
	var services []string
	for _, s := range w.Services {
		services = append(services, named(s))
	}
	if len(services) > 0 {
		parts = append(parts, strings.Join(services, " and ")+" alone")
	}
	if len(parts) == 0 {
		return "every parcel"
	}
	return strings.Join(parts, ", ")
}

// Costs says what a trip costs: "25 minutes (10.00 USD), fee 4.00 USD".
func (w Way) Costs(wage int64, currency string) string {
	var parts []string
	if w.Fee > 0 {
		parts = append(parts, money.Of(w.Fee, currency).String())
	}
	if w.Minutes > 0 {
		text := fault.Count(w.Minutes, "minute")
		if cost := int64(w.Minutes) * wage; cost > 0 {
			text += " (" + money.Of(cost, currency).String() + ")"
		}
		parts = append(parts, text)
	}
	if len(parts) == 0 {
		return "nothing"
	}
	return strings.Join(parts, ", ")
}

// When says when a way is there: "Monday, Thursday, before 10:30".
func (w Way) When() string {
	var days []string
	for _, d := range Weekdays() {
		if slices.Contains(w.Days, d) {
			days = append(days, DayName(d))
		}
	}
	text := "every day"
	if len(days) > 0 {
		text = strings.Join(days, ", ")
	}
	if w.CutOff != "" {
		text += ", before " + w.CutOff
	}
	return text
}

// DayName is a day of the week as it is read.
func DayName(day string) string { return strings.ToUpper(day[:1]) + day[1:] }
