package bed

import (
	"fmt"
	"strings"
	"testing"

	"solander/book"
	"solander/edition"
	"solander/intake"
	"solander/intake/csvfile"
	"solander/intake/kept"
	"solander/movein"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
)

// Must is for what a test only reads.
func Must[V any](v V, err error) V {
	if err != nil {
		panic(err)
	}
	return v
}

// MovingIn is a set-up studio that reads text files.
func MovingIn(t testing.TB) *Bed {
	t.Helper()
	b := New(t)
	b.Studio = studio.New(b.Open(b.Path), studio.Options{Clock: b.Clock.Now, Files: csvfile.Read})
	return b
}

// HerMapping reads her rows: a note is read for facts, "posted" means sent.
func HerMapping() intake.Mapping {
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

// Tried reads rows dry, with answers.
func (b *Bed) Tried(rows string, answers intake.Answers) (movein.FileTrialIn, movein.FileTrial) {
	b.Helper()
	table, err := movein.ReadFile(b.Ctx, b.Studio, "sales.csv", []byte(rows), nil)
	if err != nil {
		b.Fatal(err)
	}
	in := movein.FileTrialIn{Table: table, Mapping: HerMapping(), Answers: answers}
	tr, err := movein.TryFile(b.Ctx, b.Studio, in, nil)
	if err != nil {
		b.Fatal(err)
	}
	return in, tr
}

// Confirm answers what every edition that would be declared lacks.
func Confirm(tr movein.FileTrial, answers intake.Answers) intake.Answers {
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
		out[d.ID(movein.PartConfirm)] = fmt.Sprint(limit)
		out[d.ID(movein.PartPaper)] = "cotton rag, 310 gsm"
		out[d.ID(movein.PartGrade)] = "fine"
	}
	return out
}

// MovedIn brings her rows in.
func (b *Bed) MovedIn(rows string) (movein.FileTrialIn, kept.Intake) {
	b.Helper()
	_, tr := b.Tried(rows, nil)
	in, tr := b.Tried(rows, Confirm(tr, nil))
	got, err := movein.TakeIn(b.Ctx, b.Studio, movein.TakeInIn{FileTrialIn: in, Seen: tr.Seen}, nil)
	if err != nil {
		b.Fatal(err)
	}
	if got.Intake == nil {
		b.Fatalf("nothing was brought in: %+v\n%+v\n%+v", tr.Counts, tr.Problems, tr.Questions)
	}
	return in, *got.Intake
}

func (b *Bed) ByRef(ref string) studio.OrderView {
	b.Helper()
	for _, r := range Must(book.Orders(b.Ctx, b.Studio, studio.OrderQuery{Limit: 500}, "")).Rows {
		if r.Ref == ref {
			return Must(book.Order(b.Ctx, b.Studio, r.ID))
		}
	}
	b.Fatalf("there is no order %s", ref)
	return studio.OrderView{}
}

// Standings tells all that a person sees of numbers, stock, orders, buyers and what is owed.
func (b *Bed) Standings() string {
	b.Helper()
	var out strings.Builder
	for _, r := range Must(stockroom.Drawer(b.Ctx, b.Studio)) {
		if r.Title == "Low tide" {
			fmt.Fprintf(&out, "") // declared by the file: it stays, with every number free
			for _, n := range Must(register.Edition(b.Ctx, b.Studio, r.ID)).Numbers {
				if n.Standing.State != edition.Free || n.OrderMark != "" {
					fmt.Fprintf(&out, "%s of %s is %s\n", n.Number, r.Title, n.Standing.State)
				}
			}
			continue
		}
		fmt.Fprintf(&out, "%s %v sold %d unsold %d on hand %d loose %d waiting %d\n", r.Title, r.Counts, r.Sold, r.Unsold, r.OnHand, r.Loose, r.Waiting)
	}
	page := Must(book.Orders(b.Ctx, b.Studio, studio.OrderQuery{Limit: 500}, ""))
	fmt.Fprintf(&out, "%d orders, open %v\n", len(page.Rows), page.Open)
	found := Must(book.Find(b.Ctx, b.Studio, "quill"))
	fmt.Fprintf(&out, "%d buyers, %d orders found\n", len(found.Buyers), len(found.Orders))
	return out.String()
}
