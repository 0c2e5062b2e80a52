package setups

import (
	"math/bits"
	"math/rand/v2"
	"testing"
)

// plan is one way for a unit to go: of some wraps, at a cost.
type plan struct {
	used set
	cost int64
}

// drawn is a day of random units; what a unit costs by some wraps is the least of its ways that need no other.
type drawn struct {
	task
	plans [][]plan
}

func draw(d *rand.Rand) *drawn {
	wraps := 1 + d.IntN(6)
	x := &drawn{task: task{all: 1<<wraps - 1, money: int64(d.IntN(3) * d.IntN(8)), most: 1 << 20}}
	for i := range wraps {
		x.ready |= set(d.IntN(8)/7) << i
	}
	for range 1 + d.IntN(5) {
		var ways []plan
		for range 1 + d.IntN(5) {
			way := plan{1 << d.IntN(wraps), int64(10 + d.IntN(4))}
			way.used |= 1 << d.IntN(wraps)
			ways = append(ways, way)
		}
		u := unit(ways[0])
		for _, w := range ways {
			if w.cost < u.cost {
				u = unit(w)
			}
		}
		x.units, x.plans = append(x.units, u), append(x.plans, ways)
	}
	x.ask = func(i int, by set) (int64, bool, error) {
		cost, ok := x.cost(i, by)
		return cost, ok, nil
	}
	return x
}

func (x *drawn) cost(i int, by set) (least int64, ok bool) {
	for _, w := range x.plans[i] {
		if w.used&^by == 0 && (!ok || w.cost < least) {
			least, ok = w.cost, true
		}
	}
	return least, ok
}

// everySet tries every set of wraps: the fewest beside those that are ready, and the least money by so many.
func (x *drawn) everySet() (fewest int, more int64) {
	fewest = 99
	for by := set(0); by <= x.all; by++ {
		var sum int64
		goes := true
		for i, u := range x.units {
			cost, ok := x.cost(i, by|x.ready)
			goes = goes && ok
			sum += cost - u.cost
		}
		n := bits.OnesCount64(uint64(by &^ x.ready))
		if goes && sum <= x.money && (n < fewest || n == fewest && sum < more) {
			fewest, more = n, sum
		}
	}
	return fewest, more
}

// The wraps found are the fewest of all, for the least money, and never for more than is allowed.
func TestFewestIsTheFewestOfAll(t *testing.T) {
	d := rand.New(rand.NewPCG(12, 5))
	cases, fewer, dearer := 10_000, 0, 0
	if testing.Short() {
		cases = 1000
	}
	for n := range cases {
		x := draw(d)
		got, err := x.fewest()
		if err != nil {
			t.Fatal(err)
		}
		want, more := x.everySet()
		plain := answer{by: x.ready}
		for _, u := range x.units {
			plain.by |= u.used
		}
		if got.new(x.ready) != want || got.least != want || got.more > x.money || want < plain.new(x.ready) && got.more != more {
			t.Fatalf("case %d: %d wraps for %d more (at least %d), of all sets %d for %d; allowed %d", n, got.new(x.ready), got.more, got.least, want, more, x.money)
		}
		for i := range x.units {
			if _, ok := x.cost(i, got.by); !ok {
				t.Fatalf("case %d: unit %d does not go by the wraps that are left", n, i)
			}
		}
		if want < plain.new(x.ready) {
			fewer++
		}
		if got.more > 0 {
			dearer++
		}
	}
	if fewer < cases/20 || dearer < cases/100 {
		t.Errorf("in %d cases there are fewer, in %d for money: too few of %d", fewer, dearer, cases)
	}
}

// With too few questions the answer holds still, and the bound is no larger than what is best.
func TestFewestSaysHowFarItLooked(t *testing.T) {
	d := rand.New(rand.NewPCG(4, 9))
	short := 0
	for range 3000 {
		x := draw(d)
		x.most = d.IntN(4)
		got, err := x.fewest()
		if err != nil {
			t.Fatal(err)
		}
		want, _ := x.everySet()
		if got.least > want || got.new(x.ready) < want || got.more > x.money || got.asked > x.most {
			t.Fatalf("%d wraps, at least %d, after %d of %d questions; the fewest are %d", got.new(x.ready), got.least, got.asked, x.most, want)
		}
		if got.least < got.new(x.ready) {
			short++
		}
	}
	if short < 100 {
		t.Errorf("only %d searches ended early", short)
	}
}
