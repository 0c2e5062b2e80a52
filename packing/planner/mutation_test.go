package planner_test

import (
	"flag"
	"testing"

	"solander/internal/mistake"
)

var mutate = flag.Bool("mutate", false, "make typical mistakes in the source and see that the tests find each")

// mutations are typical mistakes: in a file, below the module's root, a text is replaced once.
var mutations = []mistake.Mistake{
	{"a measure equal to the limit does not fit", "packing/planner/means/fits.go", "case long+extra > it.Long:", "case long+extra >= it.Long:"},
	{"clearance counted once", "packing/planner/means/fits.go", "extra := 2 * l.Clearance.Sides", "extra := l.Clearance.Sides"},
	{"board without its clearance", "packing/planner/means/fits.go", "s := 2 * l.Clearance.Sides\n\tnames := RuleNames[it.Kind]", "s := 0 * l.Clearance.Sides\n\tnames := RuleNames[it.Kind]"},
	{"a soft bag that does not bulge", "packing/planner/means/fits.go", "if it.Soft {", "if it.Soft && false {"},
	{"thickness limit forgotten", "packing/planner/means/fits.go", "case it.Thickest > 0 && room > it.Thickest:", "case it.Thickest > 0 && thick > 2*it.Thickest:"},
	{"empty height not looked at", "packing/planner/means/fits.go", "if l.Empty != nil && height-need > *l.Empty {", "if l.Empty != nil && height-need > *l.Empty && height < 0 {"},
	{"inside for outside", "packing/planner/parcel/fold.go", "s.Long, s.Short, s.Thick = it.OutLong, it.OutShort, s.Thick+2*it.Wall", "s.Long, s.Short, s.Thick = it.Long, it.Short, s.Thick+2*it.Wall"},
	{"one wall", "packing/planner/parcel/fold.go", "it.OutShort, s.Thick+2*it.Wall", "it.OutShort, s.Thick+it.Wall"},
	{"one board's thickness for two", "packing/planner/parcel/fold.go", "s.Long, s.Short = it.Long, it.Short\n\t\ts.Thick += measure.Length(pieces) * it.Caliper", "s.Long, s.Short = it.Long, it.Short\n\t\ts.Thick += it.Caliper"},
	{"packaging weighs nothing", "packing/planner/parcel/state.go", "s.Mass += measure.Mass(count) * it.Mass", "s.Mass += 0 * it.Mass"},
	{"stock used twice", "packing/planner/partition/split.go", "out[i] = a[i] + b[i]", "out[i] = max(a[i], b[i])"},
	{"one more than the stock", "packing/planner/partition/split.go", "if int(out[i]) > *t.Stock {", "if int(out[i]) > *t.Stock+1 {"},
	{"issued class forgotten", "packing/planner/parcel/state.go", "s.issued |= it.Issued", "s.issued |= 0"},
	{"only the long side lies along the axis", "sheet/wind.go", "\tif along > axis {\n\t\talong, across = across, along\n\t}\n", ""},
	{"one end gap", "packing/planner/parcel/layers.go", "need := s.Long + 2*l.Clearance.Ends", "need := s.Long + l.Clearance.Ends"},
	{"the wrap's core forgotten", "packing/planner/parcel/layers.go", "return max(x.facts.core, x.W.Core)", "return x.facts.core"},
	{"the largest cut only", "packing/planner/parcel/layers.go", "for _, h := range it.Cuts {", "for _, h := range it.Cuts[len(it.Cuts)-1:] {"},
	{"most sheets of a wrap", "packing/planner/parcel/pick.go", "w.Most > 0 && f.N > w.Most", "w.Most > 0 && f.N > w.Most+1"},
	{"over is not from", "packing/planner/parcel/house.go", "return limit == nil || n > *limit", "return limit == nil || n >= *limit"},
	{"heavier is never cheaper", "packing/planner/parcel/fine.go", "f.mass = f.mass || k.P.Rules[i].When.MassTo != nil", "f.mass = f.mass || k.P.Rules[i].When.MassTo != nil && false"},
	{"the arrival is not looked at", "packing/planner/means/way.go", "return by.IsZero() || o.Service.Days != nil && !o.Arrives.After(by)", "return true"},
	{"the first split only", "packing/planner/partition/cheapest.go", "for s := rest; ; s = (s - 1) & rest {", "for s := rest; ; s = 0 {"},
	{"every other part of a set", "packing/planner/partition/cheapest.go", "\t\t\tsub[last]--\n\t\t\tat -= step", "\t\t\tsub[last]--\n\t\t\tat -= step * (1 + sub[last]%2)"},
	{"all surcharges of a group", "tariff/surcharge.go", "if !all[i].applies(p) || outdone(all, i, p) {", "if !all[i].applies(p) {"},
	{"dimensional mass forgotten", "tariff/price.go", "billed = max(billed, d.Mass(p.Size, p.Form))", "billed = max(billed, 0*d.Mass(p.Size, p.Form))"},
	{"a bound as if no parcel cost less than it is worth", "packing/planner/longorder/master.go", "return sum + least*int64(x.to)", "return sum + 0*least"},
	{"a bound without the price of cover's first step", "packing/planner/longorder/cover.go", "out := []coverStep{{min(c.Included, all), 0}}", "out := []coverStep{{min(c.Included, all), 500}}"},
	{"the promise of the first order alone", "packing/planner/parcel/member.go", "case day.IsZero() || m.ArriveBy.Before(day) != f.Any:", "case day.IsZero():"},
	{"cover for the first order's sheets alone", "packing/planner/parcel/order.go", "f.Value += int64(n) * s.Value", "f.Value += int64(n) * s.Value * int64(1-min(1, o.Groups[g].Member))"},
	{"one of the orders whole is enough", "packing/planner/parcel/member.go", "n += m.total\n\t\t} else", "n = max(n, m.total)\n\t\t} else"},
	{"house rules of the first order alone", "packing/planner/parcel/member.go", "if f.Orders.Has(i) && holds(", "if (i == 0 || f.Any) && f.Orders.Has(i) && holds("},
	{"a lead above the price of some step of cover", "packing/planner/longorder/cover.go", "c.lead = min(c.lead, s.price*scale-rate(s.value))", "c.lead = max(c.lead, s.price*scale-rate(s.value))"},
	{"parcels of a kind worth as much as others", "packing/planner/longorder/slot.go", "k != nil && k.tells(f) {", "k != nil && k.tells(f) && worth < 0 {"},
	{"a field of parcels left out that holds the cheapest", "packing/planner/longorder/master.go", "if low >= limit {", "if low >= limit-300*scale {"},
	{"a parcel emptied into another one that costs more", "packing/planner/heuristic/improve.go", "if b[0].Worth.Less(was) {", "if was.Less(b[0].Worth) {"},
	{"a sheet moved that stays where it was, too", "packing/planner/heuristic/improve.go", "from[g], to[g] = from[g]-n, to[g]+n", "from[g], to[g] = from[g], to[g]+n"},
	{"the best parcels remembered for those by one wrap", "packing/planner/memo/memo.go", "Key(append(slices.Clone(set), w.Index))", "Key(set)"},
	{"sheets side by side without the distance between them", "packing/planner/tiers/tiers.go", "gap := q.s.Between", "gap := 0 * q.s.Between"},
	{"sheets side by side on one another", "packing/planner/tiers/tiers.go", "x = max(x, o.X+o.Width)", "x = max(x, o.X)"},
	{"a tier as thick as its thinnest sheet", "packing/planner/tiers/piles.go", "rest.Thick + t.Lots[0].Thick", "rest.Thick + t.Lots[len(t.Lots)-1].Thick"},
	{"more tiers asked for than the area needs", "packing/planner/tiers/piles.go", "int64(b.tiers)*room < area", "int64(b.tiers)*room < 3*area"},
	{"one more side by side than may be", "packing/planner/tiers/piles.go", "pieces < d.q.s.Beside", "pieces <= d.q.s.Beside"},
	{"a gap for each sheet, not for each tier", "packing/planner/parcel/beside.go", "return s.tiers - 1", "return x.facts.N - 1"},
	{"the room beside one another of a soft bag that lies flat", "packing/planner/tiers/footing.go", "min(r.Long, f.Bag.Long-t), min(r.Short, f.Bag.Short-t)", "min(r.Long, f.Bag.Long-0*t), min(r.Short, f.Bag.Short-0*t)"},
	{"what a soft bag loses at its edges taken from the tissue, too", "packing/planner/tiers/footing.go", "min(r.Long, f.Bag.Long-t), min(r.Short, f.Bag.Short-t)", "min(r.Long, f.Bag.Long)-t, min(r.Short, f.Bag.Short)-t"},
	{"tissue not looked at for the room beside one another", "packing/planner/means/ground.go", "f.Long, f.Short = min(f.Long, long), min(f.Short, short)", "f.Long, f.Short = long, short"},
	{"a base cut a step too short", "packing/planner/means/standing.go", "if s >= least {", "if s+50_000_000 >= least {"},
	{"a cut base as large outside as a whole one", "packing/planner/means/means.go", "l, w = l-(i.Length-length), w-(i.Width-width)", "l, w = l-0*(i.Length-length), w-0*(i.Width-width)"},
	{"a bound for sheets that all lie on one another", "packing/planner/least/stencil.go", "a.class.Thick[g] /= measure.Length(a.inTier)", "a.class.Thick[g] /= 1"},
	{"a tube on a pack that takes no height", "packing/planner/parcel/both.go", "Thick: pack.Thick + tube.Thick,", "Thick: max(pack.Thick, tube.Thick),"},
	{"a tube beside a pack that takes no room", "packing/planner/parcel/both.go", "max(along, tube.Long), across+tube.Thick", "max(along, tube.Long), max(across, tube.Thick)"},
	{"a tube that never lies along the short side", "packing/planner/parcel/both.go", "if at == packing.BesideShort {", "if at == packing.BesideShort && pack.Long == pack.Short {"},
	{"a wrap of both for prints that are all rolled", "packing/planner/parcel/pick.go", "return rolled > 0 && rolled < f.N", "return rolled > 0"},
	{"a print as long as may lie flat is rolled", "packing/wrap.go", "max(s.Width, s.Height) > w.FlatTo", "max(s.Width, s.Height) >= w.FlatTo"},
	{"the core of prints that lie flat", "packing/planner/parcel/both.go", "facts: x.o.Facts(set)", "facts: x.facts"},
	{"a tube twice as wide in the bound", "packing/planner/least/both.go", "wide.take(it.OutAcross)", "wide.take(2 * it.OutAcross)"},
	{"scarce packaging priced but not counted", "packing/planner/lagrange.go", "sum -= lambda[j] * int64(*t.Stock)", "sum -= 0 * lambda[j] * int64(*t.Stock)"},
}

// Each mistake makes some of the quick tests fail. The source is replaced for the compiler alone; the files stay
// as they are.
func TestMistakesAreCaught(t *testing.T) {
	if !*mutate {
		t.Skip("takes minutes, since each mistake is compiled and tested: make mutate")
	}
	if len(mutations) < 20 {
		t.Fatalf("only %d mistakes", len(mutations))
	}
	mistake.AreCaught(t, "../..", mutations, "-run", "TestAgainstEveryPlan|TestEdges|TestMassAtTheStep|TestTheExample|TestBoundsAreBounds|TestTheTreeFindsTheBest|TestNoParcelIsBelowTheSearch|TestFoundIsBetweenARowAndTheBest|TestRememberedIsAskedAnew|TestBetween|TestTooMuchIsScarce|TestTwoPrograms|TestBoundsOfCombinedOrders|TestBothOrdersAreWhole|TestTheHeavierMayBeCheaper|TestSideBySide|TestTheBase|TestSecondOpinion|TestMixed|TestRolledWithFlat", "./packing/planner/...")
}
