package fault

import "testing"

func TestPath(t *testing.T) {
	var whole *Path
	shelf := whole.Entry("shelf", 3)
	cut := shelf.To("cut.step")
	card := whole.To("")
	zones := card.Entry("zones", 0)
	row := zones.Entry("rows", 12)
	country := row.To("country")
	for _, c := range []struct {
		path *Path
		want string
	}{{whole, ""}, {&shelf, "shelf[3]"}, {&cut, "shelf[3].cut.step"}, {&card, ""}, {&country, "zones[0].rows[12].country"}} {
		if got := c.path.String(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// What is sound costs no memory to look at.
func TestPathIsNotWrittenOutInVain(t *testing.T) {
	var whole *Path
	look := func(ok bool, p Path) {
		if !ok {
			t.Error(p.String())
		}
	}
	if n := testing.AllocsPerRun(100, func() {
		list := whole.Entry("orders", 1)
		for i := range 10 {
			sheet := list.Entry("sheets", i)
			look(true, sheet.To("width"))
		}
	}); n != 0 {
		t.Errorf("%v allocations", n)
	}
}
