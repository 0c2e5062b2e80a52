package studio_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/intake"
	"solander/intake/csvfile"
	"solander/order"
	"solander/studio"
)

// must is for what a test only reads.
func must[V any](v V, err error) V {
	if err != nil {
		panic(err)
	}
	return v
}

// movingIn is a set-up studio that reads text files.
func movingIn(t testing.TB) *bed {
	t.Helper()
	b := newBed(t)
	b.Studio = studio.New(b.open(b.path), studio.Options{Clock: b.clock.Now, Files: csvfile.Read})
	return b
}

// herMapping reads her rows: a note is read for facts, "posted" means sent.
func herMapping() intake.Mapping {
	m := intake.Mapping{Format: intake.MappingFormat, Name: "her sales", Currency: "USD", Outlet: "Own shop", Country: "US", Days: intake.MonthDay, Decimal: ".", Unit: "in", Sheets: []intake.SheetMap{{Header: 1}}}
	for i, c := range []struct {
		heading string
		field   intake.Field
	}{
		{"Date", intake.SoldOn},
		{"Who", intake.Buyer},
		{"Address", intake.Address},
		{"Print", intake.Title},
		{"Size", intake.Size},
		{"No", intake.Numbers},
		{"Price", intake.Price},
		{"Paid", intake.Paid},
		{"State", intake.State},
		{"Sent", intake.SentOn},
		{"Order", intake.Ref},
		{"Note", intake.Note},
	} {
		m.Sheets[0].Columns = append(m.Sheets[0].Columns, intake.Column{Column: i, Heading: c.heading, Field: c.field})
	}
	m.Words = []intake.WordMap{{Text: "posted", Means: intake.Sent}, {Text: "waits", Means: intake.Waiting}, {Text: "called off", Means: intake.Cancelled}, {Text: "came back", Means: intake.Returned}}
	return m
}

const herRows = `Date,Who,Address,Print,Size,No,Price,Paid,State,Sent,Order,Note
3/4/2025,Ada Quill,"12 Reed Lane, Roanoke, VA 24011",Heron at dusk,11 x 14 in,2/5,90,90,posted,3/9/2025,W-1,
4/1/2025,Ada Quill,"12 Reed Lane, Roanoke, VA 24011",Low tide,8 x 10 in,17/50,60,60,posted,,W-2,
2/2/2026,Bo Fenn,"9 Mill Road, Salem, VA 24153",Low tide,8 x 10 in,,60,30,waits,,W-3,half paid
2/3/2026,Cy Dunn,"1 Oak Street, Salem, VA 24153",Low tide,8 x 10 in,18/50,60,60,waits,,W-4,
2/4/2026,Di Ely,"2 Oak Street, Salem, VA 24153",Low tide,8 x 10 in,,60,,called off,,W-5,
2/5/2026,Ed Fox,"3 Oak Street, Salem, VA 24153",Low tide,8 x 10 in,20/50,60,60,came back,2/9/2026,W-6,
`

// tried reads rows dry, with answers.
func (b *bed) tried(rows string, answers intake.Answers) (studio.FileTrialIn, studio.FileTrial) {
	b.Helper()
	table, err := b.ReadFile(b.ctx, "sales.csv", []byte(rows), nil)
	if err != nil {
		b.Fatal(err)
	}
	in := studio.FileTrialIn{Table: table, Mapping: herMapping(), Answers: answers}
	tr, err := b.TryFile(b.ctx, in, nil)
	if err != nil {
		b.Fatal(err)
	}
	return in, tr
}

// confirm answers what every edition that would be declared lacks.
func confirm(tr studio.FileTrial, answers intake.Answers) intake.Answers {
	out := intake.Answers{}
	for id, v := range answers {
		out[id] = v
	}
	for _, d := range tr.Declarations {
		limit := d.Edition.Limit
		if limit == 0 && d.Highest > 0 {
			limit = d.Highest + 3
		}
		out[d.LimitID] = fmt.Sprint(limit)
		out[d.ID(studio.PartConfirm)] = fmt.Sprint(limit)
		out[d.ID(studio.PartPaper)] = "cotton rag, 310 gsm"
		out[d.ID(studio.PartGrade)] = "fine"
	}
	return out
}

// movedIn brings her rows in.
func (b *bed) movedIn(rows string) (studio.FileTrialIn, studio.Intake) {
	b.Helper()
	_, tr := b.tried(rows, nil)
	in, tr := b.tried(rows, confirm(tr, nil))
	got, err := b.TakeIn(b.ctx, studio.TakeInIn{FileTrialIn: in, Seen: tr.Seen}, nil)
	if err != nil {
		b.Fatal(err)
	}
	if got.Intake == nil {
		b.Fatalf("nothing was brought in: %+v\n%+v\n%+v", tr.Counts, tr.Problems, tr.Questions)
	}
	return in, *got.Intake
}

func (b *bed) byRef(ref string) studio.OrderView {
	b.Helper()
	for _, r := range must(b.Orders(b.ctx, studio.OrderQuery{Limit: 500}, "")).Rows {
		if r.Ref == ref {
			return must(b.Order(b.ctx, r.ID))
		}
	}
	b.Fatalf("there is no order %s", ref)
	return studio.OrderView{}
}

func TestMoveIn(t *testing.T) {
	b := movingIn(t)
	_, before := b.tried(herRows, nil)
	if before.Counts.Ready == 6 || len(before.Declarations) != 1 || before.Declarations[0].Confirmed {
		t.Fatalf("an edition is declared without her word: %+v", before.Counts)
	}
	_, in := b.movedIn(herRows)
	if in.Made.Orders != 6 || in.Made.Open != 2 || len(in.Made.Editions) != 1 || len(in.Made.Buyers) != 5 {
		t.Errorf("made %+v", in.Made)
	}
	heron := b.byRef("W-1")
	if heron.State != order.Closed || heron.Closed != calendar.Date(2025, 3, 9) || heron.Views[0].Label != "2/5" || heron.Views[0].Standing.State != edition.Sent || !heron.Owed.IsZero() {
		t.Errorf("what was posted: %+v", heron.Order)
	}
	if len(heron.Parcels) != 0 || len(heron.Marks) != 0 {
		t.Errorf("%d parcels, %d marks", len(heron.Parcels), len(heron.Marks))
	}
	n := must(b.Number(b.ctx, b.heron.ID, edition.Number{Kind: edition.Numbered, N: 2}))
	var days []string
	for _, e := range n.History {
		days = append(days, fmt.Sprintf("%s %s", e.Step, e.Day))
		if !strings.Contains(e.Note, "brought in from sales.csv, row 2") {
			t.Errorf("note %q", e.Note)
		}
	}
	if got := strings.Join(days, ", "); got != "promise 2025-03-04, sign 2025-03-09, send 2025-03-09" {
		t.Errorf("register: %s", got)
	}
	if ada := b.byRef("W-2"); ada.Buyer != heron.Buyer || !strings.Contains(must(b.Number(b.ctx, ada.Views[0].Edition, ada.Views[0].Number)).History[2].Note, "the day is not in the file") {
		t.Errorf("the same buyer twice: %d and %d", heron.Buyer, ada.Buyer)
	}
	bo := b.byRef("W-3")
	if bo.State != order.Open || bo.Views[0].Label != "1/50" || bo.Owed != usd(30_00) || bo.Promised.Before(bo.Placed) {
		t.Errorf("what waits: %s, %s owed, state %s", bo.Views[0].Label, bo.Owed, bo.State)
	}
	if off := b.byRef("W-5"); off.State != order.Cancelled || len(off.Live()) != 0 {
		t.Errorf("called off: %s", off.State)
	}
	back := b.byRef("W-6")
	if back.State != order.Returned || must(b.Number(b.ctx, back.Lines[0].Edition, back.Lines[0].Number)).Row.Standing.State != edition.Returned {
		t.Errorf("came back: %s", back.State)
	}
	rows := must(b.Origins(b.ctx, bo.ID))
	if len(rows) != 1 || rows[0].Row != 4 || rows[0].Cells[11] != "half paid" || rows[0].File != "sales.csv" {
		t.Errorf("the row it was made of: %+v", rows)
	}
	if found := must(b.Check(b.ctx)); len(found) > 0 {
		t.Errorf("check: %+v", found)
	}
}

// TestSameFileAgain holds that neither the same file nor the same rows elsewhere make anything again.
func TestSameFileAgain(t *testing.T) {
	b := movingIn(t)
	in, _ := b.movedIn(herRows)
	for name, rows := range map[string]string{"the same file": herRows, "its rows, with another after them": herRows + `2/6/2026,Gil Hay,"4 Oak Street, Salem, VA 24153",Low tide,8 x 10 in,21/50,60,60,waits,,W-7,` + "\n"} {
		_, tr := b.tried(rows, in.Answers)
		if tr.Counts.Known != 6 {
			t.Errorf("%s: %d known", name, tr.Counts.Known)
		}
	}
	again, err := b.TakeIn(b.ctx, studio.TakeInIn{FileTrialIn: in}, nil)
	if err != nil || again.Intake != nil || again.Known != 6 {
		t.Errorf("the same file again: %+v (%v)", again, err)
	}
	if all := must(b.Intakes(b.ctx)); len(all) != 1 {
		t.Errorf("%d files", len(all))
	}
}

// TestTakeBackIntake holds that a file taken back leaves everything as before it, says so in the register, and may come again.
func TestTakeBackIntake(t *testing.T) {
	b := movingIn(t)
	before := b.standings()
	in, made := b.movedIn(herRows)
	if err := b.UndoIntake(b.ctx, made.ID, ""); !fault.Is(err, fault.Invalid) {
		t.Errorf("without a reason: %v", err)
	}
	if err := b.UndoIntake(b.ctx, made.ID, "the wrong year"); err != nil {
		t.Fatal(err)
	}
	if after := b.standings(); after != before {
		t.Errorf("before:\n%s\nafter:\n%s", before, after)
	}
	n := must(b.Number(b.ctx, b.heron.ID, edition.Number{Kind: edition.Numbered, N: 2}))
	if last := n.History[len(n.History)-1]; len(n.History) != 6 || last.Step != edition.Correct || !strings.Contains(last.Note, "intake taken back: the wrong year") || n.Row.OrderMark != "" {
		t.Errorf("register: %+v", n)
	}
	if err := b.UndoIntake(b.ctx, made.ID, "again"); !fault.Is(err, fault.Refused) {
		t.Errorf("twice: %v", err)
	}
	if found := must(b.Check(b.ctx)); len(found) > 0 {
		t.Errorf("check: %+v", found)
	}
	got, err := b.TakeIn(b.ctx, studio.TakeInIn{FileTrialIn: in}, nil)
	if err != nil || got.Intake == nil || got.Intake.Made.Orders != 6 || len(got.Intake.Made.Buyers) != 0 || len(got.Intake.Made.Editions) != 0 {
		t.Errorf("once more: %+v (%v)", got, err)
	}
	if found := must(b.Check(b.ctx)); len(found) > 0 {
		t.Errorf("check: %+v", found)
	}
}

// standings tells all that a person sees of numbers, stock, orders, buyers and what is owed.
func (b *bed) standings() string {
	b.Helper()
	var out strings.Builder
	for _, r := range must(b.Drawer(b.ctx)) {
		if r.Title == "Low tide" {
			fmt.Fprintf(&out, "") // declared by the file: it stays, with every number free
			for _, n := range must(b.Edition(b.ctx, r.ID)).Numbers {
				if n.Standing.State != edition.Free || n.OrderMark != "" {
					fmt.Fprintf(&out, "%s of %s is %s\n", n.Number, r.Title, n.Standing.State)
				}
			}
			continue
		}
		fmt.Fprintf(&out, "%s %v sold %d unsold %d on hand %d loose %d waiting %d\n", r.Title, r.Counts, r.Sold, r.Unsold, r.OnHand, r.Loose, r.Waiting)
	}
	page := must(b.Orders(b.ctx, studio.OrderQuery{Limit: 500}, ""))
	fmt.Fprintf(&out, "%d orders, open %v\n", len(page.Rows), page.Open)
	found := must(b.Find(b.ctx, "quill"))
	fmt.Fprintf(&out, "%d buyers, %d orders found\n", len(found.Buyers), len(found.Orders))
	return out.String()
}

func TestTakeBackIntakeRefused(t *testing.T) {
	for name, build := range map[string]func(b *bed){
		"a payment": func(b *bed) {
			o := b.byRef("W-3")
			if err := b.Pay(b.ctx, studio.PaymentIn{Order: o.ID, Amount: usd(5_00)}); err != nil {
				b.Fatal(err)
			}
		},
		"a cancelled order": func(b *bed) {
			if err := b.Cancel(b.ctx, studio.CancelIn{Order: b.byRef("W-4").ID, Reason: "changed her mind"}); err != nil {
				b.Fatal(err)
			}
		},
		"an order of an edition that it declared": func(b *bed) {
			low := b.byRef("W-4").Lines[0].Edition
			if _, err := b.TakeOrder(b.ctx, studio.Sale{Outlet: b.own.ID, Buyer: order.Buyer{Name: "Ida Jay"}, ShipTo: home(), Lines: []studio.SaleLine{{Edition: low}}}); err != nil {
				b.Fatal(err)
			}
		},
	} {
		t.Run(name, func(t *testing.T) {
			b := movingIn(t)
			_, made := b.movedIn(herRows)
			build(b)
			before := b.standings()
			if v := must(b.Intake(b.ctx, made.ID)); len(v.InTheWay) != 1 {
				t.Errorf("in the way: %v", v.InTheWay)
			}
			if err := b.UndoIntake(b.ctx, made.ID, "wrong"); !fault.Is(err, fault.Refused) {
				t.Errorf("got %v", err)
			}
			if after := b.standings(); after != before {
				t.Errorf("something changed:\n%s\n%s", before, after)
			}
		})
	}
}

// TestNumberTwice holds that no number is given twice: neither within a file nor one that an order holds.
func TestNumberTwice(t *testing.T) {
	b := movingIn(t)
	twice := `Date,Who,Address,Print,Size,No,Price,Paid,State,Sent,Order,Note
3/4/2025,Ada Quill,"12 Reed Lane, Roanoke, VA 24011",Heron at dusk,11 x 14 in,2/5,90,90,posted,3/9/2025,W-1,
3/5/2025,Bo Fenn,"9 Mill Road, Salem, VA 24153",Heron at dusk,11 x 14 in,2/5,90,90,posted,3/9/2025,W-2,
`
	in, tr := b.tried(twice, nil)
	if tr.Counts.Ready != 0 || tr.Free() {
		t.Fatalf("ready: %d", tr.Counts.Ready)
	}
	both := 0
	for _, p := range tr.Problems {
		if p.Rule == "number.twice" && len(p.Others) == 1 && p.Others[0].Row+p.Row == 5 {
			both++
		}
	}
	if both != 2 {
		t.Errorf("%d problems name both rows: %+v", both, tr.Problems)
	}
	if _, err := b.TakeIn(b.ctx, studio.TakeInIn{FileTrialIn: in, Whole: true}, nil); !fault.Is(err, fault.Refused) {
		t.Errorf("whole: %v", err)
	}
}

func TestChangedSinceSeen(t *testing.T) {
	b := movingIn(t)
	_, tr := b.tried(herRows, nil)
	in, tr := b.tried(herRows, confirm(tr, nil))
	if _, err := b.TakeOrder(b.ctx, studio.Sale{Outlet: b.own.ID, Buyer: order.Buyer{Name: "Ida Jay"}, ShipTo: home(), Lines: []studio.SaleLine{{Edition: b.heron.ID, Number: "2"}}}); err != nil {
		t.Fatal(err)
	}
	_, err := b.TakeIn(b.ctx, studio.TakeInIn{FileTrialIn: in, Seen: tr.Seen}, nil)
	if !fault.Is(err, fault.Refused) {
		t.Errorf("got %v", err)
	}
	if all := must(b.Intakes(b.ctx)); len(all) != 0 {
		t.Errorf("%d files were brought in", len(all))
	}
}

// TestUnsaidNumberOfWhatLeft holds that no number is invented for a print that is out of the house.
func TestUnsaidNumberOfWhatLeft(t *testing.T) {
	b := movingIn(t)
	_, tr := b.tried(`Date,Who,Address,Print,Size,No,Price,Paid,State,Sent,Order,Note
3/4/2025,Ada Quill,"12 Reed Lane, Roanoke, VA 24011",Heron at dusk,11 x 14 in,,90,90,posted,3/9/2025,W-1,
`, nil)
	found := false
	for _, p := range tr.Problems {
		found = found || p.Rule == "number.unsaid" && p.Bars && p.Row == 2
	}
	if tr.Counts.Ready != 0 || tr.Counts.Asked != 1 || !found {
		t.Errorf("%+v %+v", tr.Counts, tr.Problems)
	}
}

// TestRacingIntakes brings one file in by sixteen hands at once: it comes in once.
func TestRacingIntakes(t *testing.T) {
	b := movingIn(t)
	_, tr := b.tried(herRows, nil)
	in, tr := b.tried(herRows, confirm(tr, nil))
	var wg sync.WaitGroup
	took := make([]bool, 16)
	errs := make([]error, 16)
	for i := range 16 {
		wg.Go(func() {
			got, err := b.TakeIn(context.WithoutCancel(b.ctx), studio.TakeInIn{FileTrialIn: in, Seen: tr.Seen}, nil)
			took[i], errs[i] = got.Intake != nil, err
		})
	}
	wg.Wait()
	n := 0
	for _, ok := range took {
		if ok {
			n++
		}
	}
	if err := errors.Join(errs...); err != nil || n != 1 {
		t.Errorf("it came in %d times (%v)", n, err)
	}
	if page := must(b.Orders(b.ctx, studio.OrderQuery{Limit: 500}, "")); len(page.Rows) != 6 {
		t.Errorf("%d orders", len(page.Rows))
	}
}

func TestArrivals(t *testing.T) {
	b := movingIn(t)
	for _, bad := range []studio.ArriveIn{{Name: "a.csv"}, {Name: "a.csv", Body: make([]byte, studio.MaxFile+1)}} {
		if _, err := b.Arrive(b.ctx, bad); !fault.Is(err, fault.Invalid) && !fault.Is(err, fault.TooLarge) {
			t.Errorf("%d bytes: %v", len(bad.Body), err)
		}
	}
	a := must(b.Arrive(b.ctx, studio.ArriveIn{Name: `C:\Users\her\sales.csv`, Body: []byte(herRows)}))
	if a.Name != "sales.csv" || a.Source != studio.FromDesk {
		t.Errorf("%+v", a)
	}
	if again := must(b.Arrive(b.ctx, studio.ArriveIn{Name: "sales.csv", Body: []byte(herRows)})); again.ID != a.ID {
		t.Errorf("the same file waits twice: %d and %d", a.ID, again.ID)
	}
	if err := b.Decide(b.ctx, a.ID, herMapping()); err != nil {
		t.Fatal(err)
	}
	if err := b.Answer(b.ctx, a.ID, intake.Answers{"a": "yes", "b": "no"}); err != nil {
		t.Fatal(err)
	}
	if err := b.Answer(b.ctx, a.ID, intake.Answers{"b": ""}); err != nil {
		t.Fatal(err)
	}
	got, body, err := b.Arrival(b.ctx, a.ID)
	if err != nil || string(body) != herRows || len(got.Answers) != 1 || got.Mapping.Name != "her sales" {
		t.Errorf("%+v (%v)", got, err)
	}
	b.clock.set(2026, 5, 4) // two months later nobody asked for it any more
	if _, _, err := b.Arrival(b.ctx, a.ID); !fault.Is(err, fault.Missing) {
		t.Errorf("got %v", err)
	}
	must(b.Arrive(b.ctx, studio.ArriveIn{Name: "b.csv", Body: []byte("x")}))
	if all := must(b.Arrivals(b.ctx)); len(all) != 1 || all[0].Name != "b.csv" {
		t.Errorf("waiting: %+v", all)
	}
}
