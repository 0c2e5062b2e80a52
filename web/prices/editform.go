package prices

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"solander/fault"
	"solander/measure"
	"solander/money"
	"solander/tariff"
	"solander/web/form"
)

// editor lays a card's head and one of its services out as a form, and takes what was typed. What has no field (prices, cover, zones,
// destinations, sources) stays as it is.
type editor struct {
	*form.Form
	card     *tariff.Card
	service  *tariff.Service
	units    measure.System
	currency string
	who      string
	sure     bool
	limits   []editRow
	fees     []editRow
}

// editRow is a limit or a surcharge as a row of the editor.
type editRow struct {
	At, Number  int
	First, Last bool
	Fields      []*form.Field
	When        [][]*form.Field // conditions of a surcharge
	More        []*form.Field   // one that may be added
}

// measureWords are the measures as the page calls them.
var measureWords = []form.Choice{
	form.Pick("length", "longest side"), form.Pick("width", "middle side"), form.Pick("height", "shortest side"), form.Pick("girth", "girth"),
	form.Pick("length+girth", "length + girth"), form.Pick("length+width+height", "length + width + height"), form.Pick("length+2diameter", "length + 2 diameters"),
	form.Pick("volume", "volume"), form.Pick("mass", "weight"), form.Pick("value", "value"),
}

var formWords = []form.Choice{form.Pick("", "any shape"), form.Pick("box", "a box"), form.Pick("cylinder", "a cylinder")}

// newEditor lays a card and one of its services out.
func newEditor(c *tariff.Card, s *tariff.Service, u measure.System, who string) *editor {
	e := &editor{Form: form.New("edit", "/studio/cards/edit"), card: c, service: s, units: u, currency: c.Currency, who: who}
	e.Ask("id", "").As("hidden").Is(c.ID)
	e.Ask("service", "").As("hidden").Is(s.ID)
	e.Day("from", "They hold from", &c.From).Must()
	e.Day("to", "till", &c.To).WithHint("empty: till the next card")
	e.Text("source", "Where the prices stand", &c.Source).Must().Wide()
	e.Area("note", "Note", &c.Note).Wide()
	e.Text("who", "Typed by", &e.who).Must()
	e.askService(s)
	for i := range s.Limits {
		at := fmt.Sprintf("limits[%d].", i)
		e.limits = append(e.limits, editRow{At: i, Number: i + 1, First: i == 0, Last: i == len(s.Limits)-1, Fields: e.bound(at, &s.Limits[i], true)})
	}
	for i := range s.Surcharges {
		row := editRow{At: i, Number: i + 1, First: i == 0, Last: i == len(s.Surcharges)-1}
		e.fee(&row, fmt.Sprintf("surcharges[%d].", i), &s.Surcharges[i])
		e.fees = append(e.fees, row)
	}
	e.askBulk(s)
	e.Tick("sure", "Another card may hold on the same days", &e.sure)
	return e
}

func (e *editor) askService(s *tariff.Service) {
	e.Text("name", "Service", &s.Name).Must().Half()
	forms := make([]string, len(s.Forms))
	for i, f := range s.Forms {
		forms[i] = string(f)
	}
	all := strings.Join(forms, " ")
	choices := []form.Choice{form.Pick("", "boxes and cylinders"), form.Pick("box", "boxes"), form.Pick("cylinder", "cylinders")}
	if len(forms) > 1 {
		choices = append(choices, form.Pick(all, strings.Join(forms, " and ")))
	}
	e.Bind("forms", "It takes", all, func(typed string) error {
		s.Forms = nil
		for _, w := range strings.Fields(typed) {
			s.Forms = append(s.Forms, tariff.Form(w))
		}
		return nil
	}).Of(choices...)
	e.Tick("flexible", "Only what bends", &s.Flexible)
	e.Tick("tracking", "With tracking", &s.Tracking)
	days := tariff.Days{Counted: tariff.CalendarDays}
	if s.Days != nil {
		days = *s.Days
	}
	said := s.Days != nil
	ask := func(name, label string, v *int) {
		fd := e.Whole(name, label, v)
		if !said {
			fd.Is("")
		}
	}
	ask("days_min", "Days in the post, at least", &days.Min)
	ask("days_max", "at most", &days.Max)
	form.Select(e.Form, "days_counted", "Counted", &days.Counted, form.Pick(string(tariff.CalendarDays), "every day"),
		form.Pick(string(tariff.DeliveryDays), "without Sundays and holidays"), form.Pick(string(tariff.WeekDays), "without weekends and holidays"))
	e.Then(func(*fault.List) {
		if s.Days = nil; e.Typed("days_min", "days_max") {
			s.Days = &days
		}
	})
	e.minor("signature", "Signature costs", &s.Signature).WithHint("empty: not offered")
}

// minor asks for money that may stay unsaid, kept as a number of minor units.
func (e *editor) minor(name, label string, v **int64) *form.Field {
	return form.IfSaid(e.Form, name, label, v, func(n int64) string { return money.Of(n, e.currency).Plain() }, func(typed string) (int64, error) {
		a, err := money.Parse(typed, e.currency)
		return a.Minor, err
	}).WithMode("decimal")
}

// bound asks for a limit or a condition. One that is empty is no bound.
func (e *editor) bound(at string, b *tariff.Bound, limit bool) []*form.Field {
	words := measureWords
	if !limit {
		words = append([]form.Choice{form.Pick("", "no condition")}, words...)
	}
	out := []*form.Field{form.Select(e.Form, at+"measure", "Measure", &b.Measure, words...), form.Select(e.Form, at+"form", "Of", &b.Form, formWords...)}
	for _, n := range []struct {
		name, label string
		v           **int64
	}{{"min", "At least", &b.Min}, {"over", "More than", &b.Over}, {"max", "At most", &b.Max}, {"under", "Less than", &b.Under}} {
		out = append(out, form.IfSaid(e.Form, at+n.name, n.label, n.v, func(v int64) string { return e.shown(b.Measure, v) }, func(typed string) (int64, error) { return e.parsed(b.Measure, typed) }))
	}
	return out
}

// shown is a number of a measure such that parsed gives it back.
func (e *editor) shown(m tariff.Measure, n int64) string {
	switch m.Unit() {
	case "nm":
		return measure.Length(n).In(e.units)
	case "ng":
		return measure.Mass(n).In(e.units)
	case "um3":
		return volumeText(tariff.Volume(n))
	}
	return money.Of(n, e.currency).Plain()
}

func (e *editor) parsed(m tariff.Measure, typed string) (int64, error) {
	switch m.Unit() {
	case "nm":
		v, err := measure.ParseLength(typed, e.units)
		return int64(v), err
	case "ng":
		v, err := measure.ParseMass(typed, e.units)
		return int64(v), err
	case "um3":
		v, err := tariff.ParseVolume(typed)
		return int64(v), err
	}
	a, err := money.Parse(typed, e.currency)
	return a.Minor, err
}

// volumeText is a volume as it reads back.
func volumeText(v tariff.Volume) string {
	if back, err := tariff.ParseVolume(v.String()); err == nil && back == v {
		return v.String()
	}
	return strconv.FormatInt(int64(v), 10) + " um3"
}

// fee asks for a surcharge. Its id, source and status have no field.
func (e *editor) fee(row *editRow, at string, s *tariff.Surcharge) {
	e.Ask(at+"id", "").As("hidden").Is(s.ID)
	row.Fields = []*form.Field{
		e.Text(at+"name", "Surcharge", &s.Name).Must(),
		e.Minor(at+"amount", "Costs", &s.Amount, e.currency).Must(),
		e.Text(at+"group", "Of a group only the largest counts", &s.Group).WithHint("empty: it counts beside the others"),
		form.Select(e.Form, at+"form", "For", &s.Form, formWords...),
	}
	stiff := ""
	if s.Stiff != nil {
		stiff = strconv.FormatBool(*s.Stiff)
	}
	row.Fields = append(row.Fields, e.Bind(at+"stiff", "that is", stiff, func(typed string) error {
		if s.Stiff = nil; typed != "" {
			is := typed == "true"
			s.Stiff = &is
		}
		return nil
	}).Of(form.Pick("", "stiff or not"), form.Pick("true", "stiff"), form.Pick("false", "not stiff")))
	s.When = append(slices.Clip(s.When), tariff.Bound{}) // one more may be added
	for i := range s.When {
		fields := e.bound(fmt.Sprintf("%swhen[%d].", at, i), &s.When[i], false)
		if i == len(s.When)-1 {
			row.More = fields
		} else {
			row.When = append(row.When, fields)
		}
	}
	e.Then(func(*fault.List) {
		s.When = slices.DeleteFunc(s.When, func(b tariff.Bound) bool { return b.Measure == "" })
		if len(s.When) == 0 {
			s.When = nil
		}
	})
}

// MoreTyped reports whether something stands in the condition that may be added: then it is not folded.
func (r editRow) MoreTyped() bool {
	return slices.ContainsFunc(r.More, func(fd *form.Field) bool { return fd.Value != "" || len(fd.Wrong) > 0 })
}

// askBulk asks how a bulky parcel's weight is counted.
func (e *editor) askBulk(s *tariff.Service) {
	d := tariff.Dimensional{Round: tariff.Rounding{Mode: tariff.Nearest}}
	has := s.Dimensional != nil
	if has {
		d = *s.Dimensional
	}
	volume := func(name, label string, v *tariff.Volume) *form.Field {
		text := ""
		if *v != 0 {
			text = volumeText(*v)
		}
		return e.Bind(name, label, text, func(typed string) (err error) {
			if *v = 0; typed != "" {
				*v, err = tariff.ParseVolume(typed)
			}
			return err
		})
	}
	e.Tick("dimensional.is", "Bulky parcels count by their volume", &has)
	volume("dimensional.divisor.volume", "So much volume", &d.Divisor.Volume).WithHint("such as 139 in3 or 5000 cm3")
	e.Mass("dimensional.divisor.mass", "counts as", &d.Divisor.Mass, e.units)
	volume("dimensional.over", "of parcels larger than", &d.Over).WithHint("empty: of all")
	e.Length("dimensional.round.step", "Sides are rounded to", &d.Round.Step, e.units).WithHint("empty: not")
	form.Select(e.Form, "dimensional.round.mode", "which is", &d.Round.Mode, form.Pick(string(tariff.Nearest), "to the nearest"), form.Pick(string(tariff.Up), "up"), form.Pick(string(tariff.Down), "down"))
	e.Mass("dimensional.step", "The weight is rounded up to whole", &d.Step, e.units)
	e.Mass("dimensional.most", "and counts as at most", &d.Most, e.units)
	num, den := int(d.Cylinder.Num), int(d.Cylinder.Den)
	e.Whole("dimensional.cylinder.num", "A cylinder counts as", &num).OrEmpty()
	e.Whole("dimensional.cylinder.den", "parts of", &den).OrEmpty().WithHint("such as 785 of 1000; empty: whole")
	e.Then(func(*fault.List) {
		d.Cylinder = tariff.Fraction{Num: int64(num), Den: int64(den)}
		if d.Round.Step == 0 {
			d.Round = tariff.Rounding{}
		}
		if s.Dimensional = nil; has {
			s.Dimensional = &d
		}
	})
}

// frameOf is a service with as many limits and surcharges as were typed, for the form to be laid out; the surcharges keep what has no
// field by their ids.
func frameOf(was tariff.Service, typed url.Values) tariff.Service {
	s := was
	s.Limits, s.Surcharges = nil, nil
	for i := range form.Rows(typed, "limits") {
		s.Limits = append(s.Limits, tariff.Bound{Measure: tariff.Measure(typed.Get(fmt.Sprintf("limits[%d].measure", i)))})
	}
	used := map[string]bool{}
	for i := range form.Rows(typed, "surcharges") {
		at := fmt.Sprintf("surcharges[%d].", i)
		fee := tariff.Surcharge{ID: typed.Get(at + "id")}
		for _, old := range was.Surcharges {
			if old.ID == fee.ID && !used[fee.ID] {
				fee.Source, fee.Status = old.Source, old.Status
			}
		}
		for n := 1; fee.ID == "" || used[fee.ID]; n++ {
			fee.ID = "own-" + strconv.Itoa(n)
		}
		used[fee.ID] = true
		for j := range form.Rows(typed, at+"when") {
			fee.When = append(fee.When, tariff.Bound{Measure: tariff.Measure(typed.Get(fmt.Sprintf("%swhen[%d].measure", at, j)))})
		}
		if n := len(fee.When); n > 0 && fee.When[n-1].Measure == "" {
			fee.When = fee.When[:n-1] // the empty one that is always offered
		}
		s.Surcharges = append(s.Surcharges, fee)
	}
	return s
}

// priceTable is the prices of a service, to be read.
type priceTable struct {
	Currency string
	Zones    []string // the heads of the columns; one without a name where all zones cost the same
	Rows     []priceRow
	Cover    []priceRow // up to which value, and its price
}

// priceRow is a step, with what it costs to each zone; "–" where it is not carried.
type priceRow struct {
	Step   string
	Prices []string
}

func tableOf(c *tariff.Card, s *tariff.Service, units measure.System) priceTable {
	t := priceTable{Currency: c.Currency, Zones: s.Prices.Zones}
	if len(t.Zones) == 0 {
		t.Zones = []string{"every zone"}
	}
	for _, r := range s.Prices.Rows {
		row := priceRow{Step: "any"}
		switch {
		case r.Mass != 0:
			row.Step = r.Mass.In(units)
		case r.Volume != 0:
			row.Step = r.Volume.String()
		}
		for _, p := range r.Prices {
			text := "–"
			if p != tariff.NotCarried {
				text = money.Of(int64(p), c.Currency).Plain()
			}
			row.Prices = append(row.Prices, text)
		}
		t.Rows = append(t.Rows, row)
	}
	if s.Cover != nil {
		for _, x := range s.Cover.Steps {
			t.Cover = append(t.Cover, priceRow{money.Of(x.UpTo, c.Currency).Plain(), []string{money.Of(x.Price, c.Currency).Plain()}})
		}
	}
	return t
}

// keptWords says what has no field and stays as it is.
func keptWords(c *tariff.Card, s *tariff.Service) []string {
	out := []string{fmt.Sprintf("prices: %s by %s", fault.Count(len(s.Prices.Rows), "step"), s.Prices.By)}
	if n := len(s.Prices.Zones); n > 0 {
		out[0] += fmt.Sprintf(" in %s", fault.Count(n, "zone"))
	}
	if s.Zones != "" {
		n := 0
		for _, z := range c.Zones {
			if z.Name == s.Zones {
				n += len(z.Rows)
			}
		}
		out = append(out, fmt.Sprintf("zones %s: %s", s.Zones, fault.Count(n, "row")))
	}
	if s.Cover != nil {
		out = append(out, "cover: "+money.Of(s.Cover.Included, c.Currency).String()+" included, "+fault.Count(len(s.Cover.Steps), "step"))
	}
	if c := s.Claims; c != nil {
		for _, w := range []struct {
			of string
			w  *tariff.Window
		}{{"damaged", c.Damaged}, {"lost", c.Lost}, {"missing contents", c.Missing}} {
			if w.w != nil {
				out = append(out, "claims, "+w.of+": "+w.w.Words()+" after posting")
			}
		}
	}
	if len(s.Countries) > 0 {
		out = append(out, "to "+strings.Join(s.Countries, ", "))
	}
	if s.Container != "" {
		out = append(out, "the price of the container "+s.Container)
	}
	return append(out, "class "+s.Class+", status and source of each line")
}
