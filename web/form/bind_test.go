package form

import (
	"net/url"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/fault"
	"solander/money"
)

// asked is what the form of the tests asks for.
type asked struct {
	Name  string
	Price money.Amount
	Least *money.Amount
	Count int
	Rows  []string
	Sure  bool
}

func askAll(in *asked) *Form {
	fm := New("try", "/try")
	fm.Text("name", "Name", &in.Name).Must()
	fm.Amount("price", "Price", &in.Price, "USD").OrEmpty()
	fm.AmountIf("least", "Least", &in.Least, "USD")
	fm.Whole("count", "Count", &in.Count)
	row := ""
	fm.When(func() bool { return fm.Typed("row") }, func() {
		fm.Text("row", "Row", &row)
		fm.Then(func(*fault.List) { in.Rows = append(in.Rows, row) })
	})
	fm.Tick("sure", "Sure", &in.Sure)
	return fm
}

func TestWhatAFormShowsIsTakenBack(t *testing.T) {
	for _, want := range []asked{
		{Name: "a", Price: money.Of(1250, "USD"), Count: 3, Sure: true},
		{Name: "b", Price: money.Of(0, "USD"), Least: &money.Amount{Minor: 0, Currency: "USD"}},
	} {
		shown, typed := want, url.Values{}
		for _, fd := range askAll(&shown).Fields() {
			typed.Set(fd.Name, fd.Value)
		}
		got := asked{Count: 99, Sure: !want.Sure}
		if err := askAll(&got).Take(typed); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Error(diff)
		}
	}
}

func TestEveryFaultNamesItsField(t *testing.T) {
	var in asked
	err := askAll(&in).Take(url.Values{"price": {"much"}, "count": {"1.5"}, "row": {" a row "}})
	var names []string
	for _, e := range fault.All(err) {
		names = append(names, e.Field)
	}
	if diff := cmp.Diff([]string{"name", "price", "count"}, names); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]string{"a row"}, in.Rows); diff != "" {
		t.Error(diff)
	}
}
