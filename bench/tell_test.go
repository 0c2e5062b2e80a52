package bench

import (
	"reflect"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestFactsToTellStandOnOneRow(t *testing.T) {
	tell := []Tell{{1, 1, "California", "facts to tell: year (California)"}}
	toSign, toPack, beside := sale(1, 60_00, false), sale(2, 120_00, true), sale(3, 120_00, true)
	toSign.Tell, toPack.Tell, beside.Tell = tell, tell, []Tell{{2, 1, "Oregon", "facts to tell: signed (Oregon)"}}
	beside.Lines[0].Parcel, beside.Parcels = 7, []Parcel{{ID: 7, Under: "S-1004"}} // listed under the order with which it goes
	under := sale(4, 120_00, true)
	under.Lines[0].Parcel, under.Parcels = 7, []Parcel{{ID: 7, With: []string{"S-1003"}}}
	st := state(toSign, toPack, beside, under)
	st.OnHand[1] = 5
	got := map[string]map[Group][]Tell{}
	list := Make(st)
	for g, tasks := range list.Groups {
		for _, task := range tasks {
			if task.Tell != nil {
				if got[task.Mark] == nil {
					got[task.Mark] = map[Group][]Tell{}
				}
				got[task.Mark][g] = append(got[task.Mark][g], task.Tell...)
			}
		}
	}
	want := map[string]map[Group][]Tell{
		"S-1001": {ChaseMoney: tell}, "S-1002": {PackOrders: tell}, "S-1004": {LabelParcel: beside.Tell},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	for _, o := range []*Order{&st.Orders[0], &st.Orders[1], &st.Orders[2]} {
		o.Tell = nil
	}
	for g, tasks := range Make(st).Groups { // it blocks nothing, and moves nothing
		for i, task := range tasks {
			list.Groups[g][i].Tell = nil
			if !reflect.DeepEqual(list.Groups[g][i], task) {
				t.Errorf("%s: %+v, without anything to tell %+v", g, list.Groups[g][i], task)
			}
		}
	}
}

func TestSignedOnTheDay(t *testing.T) {
	today, before, open := sale(1, 120_00, true, true), sale(2, 120_00, true), sale(3, 120_00, true)
	for _, o := range []*Order{&today, &before, &open} {
		for i := range o.Lines {
			o.Lines[i].SignedDay = on(4, 15)
		}
	}
	before.Lines[0].SignedDay = on(4, 14)
	open.Lines[0].Number.N, open.Lines[0].Number.Kind = 0, "" // of an open edition: it has no certificate
	want := []SignedOf{{1, "Heron at dusk, 12 × 16 in, fine", 2}}
	if diff := cmp.Diff(want, Make(state(today, before, open)).Signed); diff != "" {
		t.Error(diff)
	}
}
