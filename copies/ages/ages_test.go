package ages_test

import (
	"fmt"
	"slices"
	"testing"
	"time"
	_ "time/tzdata"

	"pgregory.net/rapid"

	"solander/copies/ages"
)

const own, other = "0123456789abcdef", "fedcba9876543210"

func names(t *rapid.T, studio string) []string {
	at := rapid.Custom(func(t *rapid.T) string {
		sec := rapid.Int64Range(0, 6*365*86400).Draw(t, "second")
		return ages.Name(studio, time.Unix(1_900_000_000+sec, 0), rapid.Bool().Draw(t, "sealed"))
	})
	return rapid.SliceOfNDistinct(at, 0, 60, rapid.ID[string]).Draw(t, "copies of "+studio)
}

var foreign = []string{
	"letter.odt", "solander-" + own + ".txt", "solander-" + own + "-20310304T101112Z.copy.part", "solander-" + own + "-20310304T101112Z.copy.age.bak",
	"Solander-" + own + "-20310304T101112Z.copy", "solander-0123-20310304T101112Z.copy", "solander-" + own + "-20310230T101112Z.copy", "old/solander-" + own + "-20310304T101112Z.copy",
	"solander-" + own + "-20310304T101112Z.copy (1)", "studio.db", "",
}

func policy(t *rapid.T) ages.Policy {
	n := rapid.IntRange(0, 9)
	return ages.Policy{Days: n.Draw(t, "days"), Weeks: n.Draw(t, "weeks"), Months: n.Draw(t, "months"), Years: rapid.IntRange(ages.AllYears, 4).Draw(t, "years")}
}

// The newest is never let go, nor what is not a copy of this studio; and what goes is in each class older than as many periods as are kept.
func TestNothingElseGoes(t *testing.T) {
	went := 0
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	check := func(t *rapid.T) {
		mine, theirs, p := names(t, own), names(t, other), policy(t)
		all := slices.Concat(mine, theirs, foreign)
		goes := p.Goes(own, rapid.Permutation(all).Draw(t, "order"), zone)
		gone := map[string]bool{}
		for _, g := range goes {
			gone[g.Name] = true
			if !slices.Contains(mine, g.Name) {
				t.Fatalf("%q goes, which is no copy of this studio", g.Name)
			}
		}
		went += len(goes)
		newest, kept := time.Time{}, map[string]bool{}
		for _, n := range mine {
			c, ok := ages.Parse(n)
			if !ok {
				t.Fatalf("%q is not known again", n)
			}
			if c.At.After(newest) {
				newest = c.At
			}
			kept[n] = !gone[n]
		}
		left := 0
		for _, n := range mine {
			c, _ := ages.Parse(n)
			if kept[n] {
				left++
			} else if c.At.Equal(newest) && !slices.ContainsFunc(mine, func(m string) bool { x, _ := ages.Parse(m); return kept[m] && x.At.Equal(newest) }) {
				t.Fatal("the newest goes")
			}
		}
		// By another way: the periods are counted as texts.
		for what, c := range map[string]struct {
			form func(time.Time) string
			most int
		}{
			"day":   {func(at time.Time) string { return at.Format(time.DateOnly) }, p.Days},
			"week":  {func(at time.Time) string { y, w := at.ISOWeek(); return fmt.Sprintf("%04d-%02d", y, w) }, p.Weeks},
			"month": {func(at time.Time) string { return at.Format("2006-01") }, p.Months},
			"year":  {func(at time.Time) string { return at.Format("2006") }, p.Years},
		} {
			had, has := map[string]bool{}, map[string]bool{}
			for _, n := range mine {
				x, _ := ages.Parse(n)
				period := c.form(x.At.In(zone))
				had[period] = true
				has[period] = has[period] || kept[n]
			}
			var periods []string
			for period := range had {
				periods = append(periods, period)
			}
			slices.Sort(periods)
			slices.Reverse(periods)
			for i, period := range periods {
				if (c.most < 0 || i < c.most) && !has[period] {
					t.Fatalf("of the %s %s no copy is left", what, period)
				}
			}
		}
		if most := 1 + p.Days + p.Weeks + p.Months + max(p.Years, 0); p.Years >= 0 && left > most {
			t.Fatalf("%d are left, at most %d", left, most)
		}
	}
	for range 20 { // a short run draws little
		if rapid.Check(t, check); went >= 100 {
			break
		}
	}
	if went < 100 {
		t.Errorf("only %d went: little was tested", went)
	}
}

// What is let go day after day leaves what would have been left of all at once: seven days, four weeks, twelve months, every year.
func TestDayAfterDay(t *testing.T) {
	var lie []string
	at := time.Date(2031, 1, 1, 2, 30, 0, 0, time.UTC)
	all := []string{}
	for range 4 * 365 {
		n := ages.Name(own, at, true)
		lie, all = append(lie, n), append(all, n)
		for _, g := range ages.Usual.Goes(own, lie, time.UTC) {
			lie = slices.DeleteFunc(lie, func(n string) bool { return n == g.Name })
		}
		at = at.Add(24 * time.Hour)
	}
	kept, _ := ages.Of(own, all)
	why := ages.Usual.Kept(kept, time.UTC)
	want := slices.DeleteFunc(all, func(n string) bool { return why[n] == nil })
	if !slices.Equal(lie, want) {
		t.Errorf("left are %d, at once %d", len(lie), len(want))
	}
	// 7 days; of 4 weeks and 12 months those that are not among them; 4 years, the last of which is the newest.
	if len(lie) < 7+2+10+2 || len(lie) > 7+4+12+4 {
		t.Errorf("%d are left", len(lie))
	}
}
