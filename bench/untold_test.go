package bench

import (
	"testing"

	"solander/order"
)

// What is still to be told keeps a labelled parcel, and what is handed over in person, until it is overridden; in a parcel of several orders each of them
// does, under its own mark. A parcel without a label is not kept from being labelled.
func TestFactsHoldWhatIsHandedOver(t *testing.T) {
	tell := []Tell{{1, 2, "Oregon", "facts to tell: signed, year (Oregon)"}}
	packed := func(id int64, p Parcel) Order {
		o := sale(id, 120_00, true)
		o.Lines[0].Parcel, o.Parcels = p.ID, []Parcel{p}
		return o
	}
	alone, bare := packed(1, Parcel{ID: 7, Labelled: true}), packed(2, Parcel{ID: 8})
	first, beside := packed(3, Parcel{ID: 9, Labelled: true, With: []string{"S-1004"}}), packed(4, Parcel{ID: 9, Labelled: true, Under: "S-1003"})
	counter, let := sale(5, 120_00, true), packed(6, Parcel{ID: 10, Labelled: true})
	counter.InPerson, let.Override = true, &order.Override{Reason: "so"}
	for _, o := range []*Order{&alone, &bare, &beside, &counter, &let} {
		o.Tell = tell
	}
	st := state(alone, bare, first, beside, counter, let)
	st.OnHand[1] = 9
	got := map[string]string{}
	list := Make(st)
	for _, g := range []Group{LabelParcel, HandOver} {
		for _, task := range list.Groups[g] {
			got[task.Mark] = task.Blocked
		}
	}
	text := tell[0].Text
	for mark, want := range map[string]string{"S-1001": text, "S-1002": "", "S-1003": "S-1004: " + text, "S-1005": text, "S-1006": ""} {
		if blocked, there := got[mark]; !there || blocked != want {
			t.Errorf("%s is held by %q, want %q", mark, blocked, want)
		}
	}
}
