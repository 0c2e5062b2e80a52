package paperwork_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"solander/bench"
	"solander/calendar"
	"solander/daybench"
	"solander/dispatch"
	"solander/internal/bed"
	"solander/leaving"
	"solander/measure"
	"solander/papers"
	"solander/papers/wrap"
	"solander/paperwork"
	"solander/studio"
)

// waysOut are a mailbox that takes cards alone, a pickup with a fee and a counter to walk to.
func waysOut() []leaving.Way {
	return []leaving.Way{
		{ID: "mailbox", Name: "the mailbox", Kind: leaving.Mailbox, Opening: &leaving.Opening{Length: 12 * measure.Inch, Width: measure.Inch, Depth: 12 * measure.Inch}},
		{ID: "pickup", Name: "the pickup", Kind: leaving.Pickup, Fee: 400, Least: 2, CutOff: "14:30"},
		{ID: "counter", Name: "the counter", Kind: leaving.Counter, Minutes: 25, Days: []string{"monday", "wednesday"}},
	}
}

func tasksOf(l bench.List, g bench.Group) map[string]bench.Task {
	out := map[string]bench.Task{}
	for _, t := range l.Groups[g] {
		out[t.Mark] = t
	}
	return out
}

// What leaves by which way is one plan for those to pack, to label and to hand over; the bench, the papers and the hand-over follow it.
func TestParcelsLeaveByTheirWays(t *testing.T) {
	b := bed.New(t)
	b.Clock.Instant = time.Date(2026, 3, 4, 14, 0, 0, 0, time.UTC) // 09:00 in New York
	list := func() bench.List {
		t.Helper()
		l, err := daybench.List(b.Ctx, b.Studio, calendar.Day{})
		b.Must(err)
		return l
	}
	card, packed := b.Ready(b.Card.ID), b.Ready(b.Heron.ID)
	_, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: packed.ID})
	b.Must(err)
	if l := list(); l.Leaving != nil {
		t.Fatalf("nobody said how parcels leave: %+v", l.Leaving)
	}
	b.ChangeSettings(func(s *studio.Settings) { s.Leaving, s.MinuteWage = waysOut(), 20 })
	l := list()
	// A large parcel alone: the pickup comes for two, 4.00; the counter takes 25 minutes at 0.20, 5.00. So both go with the pickup.
	if l.Leaving.Text != "2 with the pickup before 14:30 (4.00)" || l.Leaving.Cost.Minor != 400 || !slices.Equal(l.Leaving.Trips[0].Orders, []string{card.Mark, packed.Mark}) {
		t.Errorf("they leave: %+v", l.Leaving)
	}
	if task := tasksOf(l, bench.PackOrders)[card.Mark]; len(task.Leaves) != 1 || task.Leaves[0].Way != "pickup" {
		t.Errorf("the card to pack leaves by %+v", task.Leaves)
	}
	second := b.Ready(b.Card.ID)
	b.Clock.Instant = time.Date(2026, 3, 4, 19, 31, 0, 0, time.UTC) // the pickup's hour is past: 14:31
	if l = list(); l.Leaving.Text != "3 to the counter (25 min, 5.00)" {
		t.Errorf("after the pickup they leave: %q", l.Leaving.Text)
	}
	b.ChangeSettings(func(s *studio.Settings) { s.Leaving = s.Leaving[:2] })
	l = list()
	if l.Leaving.Text != "2 to the mailbox, 1 stays" || len(l.Leaving.Stays) != 1 || l.Leaving.Stays[0].Order != packed.Mark {
		t.Fatalf("without a counter they leave: %+v", l.Leaving)
	}
	if s := l.Leaving.Stays[0]; len(s.Reasons) != 2 || s.Reasons[0].Rule != "leave.size" || s.Reasons[1].Rule != "leave.hour" || s.Mend == "" {
		t.Errorf("it stays for %+v", s)
	}
	if task := tasksOf(l, bench.LabelParcel)[packed.Mark]; len(task.Leaves) != 1 || task.Leaves[0].Way != "" || !strings.Contains(task.Leaves[0].Text, "no way takes it") {
		t.Errorf("the parcel to label: %+v", task.Leaves)
	}
	tomorrow, err := daybench.List(b.Ctx, b.Studio, calendar.Date(2026, 3, 5))
	b.Must(err)
	if tomorrow.Leaving.Text != "3 with the pickup before 14:30 (4.00)" {
		t.Errorf("tomorrow they leave: %q", tomorrow.Leaving.Text)
	}
	b.ChangeSettings(func(s *studio.Settings) { s.Leaving, s.MinuteWage = waysOut()[2:], 0 })
	if l = list(); l.Leaving.Text != "3 to the counter (25 min); the minutes cost nothing, as no wage is set" || !l.Leaving.Free {
		t.Errorf("without a wage they leave: %q", l.Leaving.Text)
	}
	both := bench.AlikeText([]string{card.Mark, second.Mark})
	if task := tasksOf(l, bench.PackOrders)[second.Mark]; !slices.ContainsFunc(task.Detail, func(d string) bool { return strings.HasPrefix(d, both) }) {
		t.Errorf("cards of one size are not told alike: %q", task.Detail)
	}
}

// Papers stand by trip, and parcels that are built alike have one wrap sheet, which names them and their prints.
func TestPapersFollowTheTrips(t *testing.T) {
	b := bed.New(t)
	heron, card, again := b.Ready(b.Heron.ID), b.Ready(b.Card.ID), b.Ready(b.Heron.ID)
	papersOf := func() papers.Bundle {
		t.Helper()
		out, err := paperwork.DayPapers(b.Ctx, b.Studio, calendar.Day{}, paperwork.Everything)
		b.Must(err)
		return out
	}
	of := func(v studio.OrderView) string { return "slip " + v.Mark + ", label " + v.Mark }
	alike := "wrap " + heron.Mark + ", " + of(heron) + ", " + of(again)
	if got, want := names(papersOf()), alike+", wrap "+card.Mark+", "+of(card); got != want {
		t.Errorf("without ways the papers are\n%s, want\n%s", got, want)
	}
	b.ChangeSettings(func(s *studio.Settings) {
		s.Leaving = waysOut()[:2]
		s.Leaving[1].Services, s.Leaving[1].CutOff = []string{"ground"}, ""
		s.Leaving[0].Most, s.Leaving[1].Most = 1, 2
	})
	all := papersOf()
	if got, want := names(all), "wrap "+card.Mark+", "+of(card)+", "+alike; got != want {
		t.Errorf("by trips the papers are\n%s, want\n%s", got, want)
	}
	sheet := all.Of[3].(wrap.Sheet)
	if sheet.Whose() != "2 parcels alike: "+heron.Mark+", "+again.Mark || len(sheet.Twins) != 2 || sheet.Code != "" {
		t.Errorf("the sheet for two is %+v", sheet)
	}
	for i, v := range []studio.OrderView{heron, again} {
		if tw := sheet.Twins[i]; tw.Mark != v.Mark || len(tw.Prints) != 1 || !strings.HasPrefix(tw.Prints[0], v.Lines[0].Number.Of(b.Heron)) {
			t.Errorf("of %s the sheet says %+v", v.Mark, tw)
		}
	}
	for _, step := range sheet.Steps {
		if strings.Contains(step.Text, b.Heron.Title) {
			t.Errorf("a step for two parcels names a print: %q", step.Text)
		}
	}
}
