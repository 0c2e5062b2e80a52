package supply

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"solander/calendar"
	"solander/fault"
	"solander/money"
)

var monday = calendar.Date(2031, 3, 3)

func run() Run {
	return Run{ID: 4, Edition: 1, Lab: "Quay lab", Ordered: monday, Expected: monday.Add(9), Quantity: 10, UnitCost: money.Of(1_450, "USD")}
}

func TestOutstanding(t *testing.T) {
	for name, tc := range map[string]struct {
		receipts            []Receipt
		closed              bool
		good, rejected, out int
	}{
		"nothing yet":     {nil, false, 0, 0, 10},
		"a part":          {[]Receipt{{Good: 4, Rejected: 1}}, false, 4, 1, 5},
		"two parts":       {[]Receipt{{Good: 4, Rejected: 1}, {Good: 5}}, false, 9, 1, 0},
		"all rejected":    {[]Receipt{{Rejected: 10}}, false, 0, 10, 0},
		"taken back":      {[]Receipt{{Good: 4, Rejected: 1}, {Good: -4, Rejected: -1}}, false, 0, 0, 10},
		"closed early":    {[]Receipt{{Good: 4}}, true, 4, 0, 0},
		"more than asked": {[]Receipt{{Good: 12}}, false, 12, 0, 0},
	} {
		r := run()
		r.Receipts, r.Closed = tc.receipts, tc.closed
		if r.Good() != tc.good || r.Rejected() != tc.rejected || r.Outstanding() != tc.out {
			t.Errorf("%s: %d good, %d rejected, %d outstanding; want %d, %d, %d", name, r.Good(), r.Rejected(), r.Outstanding(), tc.good, tc.rejected, tc.out)
		}
	}
}

func TestValidateRun(t *testing.T) {
	for name, change := range map[string]func(*Run){
		"as it is": func(*Run) {}, "no day known": func(r *Run) { r.Expected = calendar.Day{} }, "the same day": func(r *Run) { r.Expected = r.Ordered },
		"free of cost": func(r *Run) { r.UnitCost = money.Amount{} }, "most": func(r *Run) { r.Quantity = MaxSheets },
		"accents": func(r *Run) { r.Lab, r.Note = "Druckerei Süßkind", "matt,\nno gloss" },
	} {
		r := run()
		change(&r)
		if err := r.Validate(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, tc := range map[string]struct {
		change func(*Run)
		field  string
	}{
		"no edition":             {func(r *Run) { r.Edition = 0 }, "edition"},
		"no lab":                 {func(r *Run) { r.Lab = "" }, "lab"},
		"a blank lab":            {func(r *Run) { r.Lab = " \t" }, "lab"},
		"a lab in two lines":     {func(r *Run) { r.Lab = "Quay\nlab" }, "lab"},
		"a lab turned round":     {func(r *Run) { r.Lab = "\u202ebal" }, "lab"},
		"an endless lab":         {func(r *Run) { r.Lab = strings.Repeat("ä", 201) }, "lab"},
		"a broken note":          {func(r *Run) { r.Note = "\xff" }, "note"},
		"an endless note":        {func(r *Run) { r.Note = strings.Repeat("x", 4001) }, "note"},
		"no day":                 {func(r *Run) { r.Ordered = calendar.Day{} }, "ordered"},
		"expected before":        {func(r *Run) { r.Expected = r.Ordered.Add(-1) }, "expected"},
		"nothing":                {func(r *Run) { r.Quantity = 0 }, "quantity"},
		"less than nothing":      {func(r *Run) { r.Quantity = -3 }, "quantity"},
		"absurdly many":          {func(r *Run) { r.Quantity = MaxSheets + 1 }, "quantity"},
		"a negative cost":        {func(r *Run) { r.UnitCost.Minor = -1 }, "unit_cost"},
		"an absurd cost":         {func(r *Run) { r.UnitCost.Minor = money.MaxMinor + 1 }, "unit_cost"},
		"a note with an escape":  {func(r *Run) { r.Note = "\x1b[2J" }, "note"},
		"a note with a NUL byte": {func(r *Run) { r.Note = "a\x00" }, "note"},
	} {
		r := run()
		tc.change(&r)
		only(t, name, tc.field, fault.Invalid, r.Validate())
	}
}

// only checks that err is one fault in a field, with a mend.
func only(t *testing.T, name, field string, code fault.Code, err error) {
	t.Helper()
	all := fault.All(err)
	if len(all) != 1 || all[0].Code != code || all[0].Field != field || all[0].Mend == "" {
		t.Errorf("%s: %v, want one %s fault in %q", name, all, code, field)
	}
}

func TestAccepts(t *testing.T) {
	half := run()
	half.Receipts = []Receipt{{Good: 4, Rejected: 1}}
	closed := run()
	closed.Closed = true
	for name, x := range map[string]Receipt{
		"all that is left": {Day: monday, Good: 5}, "rejects alone": {Day: monday.Add(30), Rejected: 5}, "one": {Day: monday, Good: 1}, "both": {Day: monday, Good: 3, Rejected: 2},
	} {
		if err := half.Accepts(x); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, tc := range map[string]struct {
		run   Run
		x     Receipt
		field string
		code  fault.Code
	}{
		"one too many":      {half, Receipt{Day: monday, Good: 6}, "good", fault.Invalid},
		"too many together": {half, Receipt{Day: monday, Good: 3, Rejected: 3}, "good", fault.Invalid},
		"nothing":           {half, Receipt{Day: monday}, "good", fault.Invalid},
		"before the order":  {half, Receipt{Day: monday.Add(-1), Good: 1}, "day", fault.Invalid},
		"no day":            {half, Receipt{Good: 1}, "day", fault.Invalid},
		"a closed run":      {closed, Receipt{Day: monday, Good: 1}, "", fault.Refused},
		"absurdly many":     {half, Receipt{Day: monday, Good: MaxSheets + 1}, "good", fault.Invalid},
		"negative rejects":  {half, Receipt{Day: monday, Good: 3, Rejected: -1}, "rejected", fault.Invalid},
	} {
		only(t, name, tc.field, tc.code, tc.run.Accepts(tc.x))
	}
}

// Received in whatever parts, a run never holds more than was ordered, and is complete when the lab owes
// nothing.
func TestReceivingLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := run()
		r.Quantity = rapid.IntRange(1, 40).Draw(t, "quantity")
		for range rapid.IntRange(0, 12).Draw(t, "parts") {
			x := Receipt{Day: monday, Good: rapid.IntRange(0, 15).Draw(t, "good"), Rejected: rapid.IntRange(0, 5).Draw(t, "rejected")}
			n, before := x.Good+x.Rejected, r.Outstanding()
			if got, want := r.Accepts(x) == nil, n > 0 && n <= before; got != want {
				t.Fatalf("%d of %d outstanding are accepted: %v", n, before, got)
			} else if got {
				r.Receipts = append(r.Receipts, x)
			}
			if r.Good()+r.Rejected()+r.Outstanding() != r.Quantity {
				t.Fatalf("%d good, %d rejected, %d outstanding of %d", r.Good(), r.Rejected(), r.Outstanding(), r.Quantity)
			}
		}
	})
}

func TestAllot(t *testing.T) {
	due := func(line int64, promised int) Claim {
		return Claim{Line: line, Edition: 1, Promised: monday.Add(promised), Placed: monday.Add(-5)}
	}
	signed := due(9, 30)
	signed.Signed = true
	never := Claim{Line: 8, Edition: 1}
	soldFirst := due(7, 3)
	soldFirst.Placed = monday.Add(-9)
	other := due(20, 0)
	other.Edition = 2
	for name, tc := range map[string]struct {
		onHand map[int64]int
		claims []Claim
		has    []int64
		waits  []int64
	}{
		"enough for all":           {map[int64]int{1: 2}, []Claim{due(1, 3), due(2, 1)}, []int64{1, 2}, nil},
		"the sooner promise":       {map[int64]int{1: 1}, []Claim{due(1, 3), due(2, 1)}, []int64{2}, []int64{1}},
		"the earlier sale":         {map[int64]int{1: 1}, []Claim{due(1, 3), soldFirst}, []int64{7}, []int64{1}},
		"the lower line":           {map[int64]int{1: 1}, []Claim{due(2, 3), due(1, 3)}, []int64{1}, []int64{2}},
		"signed keeps its sheet":   {map[int64]int{1: 1}, []Claim{due(1, 0), signed}, []int64{9}, []int64{1}},
		"signed counts as a sheet": {map[int64]int{1: 2}, []Claim{due(1, 0), due(2, 1), signed}, []int64{1, 9}, []int64{2}},
		"no promise waits longest": {map[int64]int{1: 1}, []Claim{never, due(1, 30)}, []int64{1}, []int64{8}},
		"each edition its own":     {map[int64]int{1: 1}, []Claim{other, due(1, 3)}, []int64{1}, []int64{20}},
		"an empty drawer":          {nil, []Claim{due(2, 3), due(1, 3)}, nil, []int64{1, 2}},
		"a miscounted drawer":      {map[int64]int{1: -2}, []Claim{due(1, 0), signed}, []int64{9}, []int64{1}},
		"nobody":                   {map[int64]int{1: 5}, nil, nil, nil},
	} {
		a := Allot(tc.onHand, tc.claims)
		if diff := cmp.Diff(tc.has, slices.Sorted(maps.Keys(a.Has))); diff != "" {
			t.Errorf("%s: has %s", name, diff)
		}
		var waits []int64
		for _, c := range a.Waits {
			waits = append(waits, c.Line)
		}
		if diff := cmp.Diff(tc.waits, waits); diff != "" {
			t.Errorf("%s: waits %s", name, diff)
		}
	}
}

func drawClaims(t *rapid.T) []Claim {
	var out []Claim
	for i := range rapid.IntRange(0, 25).Draw(t, "claims") {
		c := Claim{
			Line: int64(i + 1), Edition: rapid.Int64Range(1, 3).Draw(t, "edition"), Signed: rapid.IntRange(0, 3).Draw(t, "signed") == 0,
			Placed: monday.Add(rapid.IntRange(-4, 0).Draw(t, "placed")),
		}
		if p := rapid.IntRange(-3, 5).Draw(t, "promised"); p > -3 {
			c.Promised = monday.Add(p)
		}
		out = append(out, c)
	}
	return out
}

func drawDrawer(t *rapid.T) map[int64]int {
	onHand := map[int64]int{}
	for e := int64(1); e <= 3; e++ {
		onHand[e] = rapid.IntRange(0, 8).Draw(t, fmt.Sprint("sheets of ", e))
	}
	return onHand
}

func shuffled[T any](t *rapid.T, in []T) []T {
	out := slices.Clone(in)
	r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
	r.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out
}

// Unsigned lines never get more sheets than lie there beside the signed ones, none is left over while
// one waits, no later promise goes before a sooner one, and the order of asking does not matter.
func TestAllotIsFair(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		onHand, claims := drawDrawer(t), drawClaims(t)
		kept := maps.Clone(onHand)
		a := Allot(onHand, claims)
		if !maps.Equal(onHand, kept) {
			t.Fatal("the drawer was changed")
		}
		if len(a.Has)+len(a.Waits) != len(claims) {
			t.Fatalf("%d have, %d wait, of %d", len(a.Has), len(a.Waits), len(claims))
		}
		for e, n := range onHand {
			given, signed, waiting := 0, 0, 0
			for _, c := range claims {
				switch {
				case c.Edition != e:
				case c.Signed && !a.Has[c.Line]:
					t.Fatalf("signed line %d has no sheet", c.Line)
				case c.Signed:
					signed++
				case a.Has[c.Line]:
					given++
				default:
					waiting++
				}
			}
			if given != min(given+waiting, max(0, n-signed)) {
				t.Fatalf("edition %d: %d on hand, %d signed, %d given, %d wait", e, n, signed, given, waiting)
			}
		}
		for _, w := range a.Waits {
			for _, c := range claims {
				later := !w.Promised.IsZero() && (c.Promised.IsZero() || c.Promised.After(w.Promised))
				if later && !c.Signed && c.Edition == w.Edition && a.Has[c.Line] {
					t.Fatalf("line %d of %s waits, line %d of %s has a sheet", w.Line, w.Promised, c.Line, c.Promised)
				}
			}
		}
		if diff := cmp.Diff(a, Allot(onHand, shuffled(t, claims)), cmp.AllowUnexported(calendar.Day{})); diff != "" {
			t.Fatalf("asked in another order: %s", diff)
		}
		// One sheet more takes nobody's sheet away.
		e := rapid.Int64Range(1, 3).Draw(t, "more of")
		kept[e]++
		more := Allot(kept, claims)
		for line := range a.Has {
			if !more.Has[line] {
				t.Fatalf("with one sheet more, line %d has none", line)
			}
		}
	})
}

func TestServe(t *testing.T) {
	claim := func(line int64) Claim { return Claim{Line: line, Edition: 1} }
	of := func(id int64, quantity, expected int) Run {
		r := run()
		r.ID, r.Quantity, r.Expected = id, quantity, monday.Add(expected)
		return r
	}
	someday := of(5, 9, 0)
	someday.Expected = calendar.Day{}
	closed := of(6, 9, 1)
	closed.Closed = true
	other := of(7, 9, 1)
	other.Edition = 2
	partly := of(8, 5, 1)
	partly.Receipts = []Receipt{{Good: 3, Rejected: 1}}
	for name, tc := range map[string]struct {
		lines []int64
		runs  []Run
		by    map[int64]int64
	}{
		"one run for all":          {[]int64{1, 2}, []Run{of(1, 2, 5)}, map[int64]int64{1: 1, 2: 1}},
		"more lines than sheets":   {[]int64{3, 1, 2}, []Run{of(1, 2, 5)}, map[int64]int64{3: 1, 1: 1}},
		"the earliest first":       {[]int64{1, 2}, []Run{of(1, 1, 9), of(2, 1, 5)}, map[int64]int64{1: 2, 2: 1}},
		"the same day, by run":     {[]int64{1, 2}, []Run{of(2, 1, 5), of(1, 1, 5)}, map[int64]int64{1: 1, 2: 2}},
		"no day known, last":       {[]int64{1, 2}, []Run{someday, of(1, 1, 300)}, map[int64]int64{1: 1, 2: 5}},
		"a closed run":             {[]int64{1}, []Run{closed}, map[int64]int64{}},
		"a run of another edition": {[]int64{1}, []Run{other}, map[int64]int64{}},
		"what is still to come":    {[]int64{1, 2}, []Run{partly}, map[int64]int64{1: 8}},
		"no run":                   {[]int64{1}, nil, map[int64]int64{}},
	} {
		var waits []Claim
		for _, l := range tc.lines {
			waits = append(waits, claim(l))
		}
		got := map[int64]int64{}
		for line, c := range Serve(waits, tc.runs) {
			got[line] = c.Run
			if c.Since != monday {
				t.Errorf("%s: line %d waits since %s", name, line, c.Since)
			}
		}
		if diff := cmp.Diff(tc.by, got); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

// A run never serves more lines than it still owes; nobody goes unserved while a run of that edition has
// sheets left; who stands in front is served first and soonest; and the order of runs does not matter.
func TestServeIsFair(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var runs []Run
		for i := range rapid.IntRange(0, 5).Draw(t, "runs") {
			r := run()
			r.ID, r.Edition, r.Quantity = int64(i+1), rapid.Int64Range(1, 3).Draw(t, "edition"), rapid.IntRange(1, 6).Draw(t, "quantity")
			r.Closed = rapid.IntRange(0, 5).Draw(t, "closed") == 0
			r.Expected = calendar.Day{}
			if n := rapid.IntRange(0, 5).Draw(t, "expected"); n > 0 {
				r.Expected = monday.Add(n)
			}
			r.Receipts = []Receipt{{Good: rapid.IntRange(0, r.Quantity).Draw(t, "good")}}
			runs = append(runs, r)
		}
		waits := Allot(drawDrawer(t), drawClaims(t)).Waits
		got := Serve(waits, runs)
		served, left := map[int64]int{}, map[int64]int{}
		for _, c := range got {
			served[c.Run]++
		}
		for _, r := range runs {
			if served[r.ID] > r.Outstanding() {
				t.Fatalf("run %d owes %d, and serves %d", r.ID, r.Outstanding(), served[r.ID])
			}
			left[r.Edition] += r.Outstanding() - served[r.ID]
		}
		last := map[int64]Coming{}
		unserved := map[int64]bool{}
		for _, w := range waits {
			c, ok := got[w.Line]
			switch before, any := last[w.Edition]; {
			case !ok && left[w.Edition] > 0:
				t.Fatalf("line %d goes unserved, %d sheets are left", w.Line, left[w.Edition])
			case !ok:
				unserved[w.Edition] = true
				continue
			case unserved[w.Edition]:
				t.Fatalf("line %d is served after one that is not", w.Line)
			case any && !c.Expected.IsZero() && (before.Expected.IsZero() || c.Expected.Before(before.Expected)):
				t.Fatalf("line %d gets its sheet on %s, the one before it on %s", w.Line, c.Expected, before.Expected)
			}
			last[w.Edition] = c
			r := runs[c.Run-1]
			if r.Edition != w.Edition || c.Expected != r.Expected || c.Since != r.Ordered {
				t.Fatalf("line %d of edition %d: %+v of %+v", w.Line, w.Edition, c, r)
			}
		}
		if diff := cmp.Diff(got, Serve(waits, shuffled(t, runs)), cmp.AllowUnexported(calendar.Day{})); diff != "" {
			t.Fatalf("runs in another order: %s", diff)
		}
	})
}

// Three sheets at 11.00, one of them rejected, worked by hand: each of the two good ones bears 16.50. Of 13 cents on three good ones two bear 4 and one 5.
func TestAGoodSheetBearsTheRejected(t *testing.T) {
	for _, x := range []struct {
		good, rejected    int
		unit, least, most int64
	}{{2, 1, 11_00, 16_50, 16_50}, {3, 10, 1, 4, 5}, {4, 0, 4_20, 4_20, 4_20}, {0, 2, 4_20, 0, 0}} {
		least, most := Receipt{Good: x.good, Rejected: x.rejected}.Bears(money.Of(x.unit, "USD"))
		if least.Minor != x.least || most.Minor != x.most {
			t.Errorf("%d good and %d rejected at %d: %s to %s", x.good, x.rejected, x.unit, least, most)
		}
	}
}
