package labelling_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/book"
	"solander/dayplan"
	"solander/dispatch"
	"solander/fault"
	"solander/house"
	"solander/internal/bed"
	"solander/labelling"
	"solander/measure"
	"solander/order"
	"solander/postage"
	"solander/register"
	"solander/studio"
	"solander/weighing"
)

func TestPostageOutAndBack(t *testing.T) {
	b := bed.New(t)
	if _, err := labelling.PostageOut(b.Ctx, b.Studio, "plain", &strings.Builder{}); !fault.Is(err, fault.Refused) {
		t.Errorf("nothing is packed: %v", err)
	}
	b.Packed(b.Heron.ID)
	b.Packed(b.Heron.ID)
	b.Packed(b.Heron.ID)
	var out strings.Builder
	n, err := labelling.PostageOut(b.Ctx, b.Studio, "Plain", &out)
	b.Must(err)
	rows := strings.Split(out.String(), "\r\n")
	if n != 3 || len(rows) != 5 || !strings.HasPrefix(rows[1], "S-1001,Ada Quill,") || !strings.HasSuffix(rows[3], ",Test ground") {
		t.Fatalf("%d rows: %q", n, rows)
	}
	// What the scale said of a parcel stands in place of what was planned.
	heavy := b.Order(1).Parcels[0].Plan.Mass + measure.Ounce
	if _, err := weighing.Weigh(b.Ctx, b.Studio, weighing.WeighIn{Parcel: 1, Mass: heavy}); err != nil {
		t.Fatal(err)
	}
	var weighed strings.Builder
	_, err = labelling.PostageOut(b.Ctx, b.Studio, "plain", &weighed)
	b.Must(err)
	if again := strings.Split(weighed.String(), "\r\n"); again[1] == rows[1] || again[2] != rows[2] {
		t.Errorf("one parcel was weighed: %q, before %q", again[1:3], rows[1:3])
	}
	if k, err := labelling.ToLabel(b.Ctx, b.Studio); k != 3 || err != nil {
		t.Errorf("%d to label, %v", k, err)
	}

	// A dry run tells every problem by its row and keeps nothing.
	none := []string{"packed  0.00", "packed  0.00", "packed  0.00"}
	const head = "Parcel,Tracking,Paid,Service\n"
	bad := head + "S-1001," + bed.S10 + ",5.00,ground\nS-1002," + bed.S10 + ",5.00,\nS-9,12345678,1,\nS-1003,1,x,\nS-1003,12345679,1000000,\n"
	rep := b.CameBack(bad, false)
	if len(rep.Labels) != 1 || rep.Done || rep.Rows != 3 {
		t.Errorf("%+v", rep)
	}
	var told []string
	for _, p := range rep.Problems {
		told = append(told, string(rune('0'+p.Row))+" "+p.Column)
	}
	if diff := cmp.Diff([]string{"3 Tracking", "4 Parcel", "5 Paid", "6 Parcel"}, told); diff != "" {
		t.Errorf("%+v %s", rep.Problems, diff)
	}
	if _, err := labelling.PostageBack(b.Ctx, b.Studio, "plain", strings.NewReader(bad), true); !fault.Is(err, fault.Refused) {
		t.Errorf("a file with problems: %v", err)
	}
	if diff := cmp.Diff(none, b.Labels()); diff != "" {
		t.Error(diff)
	}

	// A wrong check digit is told, not refused: it is what the label says.
	good := head + "S-1001," + bed.S10 + ",5.00,ground\ns-1002,RB473124820US,6.10,priority\nS-1003/1,12345678,4,by hand\n"
	if rep = b.CameBack(good, false); len(rep.Problems) > 0 || rep.Labels[0].Doubt != "" || !strings.Contains(rep.Labels[1].Doubt, "check digit") {
		t.Errorf("%+v", rep)
	}
	if diff := cmp.Diff(none, b.Labels()); diff != "" {
		t.Error(diff)
	}
	if rep = b.CameBack(good, true); !rep.Done || len(rep.Labels) != 3 {
		t.Errorf("%+v", rep)
	}
	want := []string{"labelled " + bed.S10 + " 5.00", "labelled RB473124820US 6.10", "labelled 12345678 4.00"}
	if diff := cmp.Diff(want, b.Labels()); diff != "" {
		t.Error(diff)
	}
	if p := b.Order(2).Parcels[0]; p.Service != "priority" {
		t.Errorf("by %s", p.Service)
	}

	// The same file again changes nothing; another number for a labelled parcel is a problem.
	marks := b.Latest(studio.MarkLabelled).ID
	if rep = b.CameBack(good, true); !rep.Done || len(rep.Labels) != 0 || rep.Same != 3 || b.Latest(studio.MarkLabelled).ID != marks {
		t.Errorf("again: %+v", rep)
	}
	if rep = b.CameBack(head+"S-1001,12345670,5.00,\n", false); len(rep.Problems) != 1 || rep.Problems[0].Column != "Parcel" {
		t.Errorf("%+v", rep)
	}
	b.Must(dispatch.Undo(b.Ctx, b.Studio, marks))
	b.Sound()
}

func TestLayouts(t *testing.T) {
	b := bed.New(t)
	all, err := labelling.Layouts(b.Ctx, b.Studio)
	b.Must(err)
	l := all[0]
	l.Name, l.Separator = " Counter ", "tab"
	b.Must(labelling.SaveLayout(b.Ctx, b.Studio, "", l))
	b.Refused(labelling.SaveLayout(b.Ctx, b.Studio, "", l), fault.Taken, "name", "Counter")
	l.Name = "Post"
	b.Must(labelling.SaveLayout(b.Ctx, b.Studio, "counter", l))
	b.Refused(labelling.SaveLayout(b.Ctx, b.Studio, "counter", l), fault.Missing, "name", "")
	b.Refused(labelling.SaveLayout(b.Ctx, b.Studio, "post", postage.Layout{Name: "Post"}), fault.Invalid, "columns", "")
	names := func() (out []string) {
		all, err := labelling.Layouts(b.Ctx, b.Studio)
		b.Must(err)
		for _, l := range all {
			out = append(out, l.Name)
		}
		return out
	}
	if diff := cmp.Diff([]string{"Post", "plain"}, names()); diff != "" {
		t.Error(diff)
	}
	b.Must(labelling.DropLayout(b.Ctx, b.Studio, "plain"))
	if diff := cmp.Diff([]string{"Post"}, names()); diff != "" {
		t.Error(diff)
	}
	b.Refused(labelling.DropLayout(b.Ctx, b.Studio, "plain"), fault.Missing, "layout", "")
	set, err := b.Settings(b.Ctx)
	b.Must(err)
	b.Must(house.ChangeSettings(b.Ctx, b.Studio, studio.Whole(set))) // the settings keep them
	if len(names()) != 1 {
		t.Error("the layouts are gone")
	}
}

// Puerto Rico is domestic: the invented services that do not go abroad serve it, and Canada they do not.
func TestTerritoriesAreDomestic(t *testing.T) {
	b := bed.New(t)
	b.GoesAbroadTo("IE")
	for country, domestic := range map[string]bool{"PR": true, "GU": true, "CA": false} {
		in := b.Sale()
		in.ShipTo = order.Address{Name: "Ada Quill", Line1: "1", City: "Town", Region: "ON", Postcode: "00926", Country: country}
		v := b.Take(in)
		b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: v.Owed}))
		b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)))
		if _, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: v.ID}); (err == nil) != domestic {
			t.Errorf("%s: %v", country, err)
		}
	}
}

// Where no price list goes, a parcel is packed all the same, and its label asks for what was paid.
func TestALabelWithoutAPriceList(t *testing.T) {
	b := bed.New(t)
	in := b.Sale()
	in.ShipTo = order.Address{Name: "Jo Meld", Line1: "4 Quay", City: "Cork", Country: "IE"}
	v := b.Take(in)
	b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: v.Owed}))
	b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)))
	_, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: v.ID})
	b.Refused(err, fault.Refused, "", "what goes abroad is tracked") // nobody promises that for the counter
	b.ChangeSettings(func(s *studio.Settings) { s.Rules = nil })
	parcels, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: v.ID})
	b.Must(err)
	p := parcels[0]
	if p.Plan.Card != dayplan.UnlistedCard || len(p.Warnings) != 1 || !strings.Contains(p.Warnings[0], "postage is not counted") {
		t.Errorf("packed by %s: %v", p.Plan.Card, p.Warnings)
	}
	b.Refused(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: p.ID, Paid: bed.USD(0)}), fault.Invalid, "paid", "no price list")
	b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: p.ID, Service: "carried by a friend", Paid: bed.USD(0)}))
	b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: p.ID, Paid: bed.USD(19_50)}))
	_, err = dispatch.HandOver(b.Ctx, b.Studio, dispatch.HandOverIn{Parcels: []int64{p.ID}})
	b.Must(err)
	if got := b.Order(v.ID).Parcels[0]; got.Paid != bed.USD(19_50) || got.State != studio.HandedOver {
		t.Errorf("%s, %s", got.State, got.Paid)
	}
	b.Sound()
}
