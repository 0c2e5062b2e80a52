package house

import (
	"fmt"
	"slices"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/web/form"
)

// What is chosen, and not typed as a code: country, currency, time zone, classes of postage, closed days.

func countryChoices() []form.Choice {
	var out []form.Choice
	for a := 'A'; a <= 'Z'; a++ {
		for b := 'A'; b <= 'Z'; b++ {
			if code := string([]rune{a, b}); order.KnownCountry(code) {
				out = append(out, form.Pick(code, order.CountryName(code)))
			}
		}
	}
	slices.SortFunc(out, func(a, b form.Choice) int { return strings.Compare(a.Text, b.Text) })
	return out
}

func currencyChoices(now string) []form.Choice {
	var out []form.Choice
	for _, c := range money.Currencies() {
		out = append(out, form.Pick(c.Code, c.Name+", "+c.Code))
	}
	return withNow(out, now)
}

func zoneChoices(now string) []form.Choice {
	var out []form.Choice
	for _, z := range calendar.Zones() {
		area, place, _ := strings.Cut(strings.ReplaceAll(z.Name, "_", " "), "/")
		out = append(out, form.Pick(z.Name, strings.Trim(strings.ReplaceAll(place, "/", ", ")+", "+area, ", ")))
	}
	slices.SortFunc(out, func(a, b form.Choice) int { return strings.Compare(a.Text, b.Text) })
	return withNow(out, now)
}

// withNow adds what stands now, when it is none of the choices.
func withNow(all []form.Choice, now string) []form.Choice {
	if now == "" || slices.ContainsFunc(all, func(c form.Choice) bool { return c.Value == now }) {
		return all
	}
	return append(all, form.Pick(now, now))
}

func askClasses(fm *form.Form, set *studio.Settings) {
	now := strings.Join(set.PriceClasses, ", ")
	fm.Words("price_classes", "Postage is bought", &set.PriceClasses, ", ").Of(withNow([]form.Choice{
		form.Pick("commercial, single-piece", "online or at the counter"), form.Pick("commercial", "online"), form.Pick("single-piece", "at the counter"),
	}, now)...)
}

// mostClosed is how many days one row of closed days may span.
const mostClosed = 366

// askClosed asks for the days closed as rows of a first and a last day; more rows than there are let further ones be added.
func askClosed(fm *form.Form, set *studio.Settings) {
	runs := append(runsOf(set.ClosedDays), [2]calendar.Day{})
	set.ClosedDays = []calendar.Day{}
	for i := range runs {
		from, to := fmt.Sprintf("closed[%d].from", i), fmt.Sprintf("closed[%d].to", i)
		run := &runs[i]
		fm.Day(from, "Closed from", &run[0]).Class = "first" // a first and a last day stand side by side
		fm.Day(to, "until", &run[1]).WithHint("empty: that day alone").Half()
		fm.Then(func(l *fault.List) {
			if run[0].IsZero() {
				l.Check(run[1].IsZero(), from, "the first day is missing", "give it, or leave both empty")
				return
			}
			if run[1].IsZero() {
				run[1] = run[0]
			}
			if n := run[1].Sub(run[0]); n < 0 || n >= mostClosed {
				l.Add(fault.Invalidf(to, "%s is before %s, or more than a year after it", run[1], run[0]).ToMend("look at both days"))
				return
			}
			for d := run[0]; !run[1].Before(d); d = d.Add(1) {
				if !slices.Contains(set.ClosedDays, d) {
					set.ClosedDays = append(set.ClosedDays, d)
				}
			}
		})
	}
}

// runsOf gathers days that follow each other.
func runsOf(days []calendar.Day) [][2]calendar.Day {
	days = slices.Clone(days)
	slices.SortFunc(days, func(a, b calendar.Day) int { return a.Sub(b) })
	var out [][2]calendar.Day
	for _, d := range days {
		if n := len(out); n > 0 && d.Sub(out[n-1][1]) <= 1 {
			out[n-1][1] = d
			continue
		}
		out = append(out, [2]calendar.Day{d, d})
	}
	return out
}
