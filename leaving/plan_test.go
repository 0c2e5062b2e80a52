package leaving

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"solander/calendar"
	"solander/measure"
	"solander/tariff"
)

// monday is 2026-11-30.
var monday = calendar.Date(2026, time.November, 30)

// outcome is what a division of parcels over ways amounts to, in the order in which it counts.
type outcome [4]int64

func (a outcome) compare(b outcome) int { return slices.Compare(a[:], b[:]) }

// everyDivision tries every division of the parcels over all ways or none, one parcel after the other, and returns the best outcome. It asks
// allows alone which way takes which parcel.
func everyDivision(a Ask, allows func(w Way, p Parcel) bool) outcome {
	best := outcome{1 << 60}
	by := make([]int, len(a.Parcels))
	var try func(at int)
	try = func(at int) {
		if at < len(by) {
			for by[at] = -1; by[at] < len(a.Ways); by[at]++ {
				if by[at] < 0 || allows(a.Ways[by[at]], a.Parcels[at]) {
					try(at + 1)
				}
			}
			return
		}
		var got outcome
		loads := make([]int, len(a.Ways))
		for _, w := range by {
			if w < 0 {
				got[0]++
			} else {
				loads[w]++
			}
		}
		for i, n := range loads {
			w := a.Ways[i]
			if n > 0 && (n < w.Least || w.Most > 0 && n > w.Most) {
				return
			}
			if n > 0 {
				got[1] += w.Fee + int64(w.Minutes)*a.Wage
				got[2]++
				got[3] += int64(w.Minutes)
			}
		}
		if got.compare(best) < 0 {
			best = got
		}
	}
	try(0)
	return best
}

// allows says in its own words whether a way takes a parcel: every way to turn it is tried.
func allows(a Ask) func(w Way, p Parcel) bool {
	return func(w Way, p Parcel) bool {
		open := len(w.Days) == 0
		for _, d := range w.Days {
			open = open || d == weekday(a.Day.Weekday())
		}
		if !open || w.CutOff != "" && a.At > w.CutOff || len(w.Services) > 0 && !slices.Contains(w.Services, p.Service) {
			return false
		}
		if w.Heaviest > 0 && p.Mass > w.Heaviest || w.Worth > 0 && p.Worth > w.Worth {
			return false
		}
		if w.Opening == nil {
			return true
		}
		s := []measure.Length{p.Size.Length, p.Size.Width, p.Size.Height}
		for _, turn := range [][3]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}} {
			if s[turn[0]] <= w.Opening.Length && s[turn[1]] <= w.Opening.Width && (w.Opening.Depth == 0 || s[turn[2]] <= w.Opening.Depth) {
				return true
			}
		}
		return false
	}
}

// randomAsk draws a few ways and parcels in which size, service, worth, weight, day, hour and numbers all matter.
func randomAsk(d *rand.Rand) Ask {
	a := Ask{Day: monday, Wage: int64(d.IntN(3) * 20), Currency: "USD", Units: measure.Imperial}
	if d.IntN(3) == 0 {
		a.At = []string{"09:00", "10:30", "10:31"}[d.IntN(3)]
	}
	side := func() measure.Length { return measure.Length(1+d.IntN(6)) * measure.Inch }
	for i := range 1 + d.IntN(4) {
		w := Way{ID: string(rune('a' + i)), Name: string(rune('A' + i)), Kind: Kinds()[d.IntN(4)], Fee: int64(d.IntN(3) * 100), Minutes: d.IntN(3) * 10}
		if w.Kind == Mailbox || d.IntN(2) == 0 {
			w.Opening = &Opening{side(), side(), side() * measure.Length(d.IntN(2))}
		}
		switch d.IntN(6) {
		case 0:
			w.Least = d.IntN(4)
		case 1:
			w.Most = 1 + d.IntN(3)
		case 2:
			w.Least = 1 + d.IntN(2)
			w.Most = w.Least + d.IntN(2)
		}
		switch d.IntN(8) {
		case 0:
			w.Services = []string{"ground"}
		case 1:
			w.Heaviest = 2 * measure.Pound
		case 2:
			w.Worth = 100
		case 3:
			w.Days = [][]string{{"monday"}, {"tuesday", "friday"}}[d.IntN(2)]
		case 4:
			w.CutOff = "10:30"
		}
		a.Ways = append(a.Ways, w)
	}
	for range d.IntN(7) {
		p := Parcel{Mass: measure.Mass(1+d.IntN(3)) * measure.Pound, Worth: int64(50 + d.IntN(3)*50), Service: []string{"ground", "air"}[d.IntN(2)]}
		p.Size = tariff.Size{Length: side(), Width: side(), Height: side()}
		a.Parcels = append(a.Parcels, p)
	}
	return a
}

// Nothing is better than the plan: not by the parcels that stay, the money, the trips, the minutes.
func TestPlanIsTheBestOfAllDivisions(t *testing.T) {
	d := rand.New(rand.NewPCG(7, 11))
	staying, several := 0, 0
	cases := 10_000
	if testing.Short() {
		cases = 1000
	}
	for n := range cases {
		a := randomAsk(d)
		if err := Validate("ways", a.Ways); err != nil {
			t.Fatalf("case %d: the ways of the test are none: %v", n, err)
		}
		p, may := Choose(a), allows(a)
		got := outcome{int64(len(p.Staying)), p.Money, int64(len(p.Trips)), int64(p.Minutes)}
		if want := everyDivision(a, may); got != want {
			t.Fatalf("case %d: the plan %v (stay, money, trips, minutes), the best of all is %v\n%+v", n, got, want, a)
		}
		sound(t, a, p, may)
		staying += min(1, len(p.Staying))
		if len(p.Trips) > 1 {
			several++
		}
	}
	if staying < cases/20 || several < cases/20 {
		t.Errorf("in %d cases a parcel stays, in %d there are several trips: too few of %d", staying, several, cases)
	}
}

// sound looks at a plan by itself: it keeps what every way asks, counts what it says, and gives a parcel that stays a reason of each way.
func sound(t *testing.T, a Ask, p Plan, may func(Way, Parcel) bool) {
	t.Helper()
	loads := make([]int, len(a.Ways))
	for j, by := range p.By {
		if by == Stays {
			continue
		}
		if loads[by]++; !may(a.Ways[by], a.Parcels[j]) {
			t.Fatalf("parcel %d goes by %s, which does not take it", j, a.Ways[by].Name)
		}
	}
	var money int64
	for _, trip := range p.Trips {
		money += trip.Money
		w := a.Ways[trip.Way]
		if n := loads[trip.Way]; n != len(trip.Parcels) || n < max(1, w.Least) || w.Most > 0 && n > w.Most {
			t.Fatalf("a trip by %s with %d parcels, %d by the plan", w.Name, len(trip.Parcels), n)
		}
	}
	if money != p.Money {
		t.Fatalf("trips for %d, in all %d", money, p.Money)
	}
	for _, s := range p.Staying {
		if len(s.Reasons) != len(a.Ways) || s.Mend == "" || p.By[s.Parcel] != Stays {
			t.Fatalf("parcel %d stays for %v", s.Parcel, s.Reasons)
		}
		for i, r := range s.Reasons {
			number := r.Rule == "leave.least" || r.Rule == "leave.most"
			if r.Text == "" || number != may(a.Ways[i], a.Parcels[s.Parcel]) {
				t.Fatalf("parcel %d stays for %+v; by itself %s takes it: %v", s.Parcel, r, a.Ways[i].Name, !number)
			}
			if (r.Unit == "nm" || r.Unit == "ng" || r.Unit == a.Currency) && r.Got <= r.Limit {
				t.Fatalf("%q, with %d against %d", r.Text, r.Got, r.Limit)
			}
		}
	}
}

// The same parcels in another order cost the same, and one more way never costs more while nothing stays.
func TestMoreWaysNeverCostMore(t *testing.T) {
	d := rand.New(rand.NewPCG(3, 5))
	compared := 0
	for range 2000 {
		a := randomAsk(d)
		was := Choose(a)
		turned := a
		turned.Parcels = slices.Clone(a.Parcels)
		slices.Reverse(turned.Parcels)
		if now := Choose(turned); now.Money != was.Money || len(now.Staying) != len(was.Staying) || now.Minutes != was.Minutes {
			t.Fatalf("in another order %d instead of %d", now.Money, was.Money)
		}
		less := a
		less.Ways = a.Ways[:len(a.Ways)-1]
		if before := Choose(less); len(before.Staying) == len(was.Staying) {
			if compared++; before.Money < was.Money {
				t.Fatalf("one way less costs %d, with it %d", before.Money, was.Money)
			}
		} else if len(before.Staying) < len(was.Staying) {
			t.Fatal("one way more, and more parcels stay")
		}
	}
	if compared < 200 {
		t.Errorf("only %d compared", compared)
	}
}
