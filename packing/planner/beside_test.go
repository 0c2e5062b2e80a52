package planner_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/internal/brute"
	"solander/measure"
	"solander/packing"
	"solander/packing/check"
)

// twoCards is two mounted cards of 5 × 7 in, 2 mm thick, a mailer of 8 × 10 in for 3 mm and a larger one that takes
// any thickness.
func twoCards() packing.Problem {
	p := gallery(1)
	p.Rules = nil
	p.Orders[0].Sheets = []packing.Sheet{{ID: "card", Width: 5 * in, Height: 7 * in, Caliper: 2 * mm, Mass: 40 * g, Copies: 2}}
	p.Wraps = []packing.Wrap{{ID: "flat", Shape: packing.Flat, Beside: 2, Layers: []packing.Layer{{Kind: packing.Envelope}}}}
	p.Shelf = []packing.Item{
		{ID: "8 × 10", Kind: packing.Envelope, Width: 8 * in, Height: 10 * in, Thickest: 3 * mm, Mass: 40 * g, Cost: 60},
		{ID: "9 × 12", Kind: packing.Envelope, Width: 9 * in, Height: 12 * in, Mass: 40 * g, Cost: 90},
	}
	return p
}

// Worked by hand: on one another the cards are 4 mm thick, more than the small mailer takes. Side by side they
// are 10 × 7 in and 2 mm.
func TestSideBySideInTheSmallerMailer(t *testing.T) {
	p := twoCards()
	got := plan(t, p)
	if err := check.Plan(p, got); err != nil {
		t.Fatal(err)
	}
	want := &packing.Mat{Width: 10 * in, Height: 7 * in, Tiers: []packing.Tier{{Thickness: 2 * mm, Spots: []packing.Spot{
		{Sheet: "card", Width: 5 * in, Height: 7 * in}, {Sheet: "card", X: 5 * in, Width: 5 * in, Height: 7 * in},
	}}}}
	if d := cmp.Diff(want, got.Parcels[0].Mat); d != "" || got.Parcels[0].Layers[0].Item != "8 × 10" || got.Parcels[0].Size.Height != 2*mm {
		t.Errorf("%+v, %s", got.Parcels[0].Layers, d)
	}
	p.Wraps[0].Beside = 0
	if got = plan(t, p); got.Parcels[0].Layers[0].Item != "9 × 12" || got.Parcels[0].Mat != nil {
		t.Errorf("on one another: %+v", got.Parcels[0])
	}
}

// One unit more or less, at every edge.
func TestSideBySideAtTheEdge(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*packing.Problem)
		small  bool
	}{
		"fits exactly":               {func(p *packing.Problem) { p.Shelf[0].Width = 7 * in }, true},
		"a nanometre narrower":       {func(p *packing.Problem) { p.Shelf[0].Width = 7*in - 1 }, false},
		"a nanometre shorter":        {func(p *packing.Problem) { p.Shelf[0].Height-- }, false},
		"a nanometre apart":          {func(p *packing.Problem) { p.Wraps[0].Between = 1 }, false},
		"apart as far as there is":   {func(p *packing.Problem) { p.Wraps[0].Between, p.Shelf[0].Height = mm, 10*in+mm }, true},
		"a nanometre further apart":  {func(p *packing.Problem) { p.Wraps[0].Between, p.Shelf[0].Height = mm+1, 10*in+mm }, false},
		"as thick as the mailer":     {func(p *packing.Problem) { p.Shelf[0].Thickest = 2 * mm }, true},
		"a nanometre thicker":        {func(p *packing.Problem) { p.Shelf[0].Thickest = 2*mm - 1 }, false},
		"a soft bag with room":       {func(p *packing.Problem) { p.Shelf[0].Soft, p.Shelf[0].Height = true, 10*in+2*mm }, true},
		"a soft bag without":         {func(p *packing.Problem) { p.Shelf[0].Soft, p.Shelf[0].Height = true, 10*in+2*mm-1 }, false},
		"room at the sides":          {func(p *packing.Problem) { p.Wraps[0].Layers[0].Clearance.Sides, p.Shelf[0].Height = mm, 10*in+2*mm }, true},
		"a nanometre less":           {func(p *packing.Problem) { p.Wraps[0].Layers[0].Clearance.Sides, p.Shelf[0].Height = mm, 10*in+2*mm-1 }, false},
		"three, of which two beside": {func(p *packing.Problem) { p.Orders[0].Sheets[0].Copies, p.Shelf[0].Thickest = 3, 4*mm }, true},
		"four, of which two by two":  {func(p *packing.Problem) { p.Orders[0].Sheets[0].Copies, p.Shelf[0].Thickest = 4, 4*mm }, true},
		"four on tissue for two": {func(p *packing.Problem) {
			p.Orders[0].Sheets[0].Copies, p.Wraps[0].Beside = 4, 4
			p.Shelf[0].Width, p.Shelf[0].Height, p.Shelf[0].Thickest = 10*in, 14*in, 4*mm+mm/10
			p.Shelf = append(p.Shelf, packing.Item{ID: "tissue", Kind: packing.Tissue, Width: 7 * in, Height: 10 * in, Caliper: mm / 10})
			p.Wraps[0].Layers = append([]packing.Layer{{Kind: packing.Tissue}}, p.Wraps[0].Layers...)
		}, true},
		"five do not go in two tiers": {func(p *packing.Problem) { p.Orders[0].Sheets[0].Copies, p.Shelf[0].Thickest = 5, 4*mm }, false},
	} {
		p := twoCards()
		together := true
		p.Rules = []packing.Rule{{ID: "together", Then: packing.Then{Together: together}}}
		c.change(&p)
		got := plan(t, p)
		if err := check.Plan(p, got); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if small := got.Parcels[0].Layers[len(got.Parcels[0].Layers)-1].Item == "8 × 10"; small != c.small {
			t.Errorf("%s: the small mailer: %v", name, small)
		}
	}
}

// mostByCuts is the most a × b pieces that straight cuts from edge to edge make of w × h.
func mostByCuts(w, h, a, b int, known map[[2]int]int) int {
	if w < h {
		w, h = h, w
	}
	if n, ok := known[[2]int{w, h}]; ok {
		return n
	}
	most := 0
	if w >= max(a, b) && h >= min(a, b) {
		most = 1
	}
	for i := 1; i <= w/2; i++ {
		most = max(most, mostByCuts(i, h, a, b, known)+mostByCuts(w-i, h, a, b, known))
	}
	for i := 1; i <= h/2; i++ {
		most = max(most, mostByCuts(w, i, a, b, known)+mostByCuts(w, h-i, a, b, known))
	}
	known[[2]int{w, h}] = most
	return most
}

// Eight pieces of 4 × 3 go on 10 × 10 as a windmill; by cuts from edge to edge only seven do.
func TestSideBySideAsAWindmill(t *testing.T) {
	if n := mostByCuts(10, 10, 4, 3, map[[2]int]int{}); n != 7 {
		t.Fatalf("straight cuts make %d", n)
	}
	p := twoCards()
	p.Orders[0].Sheets[0].Width, p.Orders[0].Sheets[0].Height, p.Orders[0].Sheets[0].Copies = 3*in, 4*in, 8
	p.Wraps[0].Beside = 8
	p.Shelf[0].Width, p.Shelf[1].Cost = 10*in, 10_000
	got := plan(t, p)
	if err := check.Plan(p, got); err != nil {
		t.Fatal(err)
	}
	if len(got.Parcels) != 1 || got.Parcels[0].Layers[0].Item != "8 × 10" || len(got.Parcels[0].Mat.Tiers) != 1 {
		t.Errorf("%+v", got.Parcels)
	}
	p.Wraps[0].Beside = 7
	if got = plan(t, p); len(got.Parcels) == 1 && got.Parcels[0].Layers[0].Item == "8 × 10" {
		t.Errorf("eight in one tier of seven: %+v", got.Parcels[0].Mat)
	}
}

// Four sheets of 3 × 2 in round one of 1 × 1 in fill 5 × 5 in to the last nanometre, by no straight cut.
func TestSideBySideRoundAFifth(t *testing.T) {
	p := twoCards()
	p.Orders[0].Sheets = []packing.Sheet{
		{ID: "stamp", Width: in, Height: in, Caliper: 2 * mm, Mass: g},
		{ID: "strip", Width: 2 * in, Height: 3 * in, Caliper: 2 * mm, Mass: g, Copies: 4},
	}
	p.Wraps[0].Beside = 5
	p.Shelf[0].Width, p.Shelf[0].Height, p.Shelf[1].Cost = 5*in, 5*in, 10_000
	got := plan(t, p)
	if err := check.Plan(p, got); err != nil {
		t.Fatal(err)
	}
	if len(got.Parcels) != 1 || len(got.Parcels[0].Mat.Tiers) != 1 || got.Parcels[0].Mat.Width != 5*in {
		t.Errorf("%+v", got.Parcels)
	}
	p.Shelf[0].Width--
	if got = plan(t, p); len(got.Parcels) == 1 && got.Parcels[0].Layers[0].Item == "8 × 10" {
		t.Errorf("a nanometre less holds all: %+v", got.Parcels[0].Mat)
	}
}

// Leave to lie side by side never costs more, one more in a tier neither, nor a smaller distance.
func TestSideBySideNeverCostsMore(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	cheaper := 0
	for seed := range uint64(400) {
		p := brute.Cards(700_000 + seed)
		was := plan(t, p)
		if err := check.Plan(p, was); err != nil {
			t.Fatalf("%d: %v", seed, err)
		}
		for _, less := range []func(*packing.Wrap){
			func(w *packing.Wrap) { w.Beside, w.Between = 0, 0 },
			func(w *packing.Wrap) { w.Between += 2 * mm },
			func(w *packing.Wrap) {
				if w.Beside--; w.Beside < 2 {
					w.Beside, w.Between = 0, 0
				}
			},
		} {
			q := clone(t, p)
			for i := range q.Wraps {
				if q.Wraps[i].Beside > 0 {
					less(&q.Wraps[i])
				}
			}
			now := plan(t, q)
			if dearer(was, now) {
				t.Errorf("%d: %d held and %d, with less leave %d held and %d", seed, was.Held, was.Total, now.Held, now.Total)
			}
			if dearer(now, was) {
				cheaper++
			}
		}
	}
	if cheaper < 20 {
		t.Errorf("only %d times side by side saved something", cheaper)
	}
}

// The best of every plan, where sheets are small; packing/check tries many more.
func TestSideBySideAgainstEveryPlan(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	mats, tiers := 0, 0
	for seed := range uint64(500) {
		p := brute.Cards(800_000 + seed)
		got := bestOf(t, p, seed)
		for i := range got.Parcels {
			if m := got.Parcels[i].Mat; m != nil {
				mats++
				tiers += btoi(len(m.Tiers) > 1)
			}
		}
	}
	if mats < 20 || tiers < 5 {
		t.Errorf("only %d parcels with sheets side by side, %d of them in several tiers", mats, tiers)
	}
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// many is cards of several sizes for mailers that hold some of them side by side.
func many(kinds, copies int) packing.Problem {
	p := twoCards()
	p.Orders[0].Sheets = nil
	for i := range kinds {
		p.Orders[0].Sheets = append(p.Orders[0].Sheets, packing.Sheet{
			ID: string(rune('a' + i)), Width: measure.Length(3+i%4) * in, Height: measure.Length(5+i%3) * in, Caliper: mm, Mass: 30 * g, Copies: copies, Value: int64(i),
		})
	}
	p.Wraps[0].Beside = 4
	for i, s := range [][2]measure.Length{{6, 8}, {8, 10}, {9, 12}, {11, 14}, {12, 16}} {
		p.Shelf = append(p.Shelf, packing.Item{ID: string(rune('p' + i)), Kind: packing.Envelope, Width: s[0] * in, Height: s[1] * in, Thickest: 4 * mm, Mass: 40 * g, Cost: int64(30 + 20*i)})
	}
	return p
}

// different is so many cards, no two of one size, for the same mailers.
func different(n int) packing.Problem {
	p := many(n, 1)
	for i := range p.Orders[0].Sheets {
		s := &p.Orders[0].Sheets[i]
		s.Width, s.Height = 3*in+measure.Length(i)*in/8, 5*in+measure.Length(i*7%n)*in/8
	}
	return p
}
