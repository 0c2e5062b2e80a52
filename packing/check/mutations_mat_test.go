package check_test

import (
	"slices"
	"strings"
	"testing"

	"solander/internal/brute"
	"solander/packing"
	"solander/packing/check"
	"solander/packing/planner"
)

// laid spoils how sheets lie side by side; tier is one with two sheets or more.
func laid(spoil func(p *packing.Problem, m *packing.Mat, tier *packing.Tier) bool) func(*packing.Problem, *packing.Plan) bool {
	return first(func(p *packing.Problem, parcel *packing.Parcel) bool {
		if parcel.Mat == nil {
			return false
		}
		for i := range parcel.Mat.Tiers {
			if t := &parcel.Mat.Tiers[i]; len(t.Spots) > 1 {
				return spoil(p, parcel.Mat, t)
			}
		}
		return false
	})
}

func init() {
	for name, m := range map[string]mutation{
		"two sheets on one another": {"plan.mat", laid(func(_ *packing.Problem, _ *packing.Mat, t *packing.Tier) bool {
			t.Spots[1].X, t.Spots[1].Y = t.Spots[0].X, t.Spots[0].Y
			return true
		})},
		"two sheets a nanometre on one another": {"plan.mat", laid(func(_ *packing.Problem, _ *packing.Mat, t *packing.Tier) bool {
			s := &t.Spots[1]
			if s.X > 0 {
				s.X--
			} else {
				s.Y--
			}
			return len(t.Spots) == 2
		})},
		"a sheet beyond the mat":    {"plan.mat", laid(func(_ *packing.Problem, m *packing.Mat, t *packing.Tier) bool { t.Spots[0].X += m.Width; return true })},
		"a sheet before the corner": {"plan.mat", laid(func(_ *packing.Problem, _ *packing.Mat, t *packing.Tier) bool { t.Spots[0].X = -1; return true })},
		"a sheet larger than it is": {"plan.mat", laid(func(_ *packing.Problem, _ *packing.Mat, t *packing.Tier) bool { t.Spots[0].Width--; return true })},
		"a mat too small":           {"plan.mat", laid(func(_ *packing.Problem, m *packing.Mat, _ *packing.Tier) bool { m.Width--; return true })},
		"a mat too large":           {"plan.mat", laid(func(_ *packing.Problem, m *packing.Mat, _ *packing.Tier) bool { m.Height++; return true })},
		"a tier too thin":           {"plan.mat", laid(func(_ *packing.Problem, _ *packing.Mat, t *packing.Tier) bool { t.Thickness--; return true })},
		"a sheet left out of its tier": {"plan.mat", laid(func(_ *packing.Problem, _ *packing.Mat, t *packing.Tier) bool {
			t.Spots = t.Spots[1:]
			return true
		})},
		"a sheet in two tiers": {"plan.mat", laid(func(_ *packing.Problem, m *packing.Mat, t *packing.Tier) bool {
			m.Tiers = append(m.Tiers, packing.Tier{Thickness: t.Thickness, Spots: t.Spots[:1]})
			return true
		})},
		"a tier of nothing": {"plan.mat", laid(func(_ *packing.Problem, m *packing.Mat, _ *packing.Tier) bool {
			m.Tiers = append(m.Tiers, packing.Tier{})
			return true
		})},
		"a plain stack with a mat": {"plan.mat", first(func(p *packing.Problem, parcel *packing.Parcel) bool {
			if parcel.Shape != packing.Flat || parcel.Mat != nil || len(parcel.Contents) > 1 || parcel.Contents[0].Copies > 1 {
				return false
			}
			parcel.Mat = &packing.Mat{Tiers: []packing.Tier{{Spots: []packing.Spot{{Sheet: parcel.Contents[0].Sheet}}}}}
			return true
		})},
	} {
		mutations[name] = m
	}
}

// A plan for sheets side by side is wrong where the wrap lays fewer side by side, or none, or further apart.
func TestSideBySideAsTheWrapSays(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	tried := 0
	for seed := range uint64(400) {
		p := brute.Cards(900_000 + seed)
		plan, err := planner.Plan(t.Context(), p, nil)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.ContainsFunc(plan.Parcels, func(p packing.Parcel) bool { return p.Mat != nil }) {
			continue
		}
		plan.Rejected = nil
		for _, spoil := range []func(*packing.Wrap){
			func(w *packing.Wrap) { w.Beside, w.Between = 0, 0 },
			func(w *packing.Wrap) { w.Beside = 1 },
			func(w *packing.Wrap) { w.Between += 1 << 40 },
		} {
			q := p
			q.Wraps = slices.Clone(p.Wraps)
			for i := range q.Wraps {
				spoil(&q.Wraps[i])
			}
			if found := check.Plan(q, plan); found == nil || !strings.Contains(found.Error(), "plan.mat") {
				t.Errorf("problem %d: %v", seed, found)
			}
		}
		tried++
	}
	if tried < leastSpoilt {
		t.Errorf("tried on %d plans", tried)
	}
}
