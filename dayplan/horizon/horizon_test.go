package horizon_test

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"solander/dayplan/horizon"
	"solander/fault"
)

// cases is how many problems are drawn.
func cases() int {
	if testing.Short() {
		return 3_000
	}
	return 10_000
}

func solve(t *testing.T, p horizon.Problem) horizon.Answer {
	t.Helper()
	a, err := horizon.Solve(t.Context(), p)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// less compares in held and money; both when with is true in waits, too.
func less(a, b horizon.Worth) bool {
	return a.Held < b.Held || a.Held == b.Held && a.Money < b.Money
}

// The best plan is what looking at every assignment of days finds: orders held, money and days waited. Each feature of the drawn problems,
// and each pair of them that can be, is among them.
func TestAgainstEveryAssignment(t *testing.T) {
	defer horizon.Crowd(1, 20_000)() // so that the plan that is found first is often not the best
	seen, pairs := map[string]int{}, map[[2]string]int{}
	for seed := range uint64(cases()) {
		p := draw(seed, 0, 0)
		want, got := everyPlan(p.Problem), solve(t, p.Problem)
		if w, sound := worthOf(p.Problem, got); !sound || w != got.Worth {
			t.Fatalf("seed %d: it says %+v, its columns are %+v, sound %v", seed, got.Worth, w, sound)
		}
		if got.Worth != want || !got.Proven || got.Bound != (horizon.Worth{Held: want.Held, Money: want.Money}) {
			t.Fatalf("seed %d: %+v, proven %v, bound %+v; every assignment: %+v", seed, got.Worth, got.Proven, got.Bound, want)
		}
		for i, f := range p.features {
			seen[f]++
			for _, g := range p.features[i+1:] {
				pairs[[2]string{f, g}]++
			}
		}
	}
	for i, f := range features {
		if seen[f] < 100 {
			t.Errorf("%q was drawn %d times", f, seen[f])
		}
		for _, g := range features[i+1:] {
			if n := pairs[[2]string{min(f, g), max(f, g)}]; n < 10 && !excluded(f, g) {
				t.Errorf("%q with %q was drawn %d times", f, g, n)
			}
		}
	}
}

// excluded are pairs that cannot be in one problem.
func excluded(f, g string) bool {
	return f == "one day" && (g == "several days" || g == "starts later" || g == "pieces that come")
}

// A horizon of more days never leaves more out, nor costs more when it leaves out as many.
func TestAWiderHorizonIsNeverWorse(t *testing.T) {
	better := 0
	for seed := range uint64(cases() / 4) {
		was := solve(t, draw(seed, 1, 0).Problem)
		for days := 2; days <= 4; days++ {
			p := draw(seed, days, 0)
			now := solve(t, p.Problem)
			if less(was.Worth, now.Worth) {
				t.Fatalf("seed %d: %+v in %d days, %+v in one less", seed, now.Worth, days, was.Worth)
			}
			if less(now.Worth, was.Worth) {
				better++
			}
			was = now
		}
	}
	if better < 100 {
		t.Errorf("only %d were better: nothing was tested", better)
	}
}

// More reserve never leaves fewer out, nor costs less when it leaves out as many.
func TestMoreReserveIsNeverCheaper(t *testing.T) {
	worse := 0
	for seed := range uint64(cases() / 4) {
		was := solve(t, draw(seed, 0, 0).Problem)
		for reserve := 1; reserve <= 3; reserve++ {
			now := solve(t, draw(seed, 0, reserve).Problem)
			if less(now.Worth, was.Worth) {
				t.Fatalf("seed %d: %+v with a reserve of %d, %+v with one less", seed, now.Worth, reserve, was.Worth)
			}
			if less(was.Worth, now.Worth) {
				worse++
			}
			was = now
		}
	}
	if worse < 100 {
		t.Errorf("only %d were worse: nothing was tested", worse)
	}
}

// Stopped before it begins, with room for few states, or told that columns are missing or may cost less, it answers with a plan, claims no
// proof that it does not have, and its bound is one.
func TestBoundsAreBounds(t *testing.T) {
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	open := map[string]int{}
	for seed := range uint64(cases() / 2) {
		p := draw(seed, 0, 0).Problem
		best := everyPlan(p)
		for _, name := range []string{"stopped", "crowded", "loose", "unproven"} {
			q, ctx, least, undo := draw(seed, 0, 0).Problem, t.Context(), best, func() {}
			switch name {
			case "stopped":
				ctx = ended
			case "crowded":
				undo = horizon.Crowd(1, 1)
			case "loose":
				loose(&q)
			case "unproven":
				unproven(&q)
				least = everyPlan(leastOf(q))
			}
			a, err := horizon.Solve(ctx, q)
			undo()
			if err != nil {
				t.Fatal(err)
			}
			if w, sound := worthOf(q, a); !sound || w != a.Worth {
				t.Fatalf("seed %d, %s: %+v, its columns are %+v, sound %v", seed, name, a.Worth, w, sound)
			}
			switch {
			case a.Proven && (less(best, a.Worth) || less(a.Worth, best)):
				t.Fatalf("seed %d, %s: %+v is called proven, the best is %+v", seed, name, a.Worth, best)
			case less(least, a.Bound), less(a.Worth, a.Bound):
				t.Fatalf("seed %d, %s: bound %+v of %+v, the best is %+v", seed, name, a.Bound, a.Worth, least)
			case !a.Proven:
				open[name]++
			case name == "loose":
				t.Fatalf("seed %d: proven although columns are missing", seed)
			}
		}
	}
	for _, name := range []string{"stopped", "crowded", "loose", "unproven"} {
		if open[name] < cases()/150 {
			t.Errorf("%s: only %d were not proven: nothing was tested", name, open[name])
		}
	}
}

// loose leaves out every column that is not the cheapest of its orders and its day.
func loose(p *horizon.Problem) {
	p.Loose = true
	for u := range p.Units {
		var out []horizon.Column
		for i, c := range p.Units[u].Columns {
			if i == 0 || p.Units[u].Columns[i-1].Orders != c.Orders || p.Units[u].Columns[i-1].Day != c.Day {
				out = append(out, c)
			}
		}
		p.Units[u].Columns = out
	}
}

// unproven makes every third column one that may cost less than it says.
func unproven(p *horizon.Problem) {
	for u := range p.Units {
		for i := range p.Units[u].Columns {
			if c := &p.Units[u].Columns[i]; i%3 == 0 {
				c.Least = c.Cost / 2
			}
		}
	}
}

func leastOf(p horizon.Problem) horizon.Problem {
	p.Units = slices.Clone(p.Units)
	for u := range p.Units {
		p.Units[u].Columns = slices.Clone(p.Units[u].Columns)
		for i := range p.Units[u].Columns {
			p.Units[u].Columns[i].Cost = p.Units[u].Columns[i].Least
		}
	}
	return p
}

// The last big tube: today's order would take it for 3 less, tomorrow's for 5 less; so it is kept until then.
func TestTheLastTubeIsKept(t *testing.T) {
	both := func(day int, with, without int64) horizon.Unit {
		return horizon.Unit{Orders: 1, Columns: []horizon.Column{
			{Orders: 1, Day: day, Cost: with, Least: with, Use: []int{1}}, {Orders: 1, Day: day, Cost: without, Least: without},
		}}
	}
	a := solve(t, horizon.Problem{Days: 2, Stock: [][]int{{1, 1}}, Units: []horizon.Unit{both(0, 900, 1200), both(1, 900, 1400)}})
	if a.Money != 2100 || a.Columns[0][0] != 1 || a.Columns[1][0] != 0 {
		t.Errorf("%+v", a)
	}
}

// Money that is equal is no reason to wait.
func TestSoonerWhenItCostsTheSame(t *testing.T) {
	u := horizon.Unit{Orders: 1}
	for day := range 5 {
		u.Columns = append(u.Columns, horizon.Column{Orders: 1, Day: day, Cost: 812, Least: 812, Waits: day})
	}
	if a := solve(t, horizon.Problem{Days: 5, Units: []horizon.Unit{u}}); a.Columns[0][0] != 0 || a.Waits != 0 {
		t.Errorf("%+v", a)
	}
}

func TestBadProblems(t *testing.T) {
	ok := horizon.Column{Orders: 1, Cost: 5, Least: 5}
	for name, p := range map[string]horizon.Problem{
		"no day":        {},
		"no order":      {Days: 1, Units: []horizon.Unit{{}}},
		"many orders":   {Days: 1, Units: []horizon.Unit{{Orders: horizon.MostOrders + 1}}},
		"another order": {Days: 1, Units: []horizon.Unit{{Orders: 1, Columns: []horizon.Column{{Orders: 2}}}}},
		"another day":   {Days: 1, Units: []horizon.Unit{{Orders: 1, Columns: []horizon.Column{{Orders: 1, Day: 1}}}}},
		"another item":  {Days: 1, Units: []horizon.Unit{{Orders: 1, Columns: []horizon.Column{{Orders: 1, Use: []int{1}}}}}},
		"a gift":        {Days: 1, Units: []horizon.Unit{{Orders: 1, Columns: []horizon.Column{{Orders: 1, Cost: -1, Least: -1}}}}},
		"less possible": {Days: 1, Units: []horizon.Unit{{Orders: 1, Columns: []horizon.Column{{Orders: 1, Cost: 1, Least: 2}}}}},
		"beyond 64 bit": {Days: 1, Units: []horizon.Unit{{Orders: 12, Columns: []horizon.Column{{Orders: 1, Cost: 1 << 49, Least: 1 << 49, Waits: 1 << 20}}}}},
	} {
		if _, err := horizon.Solve(t.Context(), p); !fault.Is(err, fault.Invalid) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if a := solve(t, horizon.Problem{Days: 1, Units: []horizon.Unit{{Orders: 1, Columns: []horizon.Column{ok}}}}); a.Money != 5 {
		t.Errorf("%+v", a)
	}
}

// forty is a week of forty orders of one or two a buyer, of which most would like one of three kinds of scarce packaging.
func forty(r *rand.Rand) horizon.Problem {
	p := horizon.Problem{Days: 5, Stock: [][]int{{3, 3, 3, 8, 8}, {5, 5, 5, 5, 5}, {1, 1, 2, 2, 9}}}
	for range 27 {
		u := horizon.Unit{Orders: 1 + r.IntN(2)}
		for set := horizon.Set(1); int(set) < 1<<u.Orders; set++ {
			cost := int64(500 + r.IntN(900))
			if set.Count() > 1 {
				cost = int64(700 + r.IntN(900)) // in one parcel it is hardly dearer than one alone
			}
			item := r.IntN(4)
			for d := range 5 {
				c := horizon.Column{Orders: set, Day: d, Cost: cost, Waits: d * set.Count()}
				if item < 3 {
					other := c
					other.Cost += int64(30 + r.IntN(300))
					other.Least = other.Cost
					u.Columns = append(u.Columns, other)
					c.Use = make([]int, 3)
					c.Use[item] = set.Count()
				}
				c.Least = c.Cost
				u.Columns = append(u.Columns, c)
			}
		}
		p.Units = append(p.Units, u)
	}
	return p
}

// A week of forty orders with three scarce kinds of packaging is solved to its end.
func TestAWeekIsProven(t *testing.T) {
	for seed := range uint64(20) {
		p := forty(rand.New(rand.NewPCG(seed, 40)))
		a := solve(t, p)
		if w, sound := worthOf(p, a); !sound || w != a.Worth {
			t.Fatalf("seed %d: %+v, %+v", seed, a.Worth, w)
		}
		if !a.Proven {
			t.Errorf("seed %d: %+v, bound %+v", seed, a.Worth, a.Bound)
		}
	}
}

func BenchmarkForty(b *testing.B) {
	p := forty(rand.New(rand.NewPCG(1, 40)))
	for b.Loop() {
		if _, err := horizon.Solve(b.Context(), p); err != nil {
			b.Fatal(err)
		}
	}
}
