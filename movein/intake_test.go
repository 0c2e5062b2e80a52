package movein_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"

	"solander/book"
	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/house"
	"solander/intake"
	"solander/intake/kept"
	"solander/internal/bed"
	"solander/movein"
	"solander/order"
	"solander/register"
	"solander/studio"
)

const herRows = `Date,Who,Address,Print,Size,No,Price,Paid,State,Sent,Order,Note
3/4/2025,Ada Quill,"12 Reed Lane, Roanoke, VA 24011",Heron at dusk,11 x 14 in,2/5,90,90,posted,3/9/2025,W-1,
4/1/2025,Ada Quill,"12 Reed Lane, Roanoke, VA 24011",Low tide,8 x 10 in,17/50,60,60,posted,,W-2,
2/2/2026,Bo Fenn,"9 Mill Road, Salem, VA 24153",Low tide,8 x 10 in,,60,30,waits,,W-3,half paid
2/3/2026,Cy Dunn,"1 Oak Street, Salem, VA 24153",Low tide,8 x 10 in,18/50,60,60,waits,,W-4,
2/4/2026,Di Ely,"2 Oak Street, Salem, VA 24153",Low tide,8 x 10 in,,60,,called off,,W-5,
2/5/2026,Ed Fox,"3 Oak Street, Salem, VA 24153",Low tide,8 x 10 in,20/50,60,60,came back,2/9/2026,W-6,
`

func TestMoveIn(t *testing.T) {
	b := bed.MovingIn(t)
	_, before := b.Tried(herRows, nil)
	if before.Counts.Ready == 6 || len(before.Declarations) != 1 || before.Declarations[0].Confirmed {
		t.Fatalf("an edition is declared without her word: %+v", before.Counts)
	}
	_, in := b.MovedIn(herRows)
	if in.Made.Orders != 6 || in.Made.Open != 2 || len(in.Made.Editions) != 1 || len(in.Made.Buyers) != 5 {
		t.Errorf("made %+v", in.Made)
	}
	heron := b.ByRef("W-1")
	if heron.State != order.Closed || heron.Closed != calendar.Date(2025, 3, 9) || heron.Views[0].Label != "2/5" || heron.Views[0].Standing.State != edition.Sent || !heron.Owed.IsZero() {
		t.Errorf("what was posted: %+v", heron.Order)
	}
	if len(heron.Parcels) != 0 || len(heron.Marks) != 0 {
		t.Errorf("%d parcels, %d marks", len(heron.Parcels), len(heron.Marks))
	}
	n := bed.Must(register.Number(b.Ctx, b.Studio, b.Heron.ID, edition.Number{Kind: edition.Numbered, N: 2}))
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
	if ada := b.ByRef("W-2"); ada.Buyer != heron.Buyer || !strings.Contains(bed.Must(register.Number(b.Ctx, b.Studio, ada.Views[0].Edition, ada.Views[0].Number)).History[2].Note, "the day is not in the file") {
		t.Errorf("the same buyer twice: %d and %d", heron.Buyer, ada.Buyer)
	}
	bo := b.ByRef("W-3")
	if bo.State != order.Open || bo.Views[0].Label != "1/50" || bo.Owed != bed.USD(30_00) || bo.Promised.Before(bo.Placed) {
		t.Errorf("what waits: %s, %s owed, state %s", bo.Views[0].Label, bo.Owed, bo.State)
	}
	if off := b.ByRef("W-5"); off.State != order.Cancelled || len(off.Live()) != 0 {
		t.Errorf("called off: %s", off.State)
	}
	back := b.ByRef("W-6")
	if back.State != order.Returned || bed.Must(register.Number(b.Ctx, b.Studio, back.Lines[0].Edition, back.Lines[0].Number)).Row.Standing.State != edition.Returned {
		t.Errorf("came back: %s", back.State)
	}
	rows := bed.Must(movein.Origins(b.Ctx, b.Studio, bo.ID))
	if len(rows) != 1 || rows[0].Row != 4 || rows[0].Cells[11] != "half paid" || rows[0].File != "sales.csv" {
		t.Errorf("the row it was made of: %+v", rows)
	}
	if found := bed.Must(house.Check(b.Ctx, b.Studio)); len(found) > 0 {
		t.Errorf("check: %+v", found)
	}
}

// TestSameFileAgain holds that neither the same file nor the same rows elsewhere make anything again.
func TestSameFileAgain(t *testing.T) {
	b := bed.MovingIn(t)
	in, _ := b.MovedIn(herRows)
	for name, rows := range map[string]string{"the same file": herRows, "its rows, with another after them": herRows + `2/6/2026,Gil Hay,"4 Oak Street, Salem, VA 24153",Low tide,8 x 10 in,21/50,60,60,waits,,W-7,` + "\n"} {
		_, tr := b.Tried(rows, in.Answers)
		if tr.Counts.Known != 6 {
			t.Errorf("%s: %d known", name, tr.Counts.Known)
		}
	}
	again, err := movein.TakeIn(b.Ctx, b.Studio, movein.TakeInIn{FileTrialIn: in}, nil)
	if err != nil || again.Intake != nil || again.Known != 6 {
		t.Errorf("the same file again: %+v (%v)", again, err)
	}
	if all := bed.Must(movein.Intakes(b.Ctx, b.Studio)); len(all) != 1 {
		t.Errorf("%d files", len(all))
	}
}

// TestTakeBackIntake holds that a file taken back leaves everything as before it, says so in the register, and may come again.
func TestTakeBackIntake(t *testing.T) {
	b := bed.MovingIn(t)
	before := b.Standings()
	in, made := b.MovedIn(herRows)
	if err := movein.UndoIntake(b.Ctx, b.Studio, made.ID, ""); !fault.Is(err, fault.Invalid) {
		t.Errorf("without a reason: %v", err)
	}
	if err := movein.UndoIntake(b.Ctx, b.Studio, made.ID, "the wrong year"); err != nil {
		t.Fatal(err)
	}
	if after := b.Standings(); after != before {
		t.Errorf("before:\n%s\nafter:\n%s", before, after)
	}
	n := bed.Must(register.Number(b.Ctx, b.Studio, b.Heron.ID, edition.Number{Kind: edition.Numbered, N: 2}))
	if last := n.History[len(n.History)-1]; len(n.History) != 6 || last.Step != edition.Correct || !strings.Contains(last.Note, "intake taken back: the wrong year") || n.Row.OrderMark != "" {
		t.Errorf("register: %+v", n)
	}
	if err := movein.UndoIntake(b.Ctx, b.Studio, made.ID, "again"); !fault.Is(err, fault.Refused) {
		t.Errorf("twice: %v", err)
	}
	if found := bed.Must(house.Check(b.Ctx, b.Studio)); len(found) > 0 {
		t.Errorf("check: %+v", found)
	}
	got, err := movein.TakeIn(b.Ctx, b.Studio, movein.TakeInIn{FileTrialIn: in}, nil)
	if err != nil || got.Intake == nil || got.Intake.Made.Orders != 6 || len(got.Intake.Made.Buyers) != 0 || len(got.Intake.Made.Editions) != 0 {
		t.Errorf("once more: %+v (%v)", got, err)
	}
	if found := bed.Must(house.Check(b.Ctx, b.Studio)); len(found) > 0 {
		t.Errorf("check: %+v", found)
	}
}

func TestTakeBackIntakeRefused(t *testing.T) {
	for name, build := range map[string]func(b *bed.Bed){
		"a payment": func(b *bed.Bed) {
			o := b.ByRef("W-3")
			if err := book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: o.ID, Amount: bed.USD(5_00)}); err != nil {
				b.Fatal(err)
			}
		},
		"a cancelled order": func(b *bed.Bed) {
			if err := book.Cancel(b.Ctx, b.Studio, book.CancelIn{Order: b.ByRef("W-4").ID, Reason: "changed her mind"}); err != nil {
				b.Fatal(err)
			}
		},
		"an order of an edition that it declared": func(b *bed.Bed) {
			low := b.ByRef("W-4").Lines[0].Edition
			if _, err := book.TakeOrder(b.Ctx, b.Studio, book.Sale{Outlet: b.Own.ID, Buyer: order.Buyer{Name: "Ida Jay"}, ShipTo: bed.Home(), Lines: []book.SaleLine{{Edition: low}}}); err != nil {
				b.Fatal(err)
			}
		},
	} {
		t.Run(name, func(t *testing.T) {
			b := bed.MovingIn(t)
			_, made := b.MovedIn(herRows)
			build(b)
			before := b.Standings()
			if v := bed.Must(movein.Intake(b.Ctx, b.Studio, made.ID)); len(v.InTheWay) != 1 {
				t.Errorf("in the way: %v", v.InTheWay)
			}
			if err := movein.UndoIntake(b.Ctx, b.Studio, made.ID, "wrong"); !fault.Is(err, fault.Refused) {
				t.Errorf("got %v", err)
			}
			if after := b.Standings(); after != before {
				t.Errorf("something changed:\n%s\n%s", before, after)
			}
		})
	}
}

// TestNumberTwice holds that no number is given twice: neither within a file nor one that an order holds.
func TestNumberTwice(t *testing.T) {
	b := bed.MovingIn(t)
	twice := `Date,Who,Address,Print,Size,No,Price,Paid,State,Sent,Order,Note
3/4/2025,Ada Quill,"12 Reed Lane, Roanoke, VA 24011",Heron at dusk,11 x 14 in,2/5,90,90,posted,3/9/2025,W-1,
3/5/2025,Bo Fenn,"9 Mill Road, Salem, VA 24153",Heron at dusk,11 x 14 in,2/5,90,90,posted,3/9/2025,W-2,
`
	in, tr := b.Tried(twice, nil)
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
	if _, err := movein.TakeIn(b.Ctx, b.Studio, movein.TakeInIn{FileTrialIn: in, Whole: true}, nil); !fault.Is(err, fault.Refused) {
		t.Errorf("whole: %v", err)
	}
}

func TestChangedSinceSeen(t *testing.T) {
	b := bed.MovingIn(t)
	_, tr := b.Tried(herRows, nil)
	in, tr := b.Tried(herRows, bed.Confirm(tr, nil))
	if _, err := book.TakeOrder(b.Ctx, b.Studio, book.Sale{Outlet: b.Own.ID, Buyer: order.Buyer{Name: "Ida Jay"}, ShipTo: bed.Home(), Lines: []book.SaleLine{{Edition: b.Heron.ID, Number: "2"}}}); err != nil {
		t.Fatal(err)
	}
	_, err := movein.TakeIn(b.Ctx, b.Studio, movein.TakeInIn{FileTrialIn: in, Seen: tr.Seen}, nil)
	if !fault.Is(err, fault.Refused) {
		t.Errorf("got %v", err)
	}
	if all := bed.Must(movein.Intakes(b.Ctx, b.Studio)); len(all) != 0 {
		t.Errorf("%d files were brought in", len(all))
	}
}

// TestUnsaidNumberOfWhatLeft holds that no number is invented for a print that is out of the house.
func TestUnsaidNumberOfWhatLeft(t *testing.T) {
	b := bed.MovingIn(t)
	_, tr := b.Tried(`Date,Who,Address,Print,Size,No,Price,Paid,State,Sent,Order,Note
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
	b := bed.MovingIn(t)
	_, tr := b.Tried(herRows, nil)
	in, tr := b.Tried(herRows, bed.Confirm(tr, nil))
	var wg sync.WaitGroup
	took := make([]bool, 16)
	errs := make([]error, 16)
	for i := range 16 {
		wg.Go(func() {
			got, err := movein.TakeIn(context.WithoutCancel(b.Ctx), b.Studio, movein.TakeInIn{FileTrialIn: in, Seen: tr.Seen}, nil)
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
	if page := bed.Must(book.Orders(b.Ctx, b.Studio, studio.OrderQuery{Limit: 500}, "")); len(page.Rows) != 6 {
		t.Errorf("%d orders", len(page.Rows))
	}
}

func TestArrivals(t *testing.T) {
	b := bed.MovingIn(t)
	for _, bad := range []movein.ArriveIn{{Name: "a.csv"}, {Name: "a.csv", Body: make([]byte, movein.MaxFile+1)}} {
		if _, err := movein.Arrive(b.Ctx, b.Studio, bad); !fault.Is(err, fault.Invalid) && !fault.Is(err, fault.TooLarge) {
			t.Errorf("%d bytes: %v", len(bad.Body), err)
		}
	}
	a := bed.Must(movein.Arrive(b.Ctx, b.Studio, movein.ArriveIn{Name: `C:\Users\her\sales.csv`, Body: []byte(herRows)}))
	if a.Name != "sales.csv" || a.Source != kept.FromDesk {
		t.Errorf("%+v", a)
	}
	if again := bed.Must(movein.Arrive(b.Ctx, b.Studio, movein.ArriveIn{Name: "sales.csv", Body: []byte(herRows)})); again.ID != a.ID {
		t.Errorf("the same file waits twice: %d and %d", a.ID, again.ID)
	}
	if err := movein.Decide(b.Ctx, b.Studio, a.ID, bed.HerMapping()); err != nil {
		t.Fatal(err)
	}
	if err := movein.Answer(b.Ctx, b.Studio, a.ID, intake.Answers{"a": "yes", "b": "no"}); err != nil {
		t.Fatal(err)
	}
	if err := movein.Answer(b.Ctx, b.Studio, a.ID, intake.Answers{"b": ""}); err != nil {
		t.Fatal(err)
	}
	got, body, err := movein.Arrival(b.Ctx, b.Studio, a.ID)
	if err != nil || string(body) != herRows || len(got.Answers) != 1 || got.Mapping.Name != "her sales" {
		t.Errorf("%+v (%v)", got, err)
	}
	b.Clock.Set(2026, 5, 4) // two months later nobody asked for it any more
	if _, _, err := movein.Arrival(b.Ctx, b.Studio, a.ID); !fault.Is(err, fault.Missing) {
		t.Errorf("got %v", err)
	}
	bed.Must(movein.Arrive(b.Ctx, b.Studio, movein.ArriveIn{Name: "b.csv", Body: []byte("x")}))
	if all := bed.Must(movein.Arrivals(b.Ctx, b.Studio)); len(all) != 1 || all[0].Name != "b.csv" {
		t.Errorf("waiting: %+v", all)
	}
}
