package notes

import (
	"fmt"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"

	"solander/calendar"
	"solander/intake"
	"solander/money"
)

var dollars = Figures{Currency: "USD", Decimal: ".", Unit: "in", Days: intake.MonthDay}

// told writes the facts of a note in short.
func told(g Figures, note string) []string {
	var all []string
	for _, f := range g.FactsIn(note, calendar.Date(2025, time.May, 20)) {
		all = append(all, fmt.Sprintf("%s %q %s", f.Kind, f.Words, f.Sure))
		if !f.Amount.IsZero() {
			all[len(all)-1] += " " + f.Amount.Plain()
		}
		if s := f.Day.String() + f.Text; s != "" && f.Amount.IsZero() && f.Percent == 0 {
			all[len(all)-1] += " " + s
		}
		if f.Percent > 0 {
			all[len(all)-1] += fmt.Sprintf(" %d%%", f.Percent)
		}
	}
	return all
}

// The notes are invented; what a practitioner means by such words is common practice, no source.
func TestNotes(t *testing.T) {
	for note, want := range map[string][]string{
		"half paid, 80 still due":                 {`paid "half paid" plain 50%`, `owed "80 still due" plain 80.00`},
		"owes 60":                                 {`owed "owes 60" plain 60.00`},
		"Owes $1,250.50.":                         {`owed "Owes $1,250.50" plain 1250.50`},
		"50% deposit":                             {`paid "50% deposit" plain 50%`},
		"paid in full":                            {`paid-in-full "paid in full" plain`},
		"not paid yet":                            {`not-paid "not paid yet" plain`},
		"not fully paid":                          {`owed "not fully paid" likely`},
		"PAID":                                    {`paid-in-full "PAID" likely`},
		"sheet from lab 4 June":                   {`sheet-on "sheet from lab 4 June" likely 2025-06-04`},
		"lab 12/30":                               {`sheet-on "lab 12/30" likely 2025-12-30`},
		"12x18":                                   {`size "12x18" plain 12x18`},
		"wants the 12 x 18 in, fine grade":        {`size "12 x 18 in" plain 12 x 18 in`, `grade "fine grade" plain fine`},
		"a gift; no gift wrap":                    {`gift "a gift" plain`},
		"hold until 3 May":                        {`hold-until "hold until 3 May" likely 2026-05-03`},
		"do not send before June 9th 2025":        {`hold-until "do not send before June 9th 2025" plain 2025-06-09`},
		"needs it by June 20, 2025":               {`needed-by "needs it by June 20, 2025" plain 2025-06-20`},
		"birthday 1 July":                         {`needed-by "birthday 1 July" likely 2025-07-01`},
		"deposit 40, rest 40":                     {`paid "deposit 40" plain 40.00`, `owed "rest 40" plain 40.00`},
		"paid 100 on 5 May, posted 9 June":        {`paid "paid 100" plain 100.00`, `day "5 May" doubtful 2025-05-05`, `sent-on "posted 9 June" likely 2025-06-09`},
		"wants #17 and AP 2":                      {`number "#17" plain #17`, `number "AP 2" plain AP 2`},
		"2 prints, no. 17/250":                    {`quantity "2 prints" plain 2`, `number "no. 17/250" plain 17/250`},
		"$20 for the frame":                       {`amount "$20" doubtful 20.00`},
		"met at the fair, very kind":              nil,
		"call 555 0100":                           nil,
		"lives at number 9, third floor":          {`number "number 9" plain 9`},
		"Überweisung 50,00 EUR":                   nil,
		"halb bezahlt":                            {`paid "halb bezahlt" plain 50%`},
		"paid paid paid":                          {`paid-in-full "paid" likely`, `paid-in-full "paid" likely`, `paid-in-full "paid" likely`},
		"unpaid":                                  {`not-paid "unpaid" plain`},
		"half paid half paid":                     {`paid "half paid" plain 50%`, `paid "half paid" plain 50%`},
		"standard version please, economy is out": {`grade "standard version" plain standard`},
	} {
		if diff := cmp.Diff(want, told(dollars, note)); diff != "" {
			t.Errorf("%q: %s", note, diff)
		}
	}
	if got := told(Figures{Currency: "USD"}, "owes 1,250, lab 4/6, 12x18"); cmp.Diff([]string{`owed "owes 1,250" doubtful 1,250`, `sheet-on "lab 4/6" doubtful 4/6`, `size "12x18" doubtful 12x18`}, got) != "" {
		t.Errorf("what can be read two ways is told as %q", got)
	}
}

func TestContradictions(t *testing.T) {
	for _, tt := range []struct {
		note string
		due  int64
		want bool
	}{
		{"paid in full, owes 60", 0, true},
		{"half paid, 80 still due", 16_000, false},
		{"half paid, 80 still due", 20_000, true},
		{"half paid, 80 still due", 0, false},
		{"not paid, deposit 40", 0, true},
		{"deposit 40, rest 40", 8_000, false},
		{"lab 4 June, from lab 5 June", 0, true},
		{"12x18 12x18", 0, false},
		{"paid in full, gift", 0, false},
		{"owes 60, owes 70", 0, true},
	} {
		facts := dollars.FactsIn(tt.note, calendar.Date(2025, time.May, 20))
		for i := range facts {
			facts[i].ID = fmt.Sprint(i)
		}
		Contradict(facts, money.Of(tt.due, "USD"))
		got := len(facts) == 2 && len(facts[0].Against) == 1 && len(facts[1].Against) == 1
		if len(facts) != 2 || got != tt.want {
			t.Errorf("%q with %d due: contradiction %v, facts %+v", tt.note, tt.due, got, facts)
		}
	}
}

func FuzzNote(f *testing.F) {
	for _, seed := range []string{"half paid, 80 still due", "sheet from lab 4 June", "50% deposit", "12x18 fine grade #17", "\xff", "ä€ 4.6. paid"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, note string) {
		last := 0
		for _, fact := range dollars.FactsIn(note, calendar.Date(2025, time.May, 20)) {
			if fact.Start < last || fact.End <= fact.Start || note[fact.Start:fact.End] != fact.Words || !utf8.ValidString(fact.Words) || fact.InWords() == "" {
				t.Fatalf("%q: %+v", note, fact)
			}
			last = fact.End
		}
	})
}

// The notes are invented; that the day of such words is the lab's is common practice, no source.
func TestTheLabsDayIsNoDayOfTheSale(t *testing.T) {
	for note, want := range map[string][]string{
		"lab 3 May":                           {`sheet-on "lab 3 May" likely 2026-05-03`},
		"ordered from lab 3/5":                {`sheet-on "from lab 3/5" likely 2026-03-05`},
		"ordered from the lab on June 9":      {`sheet-on "from the lab on June 9" likely 2025-06-09`},
		"printer sent 12.4.":                  {`lab-day "sent 12.4." likely 2025-12-04`},
		"lab ordered 9 June":                  {`lab-day "ordered 9 June" likely 2025-06-09`},
		"ordered 9 June from the lab":         {`lab-day "ordered 9 June" likely 2025-06-09`},
		"sent to printers 9 June":             {`sheet-on "printers 9 June" likely 2025-06-09`},
		"file sent 9 June to the print lab":   {`lab-day "sent 9 June" likely 2025-06-09`},
		"lab needs it by 9 June":              {`lab-day "needs it by 9 June" likely 2025-06-09`},
		"beim Labor 9. Juni":                  {`lab-day "9. Juni" doubtful 2025-06-09`},
		"lab ordered 9 June, sent 12 June":    {`lab-day "ordered 9 June" likely 2025-06-09`, `sent-on "sent 12 June" likely 2025-06-12`},
		"from lab 9 June sent 12 June":        {`sheet-on "from lab 9 June" likely 2025-06-09`, `sent-on "sent 12 June" likely 2025-06-12`},
		"ordered 9 May":                       {`sold-on "ordered 9 May" likely 2025-05-09`},
		"printer's proof, ordered 9 May":      {`sold-on "ordered 9 May" likely 2025-05-09`},
		"sold 9 May. Lab has the file":        {`sold-on "sold 9 May." likely 2025-05-09`},
		"Labrador, sold 9 May":                {`sold-on "sold 9 May" likely 2025-05-09`},
		"lab sent it, sold on 9 May in Reeds": {`sold-on "sold on 9 May" likely 2025-05-09`},
	} {
		if diff := cmp.Diff(want, told(dollars, note)); diff != "" {
			t.Errorf("%q: %s", note, diff)
		}
	}
}
