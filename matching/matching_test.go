package matching_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"solander/calendar"
	"solander/matching"
	"solander/money"
)

func eur(minor int64) money.Amount { return money.Of(minor, "EUR") }

func day(n int) calendar.Day { return calendar.Date(2025, 11, n) }

var (
	pettibone = matching.Candidate{Payment: 1, Order: 11, Mark: "S-1001", Ref: "FAIR-7", Buyer: "Tobias Pettibone", Amount: eur(12000), Day: day(3)}
	ashgrove  = matching.Candidate{Payment: 2, Order: 12, Mark: "S-1002", Buyer: "Noor Ashgrove", Amount: eur(12000), Day: day(3)}
	refund    = matching.Candidate{Payment: 3, Order: 11, Mark: "S-1001", Buyer: "Tobias Pettibone", Amount: eur(-2000), Day: day(5)}
	owing     = matching.Candidate{Order: 13, Mark: "S-1003", Buyer: "Éva Brück", Amount: eur(8000), Day: day(1)}
)

// The weights and reaches are ours, no source: these are the cases that they are to tell apart.
func TestWhatALineMayBe(t *testing.T) {
	all := []matching.Candidate{pettibone, ashgrove, refund, owing}
	for name, tt := range map[string]struct {
		line   matching.Line
		want   int64 // payment that is proposed; 0 = none
		order  int64 // whose debt is proposed
		others int
		tie    bool
	}{
		"a name decides between two of one amount":  {matching.Line{Day: day(4), Amount: eur(12000), Text: "TRANSFER PETTIBONE TOBIAS"}, 1, 0, 1, false},
		"a mark decides, without its hyphen":        {matching.Line{Day: day(4), Amount: eur(12000), Text: "order s1002 thanks"}, 2, 0, 1, false},
		"a reference of the outlet decides":         {matching.Line{Day: day(4), Amount: eur(12000), Text: "fair 7"}, 1, 0, 1, false},
		"two are as likely: none is proposed":       {matching.Line{Day: day(4), Amount: eur(12000), Text: "transfer"}, 0, 0, 2, true},
		"a cent less is nothing":                    {matching.Line{Day: day(4), Amount: eur(11999), Text: "Tobias Pettibone S-1001"}, 0, 0, 0, false},
		"another currency is nothing":               {matching.Line{Day: day(4), Amount: money.Of(12000, "USD"), Text: "Tobias Pettibone"}, 0, 0, 0, false},
		"a refund goes out":                         {matching.Line{Day: day(6), Amount: eur(-2000), Text: ""}, 3, 0, 0, false},
		"money in is no refund":                     {matching.Line{Day: day(6), Amount: eur(2000), Text: "Pettibone"}, 0, 0, 0, false},
		"what is owed, by the name without accents": {matching.Line{Day: day(20), Amount: eur(8000), Text: "BRUCK EVA"}, 0, 13, 0, false},
		"what is owed, without a name":              {matching.Line{Day: day(20), Amount: eur(8000), Text: "transfer"}, 0, 0, 1, false},
		"nothing is paid before it was sold":        {matching.Line{Day: calendar.Date(2025, 10, 31), Amount: eur(8000), Text: "Éva Brück"}, 0, 0, 0, false},
		"too long after":                            {matching.Line{Day: day(30), Amount: eur(12000), Text: "Tobias Pettibone"}, 0, 0, 0, false},
	} {
		tt.line.ID = 7
		f := matching.Of([]matching.Line{tt.line}, all)[0]
		switch {
		case tt.want == 0 && tt.order == 0:
			if f.Proposal != nil {
				t.Errorf("%s: proposes %+v", name, f.Proposal)
			}
		case f.Proposal == nil, f.Proposal.Payment != tt.want, tt.order != 0 && f.Proposal.Order != tt.order:
			t.Errorf("%s: proposes %+v", name, f.Proposal)
		}
		if len(f.Others) != tt.others || f.Tie != tt.tie {
			t.Errorf("%s: %d others, tie %t", name, len(f.Others), f.Tie)
		}
	}
}

// Two lines of one amount and one payment: the one that names it gets it, the other gets none.
func TestOnePaymentIsNotTwoLines(t *testing.T) {
	lines := []matching.Line{{ID: 1, Day: day(3), Amount: eur(12000), Text: "transfer"}, {ID: 2, Day: day(5), Amount: eur(12000), Text: "Tobias Pettibone"}}
	got := matching.Of(lines, []matching.Candidate{pettibone})
	if got[0].Proposal != nil || got[1].Proposal == nil || got[1].Proposal.Payment != 1 {
		t.Errorf("%+v", got)
	}
	same := []matching.Line{lines[1], {ID: 3, Day: day(5), Amount: eur(12000), Text: "Tobias Pettibone"}}
	for _, f := range matching.Of(same, []matching.Candidate{pettibone}) {
		if f.Proposal != nil {
			t.Errorf("a guess between two lines: %+v", f)
		}
	}
}

func TestReasonsAreSaid(t *testing.T) {
	f := matching.Of([]matching.Line{{ID: 1, Day: day(4), Amount: eur(12000), Text: "S-1001 T. Pettibone"}}, []matching.Candidate{pettibone})[0]
	want := []matching.Reason{
		{Rule: "amount", Text: "the same amount, 120.00 EUR"},
		{Rule: "day", Text: "a day later"},
		{Rule: "mark", Text: "it names S-1001"},
		{Rule: "name", Text: "it names “pettibone” of Tobias Pettibone"},
	}
	if diff := cmp.Diff(want, f.Proposal.Reasons); diff != "" {
		t.Error(diff)
	}
}

// Laws: an amount is never other than the line's; nothing is proposed twice; the order of what comes in does not count.
func TestLawsOfProposals(t *testing.T) {
	names := []string{"Ada Holm", "Bo Lind", "Ada Lind", ""}
	rapid.Check(t, func(t *rapid.T) {
		var lines []matching.Line
		for i := range rapid.IntRange(0, 8).Draw(t, "lines") {
			lines = append(lines, matching.Line{
				ID: int64(i + 1), Day: day(rapid.IntRange(1, 28).Draw(t, "day")), Amount: eur(rapid.Int64Range(1, 3).Draw(t, "amount")),
				Text: rapid.SampledFrom(names).Draw(t, "text"),
			})
		}
		var all []matching.Candidate
		for i := range rapid.IntRange(0, 8).Draw(t, "candidates") {
			c := matching.Candidate{
				Order: int64(i + 1), Mark: "S-10" + string(rune('0'+i)), Buyer: rapid.SampledFrom(names[:3]).Draw(t, "buyer"),
				Amount: eur(rapid.Int64Range(1, 3).Draw(t, "amount")), Day: day(rapid.IntRange(1, 28).Draw(t, "day")),
			}
			if rapid.Bool().Draw(t, "noted") {
				c.Payment = int64(i + 1)
			}
			all = append(all, c)
		}
		got := matching.Of(lines, all)
		taken := map[matching.Candidate]bool{}
		for i, f := range got {
			if f.Line != lines[i].ID {
				t.Fatalf("line %d is answered for line %d", f.Line, lines[i].ID)
			}
			if p := f.Proposal; p != nil {
				if p.Amount != lines[i].Amount || taken[p.Candidate] || !slices.Contains(all, p.Candidate) {
					t.Fatalf("%+v", p)
				}
				taken[p.Candidate] = true
			}
			for _, p := range f.Others {
				if p.Amount != lines[i].Amount {
					t.Fatalf("%+v", p)
				}
			}
		}
		r := rand.New(rand.NewPCG(uint64(len(lines)), 1))
		r.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
		if diff := cmp.Diff(got, matching.Of(lines, all), cmpopts.EquateComparable(calendar.Day{})); diff != "" {
			t.Fatal(diff)
		}
	})
}

// What is worth 96.00 may be off by 2.88, 30 thousandths of it; a name or a mark has to speak for it, for by the day alone it would be a guess; and what is the
// same is likelier. By hand.
func TestWhatMoneyOfAnotherCurrencyMayBe(t *testing.T) {
	worth := matching.Candidate{Payment: 5, Order: 15, Mark: "S-1005", Buyer: "Mira Solvang", Amount: eur(96_00), Abroad: money.Of(15_000, "JPY"), Day: day(3)}
	back := worth
	back.Payment, back.Amount, back.Abroad = 6, eur(-96_00), money.Of(-15_000, "JPY")
	same := matching.Candidate{Payment: 7, Order: 16, Mark: "S-1006", Buyer: "Mira Solvang", Amount: eur(97_00), Day: day(3)}
	one := worth
	one.Payment, one.Only = 8, 99
	for name, tt := range map[string]struct {
		amount int64
		text   string
		all    []matching.Candidate
		want   int64
	}{
		"as far below as it may be":      {93_12, "SOLVANG MIRA", []matching.Candidate{worth}, 5},
		"a cent further":                 {93_11, "SOLVANG MIRA", []matching.Candidate{worth}, 0},
		"as far above as it may be":      {98_88, "S1005", []matching.Candidate{worth}, 5},
		"a cent above that":              {98_89, "S1005", []matching.Candidate{worth}, 0},
		"by the day alone":               {96_00, "transfer", []matching.Candidate{worth}, 0},
		"a refund goes out":              {-95_00, "Mira Solvang", []matching.Candidate{worth, back}, 6},
		"what is the same is likelier":   {97_00, "Mira Solvang", []matching.Candidate{worth, same}, 7},
		"what may be another line alone": {96_00, "Mira Solvang", []matching.Candidate{one}, 0},
	} {
		f := matching.Of([]matching.Line{{ID: 7, Day: day(3), Amount: eur(tt.amount), Text: tt.text}}, tt.all)[0]
		if got := f.Proposal; tt.want == 0 && got != nil || tt.want != 0 && (got == nil || got.Payment != tt.want) {
			t.Errorf("%s: proposes %+v", name, got)
		}
	}
}
