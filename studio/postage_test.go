package studio_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/fault"
	"solander/order"
	"solander/postage"
	"solander/studio"
)

func (b *bed) cameBack(text string, commit bool) studio.PostageReport {
	b.Helper()
	rep, err := b.PostageBack(b.ctx, "plain", strings.NewReader(text), commit)
	b.must(err)
	return rep
}

func (b *bed) labels() (out []string) {
	b.Helper()
	for _, id := range []int64{1, 2, 3} {
		for _, p := range b.order(id).Parcels {
			out = append(out, string(p.State)+" "+p.Tracking+" "+p.Paid.Plain())
		}
	}
	return out
}

func TestPostageOutAndBack(t *testing.T) {
	b := newBed(t)
	if _, err := b.PostageOut(b.ctx, "plain", &strings.Builder{}); !fault.Is(err, fault.Refused) {
		t.Errorf("nothing is packed: %v", err)
	}
	b.packed(b.heron.ID)
	b.packed(b.heron.ID)
	b.packed(b.heron.ID)
	var out strings.Builder
	n, err := b.PostageOut(b.ctx, "Plain", &out)
	b.must(err)
	rows := strings.Split(out.String(), "\r\n")
	if n != 3 || len(rows) != 5 || !strings.HasPrefix(rows[1], "S-1001,Ada Quill,") || !strings.HasSuffix(rows[3], ",Test ground") {
		t.Fatalf("%d rows: %q", n, rows)
	}
	if k, err := b.ToLabel(b.ctx); k != 3 || err != nil {
		t.Errorf("%d to label, %v", k, err)
	}

	// A dry run tells every problem by its row and keeps nothing.
	none := []string{"packed  0.00", "packed  0.00", "packed  0.00"}
	const head = "Parcel,Tracking,Paid,Service\n"
	bad := head + "S-1001," + s10 + ",5.00,ground\nS-1002," + s10 + ",5.00,\nS-9,12345678,1,\nS-1003,1,x,\nS-1003,12345679,1000000,\n"
	rep := b.cameBack(bad, false)
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
	if _, err := b.PostageBack(b.ctx, "plain", strings.NewReader(bad), true); !fault.Is(err, fault.Refused) {
		t.Errorf("a file with problems: %v", err)
	}
	if diff := cmp.Diff(none, b.labels()); diff != "" {
		t.Error(diff)
	}

	// A wrong check digit is told, not refused: it is what the label says.
	good := head + "S-1001," + s10 + ",5.00,ground\ns-1002,RB473124820US,6.10,priority\nS-1003/1,12345678,4,by hand\n"
	if rep = b.cameBack(good, false); len(rep.Problems) > 0 || rep.Labels[0].Doubt != "" || !strings.Contains(rep.Labels[1].Doubt, "check digit") {
		t.Errorf("%+v", rep)
	}
	if diff := cmp.Diff(none, b.labels()); diff != "" {
		t.Error(diff)
	}
	if rep = b.cameBack(good, true); !rep.Done || len(rep.Labels) != 3 {
		t.Errorf("%+v", rep)
	}
	want := []string{"labelled " + s10 + " 5.00", "labelled RB473124820US 6.10", "labelled 12345678 4.00"}
	if diff := cmp.Diff(want, b.labels()); diff != "" {
		t.Error(diff)
	}
	if p := b.order(2).Parcels[0]; p.Service != "priority" {
		t.Errorf("by %s", p.Service)
	}

	// The same file again changes nothing; another number for a labelled parcel is a problem.
	marks := b.latest(studio.MarkLabelled).ID
	if rep = b.cameBack(good, true); !rep.Done || len(rep.Labels) != 0 || rep.Same != 3 || b.latest(studio.MarkLabelled).ID != marks {
		t.Errorf("again: %+v", rep)
	}
	if rep = b.cameBack(head+"S-1001,12345670,5.00,\n", false); len(rep.Problems) != 1 || rep.Problems[0].Column != "Parcel" {
		t.Errorf("%+v", rep)
	}
	b.must(b.Undo(b.ctx, marks))
	b.sound()
}

func TestLayouts(t *testing.T) {
	b := newBed(t)
	all, err := b.Layouts(b.ctx)
	b.must(err)
	l := all[0]
	l.Name, l.Separator = " Counter ", "tab"
	b.must(b.SaveLayout(b.ctx, "", l))
	b.refused(b.SaveLayout(b.ctx, "", l), fault.Taken, "name", "Counter")
	l.Name = "Post"
	b.must(b.SaveLayout(b.ctx, "counter", l))
	b.refused(b.SaveLayout(b.ctx, "counter", l), fault.Missing, "name", "")
	b.refused(b.SaveLayout(b.ctx, "post", postage.Layout{Name: "Post"}), fault.Invalid, "columns", "")
	names := func() (out []string) {
		all, err := b.Layouts(b.ctx)
		b.must(err)
		for _, l := range all {
			out = append(out, l.Name)
		}
		return out
	}
	if diff := cmp.Diff([]string{"Post", "plain"}, names()); diff != "" {
		t.Error(diff)
	}
	b.must(b.DropLayout(b.ctx, "plain"))
	if diff := cmp.Diff([]string{"Post"}, names()); diff != "" {
		t.Error(diff)
	}
	b.refused(b.DropLayout(b.ctx, "plain"), fault.Missing, "layout", "")
	set, err := b.Settings(b.ctx)
	b.must(err)
	b.must(b.ChangeSettings(b.ctx, whole(set))) // the settings keep them
	if len(names()) != 1 {
		t.Error("the layouts are gone")
	}
}

// Puerto Rico is domestic: the invented services that do not go abroad serve it, and Canada they do not.
func TestTerritoriesAreDomestic(t *testing.T) {
	b := newBed(t)
	for country, domestic := range map[string]bool{"PR": true, "GU": true, "CA": false} {
		in := b.sale()
		in.ShipTo = order.Address{Name: "Ada Quill", Line1: "1", City: "Town", Region: "ON", Postcode: "00926", Country: country}
		v := b.take(in)
		b.must(b.Pay(b.ctx, studio.PaymentIn{Order: v.ID, Amount: v.Owed}))
		b.must(b.Sign(b.ctx, lineIDs(v)))
		if _, err := b.Pack(b.ctx, studio.PackIn{Order: v.ID}); (err == nil) != domestic {
			t.Errorf("%s: %v", country, err)
		}
	}
}
