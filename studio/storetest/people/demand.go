package people

import (
	"context"
	"testing"

	"solander/access"
	"solander/fault"
	"solander/people"
	"solander/studio"
)

func demandedByRole(t *testing.T, s studio.Store) {
	v := open(t, s)
	mara, nell := v.owners()
	ctx := context.Background()
	made := must[people.NewPerson](t)(people.Add(as(mara), v.all[0], "Odo", access.Helper))
	odo := must[people.Entered](t)(people.Enter(ctx, v.all[0], people.SignIn{Name: "Odo", Password: made.First, Away: true}))
	for _, row := range []struct {
		of          access.Demand
		nells, odos bool
		changedBy   people.Entered
	}{
		{access.OfEverybody, true, true, mara},
		{access.OfOwners, true, false, mara},
		{access.OfNobody, false, false, mara},
		{access.OfEverybody, true, true, nell},
	} {
		if err := people.Demand(as(row.changedBy), v.all[0], row.of); err != nil {
			t.Fatal(err)
		}
		n, o := must[people.Who](t)(people.BySession(ctx, v.all[1], nell.Token)), must[people.Who](t)(people.BySession(ctx, v.all[1], odo.Token))
		if n.Lacks != row.nells || o.Lacks != row.odos {
			t.Errorf("demanded of %s: an owner lacks %t, a helper %t", row.of, n.Lacks, o.Lacks)
		}
	}
	if err := people.Demand(as(odo), v.all[0], access.OfNobody); !fault.Is(err, fault.Denied) {
		t.Errorf("a helper demands: %v", err)
	}
	if err := people.Demand(as(mara), v.all[0], "cats"); !fault.Is(err, fault.Invalid) {
		t.Errorf("of cats: %v", err)
	}

	// Who has a passkey and no codes: the password alone lets her in on the machine itself, and no session that it may have begun outlives the demand.
	if err := people.Demand(ctx, v.all[0], access.OfNobody); err != nil { // at the command line
		t.Fatal(err)
	}
	if err := s.Write(ctx, func(tx studio.Tx) error {
		_, err := tx.SavePasskey(access.Passkey{Person: nell.Person.ID, Name: "stick", Site: "studio.example", Credential: "c", Body: []byte("{}"), Made: v.clock()})
		return err
	}); err != nil {
		t.Fatal(err)
	}
	byWord := func(away bool) (people.Entered, error) {
		return people.Enter(ctx, v.all[1], people.SignIn{Name: "Nell", Password: good + " Nell", Away: away})
	}
	begun := must[people.Entered](t)(byWord(true))
	if err := people.Demand(as(mara), v.all[0], access.OfOwners); err != nil {
		t.Fatal(err)
	}
	if _, err := people.BySession(ctx, v.all[1], begun.Token); !fault.Is(err, fault.Unknown) {
		t.Errorf("the session of before: %v", err)
	}
	if _, err := people.BySession(ctx, v.all[1], mara.Token); err != nil {
		t.Errorf("who asked for it goes on: %v", err)
	}
	if _, err := byWord(true); !fault.Is(err, fault.Unknown) {
		t.Errorf("by the password alone from another machine: %v", err)
	}
	must[people.Entered](t)(byWord(false))
	has := must[map[int64]people.Second](t)(people.Seconds(ctx, v.all[1]))
	if has[mara.Person.ID] != people.None || has[nell.Person.ID] != people.ByKeyAlone || has[odo.Person.ID] != people.None {
		t.Errorf("they have %v", has)
	}
}
