package ahead_test

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"

	"solander/calendar"
	"solander/dayplan"
	"solander/dayplan/ahead"
	"solander/internal/brute"
	"solander/packing"
	"solander/packing/front"
	"solander/tariff"
)

func newPlans(t testing.TB) *dayplan.Plans {
	return dayplan.NewPlans(func(_ context.Context, err error) { t.Error(err) })
}

// usual is the problem of a day without orders: a usual shelf, with days of delivery by the dearer services.
func usual(day calendar.Day, stock func(item string) int) packing.Problem {
	p := brute.Gallery(0)
	p.Day, p.Orders = day, nil
	for i := range p.Shelf {
		n := stock(p.Shelf[i].ID)
		p.Shelf[i].Stock = &n
	}
	for i := range p.Cards[0].Services[1:] {
		p.Cards[0].Services[1+i].Days = &tariff.Days{Min: 1, Max: 4 - i, Counted: tariff.DeliveryDays}
	}
	return p
}

func dayOf(t testing.TB, p packing.Problem) ahead.Day {
	t.Helper()
	base, err := dayplan.NewBasis(p, []dayplan.Card{{Card: p.Cards[0]}})
	if err != nil {
		t.Fatal(err)
	}
	return ahead.Day{Day: p.Day, Ask: dayplan.Ask{Base: base, Room: dayplan.Means{Left: map[string]int{}}}, Cards: p.Cards[0].ID}
}

var monday = calendar.Date(2025, 11, 3)

// scarceKinds are what the usual orders like to take.
var scarceKinds = []string{"tube-20", "tube-20", "tube-26", "glassine", "carton-8", "carton-11", "board-11"}

// drawn is a question with how much of its scarce items there is by each day.
type drawn struct {
	ahead.Question
	scarce map[string][]int
	seen   []string // features
}

func draw(t testing.TB, seed uint64) drawn {
	r := rand.New(rand.NewPCG(seed, 9))
	days := 2 + r.IntN(2)
	d := drawn{scarce: map[string][]int{}}
	see := func(f string, is bool) {
		if is && !slices.Contains(d.seen, f) {
			d.seen = append(d.seen, f)
		}
	}
	for range r.IntN(3) {
		item, at := scarceKinds[r.IntN(len(scarceKinds))], r.IntN(2)
		var stock []int
		for i := range days {
			if i > 0 && at < 2 && r.IntN(2) == 0 {
				at++
				see("pieces that come", true)
			}
			stock = append(stock, at)
		}
		d.scarce[item] = stock
		see("scarce", true)
	}
	for i := range days {
		d.Days = append(d.Days, dayOf(t, usual(monday.Add(i), func(item string) int {
			if s := d.scarce[item]; s != nil {
				return s[i]
			}
			return 50
		})))
	}
	for i := range 1 + r.IntN(3) {
		o := ahead.Order{Key: int64(i + 1), Order: packing.Order{ID: fmt.Sprint("S-", i+1), Destination: packing.Place{Country: "US", Postcode: "10001"}}}
		for j := range 1 + r.IntN(2) {
			s := brute.Print(1 + r.IntN(6))
			s.ID = fmt.Sprint(i, "-", j)
			o.Sheets = append(o.Sheets, s)
		}
		if r.IntN(3) > 0 {
			o.With = "one buyer"
			see("of one buyer", i > 0)
		}
		if r.IntN(3) == 0 {
			o.From = r.IntN(days)
			see("comes later", o.From > 0)
		}
		o.To = max(o.From, r.IntN(days+1)-1)
		see("may wait", o.To > o.From)
		if r.IntN(5) == 0 {
			o.ArriveBy = monday.Add(3 + r.IntN(3))
			see("arrives by", true)
		}
		d.Orders = append(d.Orders, o)
	}
	for _, item := range slices.Sorted(maps.Keys(d.scarce)) {
		if d.scarce[item][0] > 0 && r.IntN(3) == 0 {
			k := ahead.Kept{Order: d.Orders[r.IntN(len(d.Orders))].Key, Pieces: map[string]int{item: 1}, To: 1 + r.IntN(days-1)}
			d.Kept = append(d.Kept, k)
			see("she keeps", true)
		}
	}
	return d
}

// forAll is how many pieces there are by a day that are not kept for a later one.
func (d drawn) forAll(item string, day int) int {
	n := d.scarce[item][day]
	for _, k := range d.Kept {
		if day < k.To {
			n -= k.Pieces[item]
		}
	}
	return n
}

// every finds the fewest held and then the least cost: each order on each day, or on none, and each way to give the scarce pieces to days; what
// a day costs is what its plan says.
func (d drawn) every(t *testing.T, plans *dayplan.Plans) (held int, total int64) {
	t.Helper()
	var given []map[string][]int // pieces for each day, by item
	given = append(given, map[string][]int{})
	for item := range d.scarce {
		var next []map[string][]int
		var give func(day, used int, of []int)
		give = func(day, used int, of []int) {
			if day == len(d.Days) {
				for _, g := range given {
					n := map[string][]int{item: slices.Clone(of)}
					for k, v := range g {
						n[k] = v
					}
					next = append(next, n)
				}
				return
			}
			for n := 0; used+n <= d.forAll(item, day); n++ {
				give(day+1, used+n, append(of, n))
			}
		}
		give(0, 0, nil)
		given = next
	}
	held, total = len(d.Orders)+1, 0
	cost := map[string][2]int64{}
	days := make([]int, len(d.Orders))
	var assign func(i int)
	assign = func(i int) {
		if i < len(days) {
			for day := d.Orders[i].From; day <= min(d.Orders[i].To, len(d.Days)-1); day++ {
				days[i] = day
				assign(i + 1)
			}
			days[i] = -1
			assign(i + 1)
			return
		}
		for _, g := range given {
			h, sum := 0, int64(0)
			for day := range d.Days {
				key := fmt.Sprint(day)
				for item := range d.scarce {
					key += fmt.Sprint(" ", item, g[item][day])
				}
				for i, at := range days {
					if at == day {
						key += fmt.Sprint(" ", i)
					}
				}
				c, known := cost[key]
				if !known {
					c = d.cost(t, plans, day, days, g)
					cost[key] = c
				}
				h, sum = h+int(c[0]), sum+c[1]
			}
			for _, at := range days {
				if at < 0 {
					h++
				}
			}
			if h < held || h == held && sum < total {
				held, total = h, sum
			}
		}
	}
	assign(0)
	return held, total
}

// cost plans a day by itself.
func (d drawn) cost(t *testing.T, plans *dayplan.Plans, day int, days []int, given map[string][]int) [2]int64 {
	t.Helper()
	p := usual(monday.Add(day), func(item string) int {
		if g := given[item]; g != nil {
			return g[day]
		}
		return 50
	})
	a := dayOf(t, p).Ask
	var keys []string
	for i, at := range days {
		if at == day {
			o := d.Orders[i]
			a.Add(o.Key, o.Order, front.Demand{})
			if keys = append(keys, o.With); o.With == "" {
				keys[len(keys)-1] = o.ID
			}
		}
	}
	a.Join(keys)
	out, err := plans.Of(t.Context(), a)
	if err != nil {
		t.Fatal(err)
	}
	total, held := dayplan.SumOf(out)
	return [2]int64{int64(held), total}
}

func of(t testing.TB, plans *dayplan.Plans, q ahead.Question) ahead.Plan {
	t.Helper()
	p, ok, err := ahead.Of(context.Background(), plans, q)
	if err != nil || !ok {
		t.Fatalf("ok %v, %v", ok, err)
	}
	return p
}

// The plan of the days is the best of all assignments of days and all ways to share out what is scarce, each day planned by itself by the
// day's own plan. What of it is today is what the plan of today does with the orders that go and the pieces that are not kept; no order goes
// outside of its days; what waiting saves is what it says.
func TestAgainstEveryDayByItself(t *testing.T) {
	cases := 2000
	if testing.Short() {
		cases = 300
	}
	plans := newPlans(t)
	seen := map[string]int{}
	for seed := range uint64(cases) {
		d := draw(t, seed)
		p := of(t, plans, d.Question)
		held, total := d.every(t, plans)
		if p.Held != held || p.Total != total || !p.Proven || p.Bound != p.Total {
			t.Fatalf("seed %d %v: %d held for %d, proven %v, bound %d; every way: %d held for %d", seed, d.seen, p.Held, p.Total, p.Proven, p.Bound, held, total)
		}
		today, sum := int64(0), int64(0)
		for _, s := range p.Sent {
			if sum += s.Cost; s.Day == 0 {
				today += s.Cost
			}
		}
		got, err := plans.Of(t.Context(), p.Today(d.Question))
		if err != nil {
			t.Fatal(err)
		}
		if cost, h := dayplan.SumOf(got); h > 0 || cost != today || sum != p.Total {
			t.Fatalf("seed %d %v: today costs %d by the plan of the days, %d by its own, %d held", seed, d.seen, today, cost, h)
		}
		for i, g := range p.Orders {
			if g.Day >= 0 && (g.Day < g.From || g.Day > max(g.From, g.To)) {
				t.Fatalf("seed %d: %s goes on %d of %d to %d", seed, g.ID, g.Day, g.From, g.To)
			}
			if !g.Waits() {
				continue
			}
			seen["waits"]++
			sent := drawn{ahead.Question{Days: d.Days, Orders: slices.Clone(d.Orders)}, d.scarce, nil}
			for _, k := range d.Kept {
				if k.Order != g.Key { // what is kept for it is its own
					sent.Kept = append(sent.Kept, k)
				}
			}
			sent.Orders[i].To = sent.Orders[i].From
			for j, o := range p.Orders {
				if j != i && o.Day >= 0 {
					sent.Orders[j].To = o.Day
				}
			}
			if h, cost := sent.every(t, plans); g.Must != (h > held) || h == held && cost-total != g.Saves {
				t.Fatalf("seed %d: %s saves %d, must %v; sent at once all cost %d for %d with %d held", seed, g.ID, g.Saves, g.Must, cost, total, h)
			}
			own := slices.ContainsFunc(d.Kept, func(k ahead.Kept) bool { return k.Order == g.Key }) // sent at once, it took what is kept
			if g.Saves <= 0 && !g.Must && !own {
				t.Fatalf("seed %d: %s waits for nothing", seed, g.ID)
			}
		}
		for _, f := range d.seen {
			seen[f]++
		}
		if len(p.Kept()) > 0 {
			seen["kept"]++
		}
		if held > 0 {
			seen["held"]++
		}
	}
	for _, f := range []string{"scarce", "pieces that come", "of one buyer", "comes later", "may wait", "arrives by", "waits", "she keeps", "kept", "held"} {
		if least := map[string]int{"kept": 1, "held": 1}[f]; seen[f] < cmp.Or(least, cases/40) {
			t.Errorf("%s: only %d times", f, seen[f])
		}
	}
}

// A wider horizon never leaves out more nor costs more for as many, and a nearer last day never leaves out fewer nor costs less.
func TestMoreDaysAndMoreReserve(t *testing.T) {
	plans := newPlans(t)
	better, worse := 0, 0
	for seed := range uint64(200) {
		d := draw(t, seed)
		p := of(t, plans, d.Question)
		for less := 1; less < len(d.Days); less++ {
			q := ahead.Question{Days: d.Days[:less], Kept: d.Kept}
			out := 0
			for _, o := range d.Orders {
				if o.From >= less {
					out++ // it goes on none of these days
					continue
				}
				o.To = min(o.To, less-1)
				q.Orders = append(q.Orders, o)
			}
			n := of(t, plans, q)
			if held := n.Held + out; held < p.Held || held == p.Held && n.Total < p.Total {
				t.Fatalf("seed %d: %d held for %d in %d days, %d for %d in all", seed, held, n.Total, less, p.Held, p.Total)
			} else if held > p.Held || n.Total > p.Total {
				better++
			}
		}
		q := ahead.Question{Days: d.Days, Orders: slices.Clone(d.Orders), Kept: d.Kept}
		for i := range q.Orders {
			q.Orders[i].To = max(q.Orders[i].From, q.Orders[i].To-1)
		}
		r := of(t, plans, q)
		if r.Held < p.Held || r.Held == p.Held && r.Total < p.Total {
			t.Fatalf("seed %d: %d held for %d with a day more in reserve, %d for %d without", seed, r.Held, r.Total, p.Held, p.Total)
		} else if r.Held > p.Held || r.Total > p.Total {
			worse++
		}
	}
	if better < 10 || worse < 5 {
		t.Errorf("%d better, %d worse: nothing was tested", better, worse)
	}
}

// A choice of another way that the cheapest parcel of a later day would not keep is no reason to wait.
func TestAChoiceIsKept(t *testing.T) {
	plans := newPlans(t)
	var days []ahead.Day
	for i := range 3 {
		days = append(days, dayOf(t, usual(monday.Add(i), func(string) int { return 50 })))
	}
	o := ahead.Order{Key: 1, Order: packing.Order{ID: "S-1", Destination: packing.Place{Country: "US", Postcode: "10001"}, Sheets: []packing.Sheet{brute.Print(1)}}, To: 2}
	o.Demand = front.Demand{ArriveBy: monday.Add(2)}
	free := o
	free.Demand = front.Demand{}
	dear, cheap := of(t, plans, ahead.Question{Days: days, Orders: []ahead.Order{o}}), of(t, plans, ahead.Question{Days: days, Orders: []ahead.Order{free}})
	if dear.Orders[0].Day != 0 || dear.Total <= cheap.Total {
		t.Errorf("%+v beside %+v", dear, cheap)
	}
}

// What the artist said is done, although it would cost less to send it at once.
func TestWaitsBecauseSheSaidSo(t *testing.T) {
	var days []ahead.Day
	for i := range 3 {
		days = append(days, dayOf(t, usual(monday.Add(i), func(string) int { return 50 })))
	}
	o := ahead.Order{Key: 1, Order: packing.Order{ID: "S-1", Destination: packing.Place{Country: "US", Postcode: "10001"}, Sheets: []packing.Sheet{brute.Print(1)}}, To: 2, Until: 2}
	p := of(t, newPlans(t), ahead.Question{Days: days, Orders: []ahead.Order{o}})
	if g := p.Orders[0]; g.Day != 2 || g.Saves != 0 {
		t.Errorf("%+v", p)
	}
}

// A search that is stopped tells nothing.
func TestStopped(t *testing.T) {
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	if _, ok, err := ahead.Of(dayplan.WithSearch(t.Context(), ended, nil), newPlans(t), draw(t, 3).Question); ok || err != nil {
		t.Errorf("ok %v, %v", ok, err)
	}
}
