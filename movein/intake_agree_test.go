package movein_test

import (
	"encoding/csv"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
	"solander/bench"
	"solander/book"
	"solander/calendar"
	"solander/daybench"
	"solander/dispatch"
	"solander/edition"
	"solander/house"
	"solander/intake"
	"solander/internal/bed"
	"solander/movein"
	"solander/order"
	"solander/register"
)

// oddity is a value of a column, with a name for the count of what was drawn.
type oddity struct{ name, value string }

// odd are the values of each column, usual ones and odd ones.
var odd = []struct {
	field  intake.Field
	values []oddity
}{
	{intake.SoldOn, []oddity{{"", "2/3/2026"}, {"", "2/17/2026"}, {"future", "7/1/2027"}, {"25 years old", "2/3/2001"}, {"no day", ""}, {"no year", "2/3"}}},
	{intake.Buyer, []oddity{{"", "Ada Quill"}, {"", "Bo Fenn"}, {"", "Cy Dunn"}, {"two in the book", "Twin Name"}, {"name of signs", "???"}, {"no buyer", ""}}},
	{intake.Email, []oddity{{"none", ""}, {"none", ""}, {"", "bo@example.org"}, {"long", strings.Repeat("q", 128) + "@example.org"}, {"no e-mail", "not one"}}},
	{intake.Address, []oddity{{"", "12 Reed Lane, Roanoke, VA 24011"}, {"no address", ""}, {"no address", ""}, {"street alone", "12 Reed Lane"}, {"long", strings.Repeat("Reed ", 40) + ", Roanoke, VA 24011"}, {"abroad", "Mühlgräbchen 3, 01277 Lindenwehr, Germany"}}},
	{intake.Title, []oddity{{"", "Heron at dusk"}, {"", "Reeds in wind"}, {"open edition", "Éclat d'été"}, {"closed edition", "Old gate"}, {"new", "Low tide"}, {"new", "High tide"}, {"signs alone", "???"}}},
	{intake.Size, []oddity{{"", "11 x 14 in"}, {"", "11 x 14 in"}, {"", "5 x 7 in"}, {"none", ""}, {"tiny", "0.1 x 0.1 in"}, {"turned", "14 x 11 in"}}},
	{intake.Grade, []oddity{{"none", ""}, {"none", ""}, {"", "standard"}, {"", "fine"}}},
	{intake.Paper, []oddity{{"none", ""}, {"none", ""}, {"", "cotton rag"}, {"", "cotton rag, 310 gsm"}, {"unknown", "bark"}}},
	{intake.Numbers, []oddity{{"none", ""}, {"none", ""}, {"", "1"}, {"", "2"}, {"", "3"}, {"of", "4/5"}, {"of", "2/3"}, {"other limit", "2/50"}, {"beyond", "40"}, {"proof", "AP 1"}, {"proof beyond", "AP 9"}, {"two", "4, 5"}, {"the same twice", "3, 3"}}},
	{intake.Quantity, []oddity{{"none", ""}, {"none", ""}, {"", "1"}, {"three", "3"}, {"sixty", "60"}}},
	{intake.Price, []oddity{{"", "90"}, {"", "90"}, {"none", ""}, {"euros", "€90"}, {"huge", "99999999999"}, {"below nothing", "-5"}}},
	{intake.Paid, []oddity{{"none", ""}, {"", "90"}, {"", "30"}, {"word", "yes"}, {"too much", "900"}}},
	{intake.Fee, []oddity{{"none", ""}, {"none", ""}, {"", "4.50"}, {"fee in pounds", "£4"}}},
	{intake.State, []oddity{{"none", ""}, {"", "waits"}, {"", "waits"}, {"", "posted"}, {"", "called off"}, {"", "came back"}, {"unknown word", "perhaps"}}},
	{intake.SentOn, []oddity{{"none", ""}, {"none", ""}, {"", "2/20/2026"}, {"before the sale", "1/2/2026"}}},
	{intake.Promised, []oddity{{"none", ""}, {"none", ""}, {"", "3/20/2026"}, {"before the sale", "1/2/2026"}, {"far off", "3/20/2031"}}},
	{intake.ArriveBy, []oddity{{"none", ""}, {"none", ""}, {"", "4/20/2026"}, {"far off", "4/20/2031"}}},
	{intake.Ref, []oddity{{"none", ""}, {"fresh", "*"}, {"fresh", "*"}, {"twice", "R-7"}, {"twice, small", "r-7"}, {"in the book", "B-1"}, {"signs alone", "###"}}},
	{intake.Outlet, []oddity{{"none", ""}, {"", "Own shop"}, {"new", "Harbour fair"}, {"closed", "Old fair"}, {"signs alone", "***"}}},
	{intake.Note, []oddity{{"none", ""}, {"", "half paid"}, {"long", strings.Repeat("word ", 900)}}},
}

// oddBed is a studio with a history: sold, signed, kept and withdrawn numbers, a closed edition and outlet, two buyers of a name.
func oddBed(t testing.TB) *bed.Bed {
	b := bed.MovingIn(t)
	b.Clock.Set(2026, 3, 10)
	gate := bed.Heron()
	gate.Limit = 4
	closed := b.Declare("Old gate", gate)
	_, err := register.Close(b.Ctx, b.Studio, edition.Closing{Edition: closed.ID, Fact: edition.Closed, Files: "deleted"})
	b.Must(err)
	_, err = house.SaveOutlet(b.Ctx, b.Studio, order.Outlet{Name: "Old fair", PromiseDays: 2, Closed: true})
	b.Must(err)
	number := func(n int) edition.Number { return edition.Number{Kind: edition.Numbered, N: n} }
	b.Must(register.SignAhead(b.Ctx, b.Studio, b.Heron.ID, []edition.Number{number(2)}))
	b.Must(register.Keep(b.Ctx, b.Studio, b.Heron.ID, number(5), "archive"))
	b.Must(register.Withdraw(b.Ctx, b.Studio, b.Reeds.ID, number(3), "faded"))
	in := b.Sale()
	in.Ref, in.Lines[0].Number = "B-1", "1"
	b.Take(in)
	for range 2 {
		twin := b.Sale()
		twin.Buyer = order.Buyer{Name: "Twin Name"}
		twin.Lines = []book.SaleLine{{Edition: b.Card.ID}}
		b.Take(twin)
	}
	return b
}

// oddMapping reads the columns of odd.
func oddMapping() intake.Mapping {
	m := bed.HerMapping()
	m.Sheets[0].Columns, m.Outlet = nil, ""
	for i, c := range odd {
		m.Sheets[0].Columns = append(m.Sheets[0].Columns, intake.Column{Column: i, Heading: string(c.field), Field: c.field})
	}
	return m
}

// oddFile draws a file and a mapping for it. Most values are usual: a file of nothing but mistakes shows nothing.
func oddFile(t *rapid.T, drawn map[string]int) (string, intake.Mapping) {
	m := oddMapping()
	var out strings.Builder
	w := csv.NewWriter(&out)
	var head []string
	for _, c := range odd {
		head = append(head, string(c.field))
	}
	_ = w.Write(head)
	strange := rapid.IntRange(0, 3).Draw(t, "how odd")
	for row := range rapid.IntRange(1, 8).Draw(t, "rows") {
		var cells []string
		for _, c := range odd {
			usual := 0
			for usual+1 < len(c.values) && (c.values[usual+1].name == "" || c.values[usual+1].name == "none") {
				usual++
			}
			at := rapid.IntRange(0, usual).Draw(t, string(c.field))
			if rapid.IntRange(0, 39).Draw(t, "odd "+string(c.field)) < strange {
				at = rapid.IntRange(0, len(c.values)-1).Draw(t, "which "+string(c.field))
			}
			v := c.values[at]
			drawn[string(c.field)+": "+v.name]++
			if v.value == "*" {
				v.value = fmt.Sprintf("R-%d", 100+row)
			}
			cells = append(cells, v.value)
		}
		_ = w.Write(cells)
	}
	w.Flush()
	for _, x := range []struct {
		name string
		do   func()
	}{
		{"mapping in euros", func() { m.Currency = "EUR" }},
		{"mapping without an outlet", func() {}},
		{"mapping without a country", func() { m.Country = "" }},
	} {
		if rapid.IntRange(0, 5).Draw(t, x.name) == 0 {
			drawn[x.name]++
			x.do()
		} else if x.name == "mapping without an outlet" {
			m.Outlet = "Own shop"
		}
	}
	return out.String(), m
}

// saidOf answers what a trial asks, often but not always.
func saidOf(t *rapid.T, tr movein.FileTrial, said intake.Answers) intake.Answers {
	out := bed.Confirm(tr, said)
	for id := range out {
		if strings.HasPrefix(id, "declare.") && rapid.IntRange(0, 9).Draw(t, "leave out") == 0 {
			delete(out, id)
		}
	}
	for _, q := range tr.Questions {
		if q.Answer == "" && len(q.Choices) > 0 && rapid.IntRange(0, 3).Draw(t, "answer") > 0 {
			out[q.ID] = rapid.SampledFrom(q.Choices).Draw(t, q.ID).Value
		}
	}
	return out
}

// agreement runs files through trial and deed, and counts what came of them.
type agreement struct {
	*bed.Bed
	drawn, rules           map[string]int
	ready, asked, homeless int
}

type failing interface{ Fatalf(string, ...any) }

// file holds that what the trial calls ready comes in, all of it and nothing else, and that what it holds back says by row
// why, and what to do. say answers a trial.
func (a *agreement) file(t failing, rows string, m intake.Mapping, say func(movein.FileTrial, intake.Answers) intake.Answers) {
	table, err := movein.ReadFile(a.Ctx, a.Studio, "odd.csv", []byte(rows), nil)
	if err != nil {
		t.Fatalf("%v", err)
	}
	in := movein.FileTrialIn{Table: table, Mapping: m}
	var tr movein.FileTrial
	for round := range 4 {
		if tr, err = movein.TryFile(a.Ctx, a.Studio, in, nil); err != nil {
			t.Fatalf("%v\n%s", err, rows)
		}
		if round < 3 {
			in.Answers = say(tr, in.Answers)
		}
	}
	for _, p := range tr.Problems {
		a.rules[p.Rule]++
		if p.Bars && (p.Row < 1 || p.What == "" || p.Mend == "") {
			t.Fatalf("a problem without its row or mend: %+v", p)
		}
	}
	for _, p := range tr.Proposals {
		if p.Status == intake.Asked && !slices.ContainsFunc(p.Problems, func(at int) bool { return tr.Problems[at].Bars }) {
			t.Fatalf("row %d waits, and nothing says why\n%s", p.Rows[0].Row, rows)
		}
	}
	got, err := movein.TakeIn(a.Ctx, a.Studio, movein.TakeInIn{FileTrialIn: in, Seen: tr.Seen}, nil)
	if err != nil {
		t.Fatalf("%d orders were ready, and bringing them in is refused: %v\n%s\n%+v", tr.Counts.Ready, bed.Deep(err), rows, in.Answers)
	}
	a.ready, a.asked, a.homeless = a.ready+tr.Counts.Ready, a.asked+tr.Counts.Asked, a.homeless+tr.NoAddress
	if tr.Counts.Ready == 0 {
		if got.Intake != nil {
			t.Fatalf("nothing was ready, and %+v was made", got.Intake.Made)
		}
		return
	}
	if got.Intake == nil || got.Intake.Made.Orders != tr.Counts.Ready {
		t.Fatalf("%d were ready: %+v\n%s", tr.Counts.Ready, got, rows)
	}
	a.waitsForAddresses(t, tr.NoAddress, rows)
	if found := bed.Must(house.Check(a.Ctx, a.Studio)); len(found) > 0 {
		t.Fatalf("brought in: %v\n%s", found, rows)
	}
	if err := movein.UndoIntake(a.Ctx, a.Studio, got.Intake.ID, "property"); err != nil {
		t.Fatalf("%v\n%s", err, rows)
	}
}

// waitsForAddresses holds that the bench asks for just the addresses that are missing, and that no such order is packed.
func (a *agreement) waitsForAddresses(t failing, n int, rows string) {
	asks := bed.Must(daybench.List(a.Ctx, a.Studio, calendar.Day{})).Groups[bench.AskAddress]
	if len(asks) != n {
		t.Fatalf("%d orders without an address came in, the bench asks for %d\n%s", n, len(asks), rows)
	}
	for _, task := range asks {
		if _, err := dispatch.Pack(a.Ctx, a.Studio, dispatch.PackIn{Order: task.Order}); err == nil {
			t.Fatalf("%s was packed without an address\n%s", task.Mark, rows)
		}
	}
}

// alone makes a file for each value of each column that has it in a row which is usual otherwise.
func alone(visit func(name, rows string)) {
	usual := []string{"2/3/2026", "Bo Fenn", "", "9 Mill Road, Salem, VA 24153", "Reeds in wind", "11 x 14 in", "fine", "cotton rag", "", "", "90", "", "", "waits", "", "", "", "", "Own shop", ""}
	var head []string
	for _, c := range odd {
		head = append(head, string(c.field))
	}
	for i, c := range odd {
		for _, v := range c.values {
			row := slices.Clone(usual)
			row[i] = strings.ReplaceAll(v.value, "*", "R-1")
			var out strings.Builder
			w := csv.NewWriter(&out)
			_ = w.WriteAll([][]string{head, row})
			visit(string(c.field)+": "+v.name, out.String())
		}
	}
}

// TestTrialAndTakingInAgree holds it for every odd value by itself, and for files of several of them drawn together. The counts
// show that what this is about was there.
func TestTrialAndTakingInAgree(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	a := &agreement{Bed: oddBed(t), drawn: map[string]int{}, rules: map[string]int{}}
	m := oddMapping()
	for _, m.Currency = range []string{"USD", "EUR"} {
		alone(func(_, rows string) {
			a.file(t, rows, m, func(tr movein.FileTrial, said intake.Answers) intake.Answers { return bed.Confirm(tr, said) })
		})
	}
	single := a.ready
	rapid.Check(t, func(rt *rapid.T) {
		rows, m := oddFile(rt, a.drawn)
		a.file(rt, rows, m, func(tr movein.FileTrial, said intake.Answers) intake.Answers { return saidOf(rt, tr, said) })
	})
	t.Logf("%d orders came in, %d of them from files of several oddities, %d without an address; %d waited", a.ready, a.ready-single, a.homeless, a.asked)
	for _, counts := range []map[string]int{a.rules, a.drawn} {
		for _, name := range slices.Sorted(maps.Keys(counts)) {
			t.Logf("%5d %s", counts[name], name)
		}
	}
	if single < 40 || a.ready == single || a.asked < 40 || a.homeless < 3 {
		t.Errorf("%d came in, %d of several oddities, %d waited, %d had no address: too little was tested", a.ready, a.ready-single, a.asked, a.homeless)
	}
	for _, rule := range []string{"amount.currency", "text", "day", "day.before", "day.future", "buyer.missing", "title.missing", "outlet.missing", "number.held", "number.limit", "number.unsaid", "edition.undeclared"} {
		if a.rules[rule] == 0 {
			t.Errorf("no row was told of %s", rule)
		}
	}
}
