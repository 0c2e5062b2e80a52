package postage

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"solander/calendar"
	"solander/fault"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/tariff"
)

func parcel() Parcel {
	return Parcel{
		ID: 7, Mark: "S-1042", Part: 1, Parts: 1, Ref: "W-77", Prints: 2, Service: "ground", Email: "ines@example.org", Phone: "+49 30 123",
		To:   order.Address{Name: "Zoé \"Z\" Müller", Line1: "Straße 1, rear", City: "Köln", Postcode: "50667", Country: "DE"},
		Mass: 12*measure.Ounce + 1, Size: tariff.Size{Length: 18*measure.Inch + 1, Width: 14 * measure.Inch, Height: measure.Inch / 8},
		Value: money.Of(24050, "USD"), Packed: calendar.Date(2026, 4, 3), Promised: calendar.Date(2026, 4, 14),
	}
}

func TestWrite(t *testing.T) {
	l := Layout{
		Name: "counter", Separator: "semicolon", Decimal: "comma", Mass: "oz", Length: "in", Date: "DD.MM.YYYY",
		Columns: []Column{
			{"Ref", Key, ""},
			{"To", Name, ""},
			{"Street", Line1, ""},
			{"Land", CountryName, ""},
			{"oz", Mass, ""},
			{"L", Length, ""},
			{"H", Height, ""},
			{"Value", Value, ""},
			{"Cur", Currency, ""},
			{"On", Packed, ""},
			{"Kind", "", "parcel"},
			{"Tel", Phone, ""},
		},
		Back: Back{Mark: "Ref", Tracking: "No"},
	}
	if err := l.Validate(); err != nil {
		t.Fatal(err)
	}
	two := parcel()
	two.Part, two.Parts, two.Promised = 2, 2, calendar.Day{}
	var b strings.Builder
	if err := l.Write(&b, []Parcel{parcel(), two}); err != nil {
		t.Fatal(err)
	}
	want := "Ref;To;Street;Land;oz;L;H;Value;Cur;On;Kind;Tel\r\n" +
		"S-1042;\"Zoé \"\"Z\"\" Müller\";Straße 1, rear;Germany;12,1;18,01;0,13;240,50;USD;03.04.2026;parcel;'+49 30 123\r\n" +
		"S-1042/2;\"Zoé \"\"Z\"\" Müller\";Straße 1, rear;Germany;12,1;18,01;0,13;240,50;USD;03.04.2026;parcel;'+49 30 123\r\n"
	if diff := cmp.Diff(want, b.String()); diff != "" {
		t.Error(diff)
	}
	l.Bare, l.NoHead = true, true
	b.Reset()
	if err := l.Write(&b, []Parcel{parcel()}); err != nil || !strings.HasSuffix(b.String(), ";+49 30 123\r\n") || strings.Contains(b.String(), "Ref") {
		t.Errorf("%q, %v", b.String(), err)
	}
}

// Source: international yard and pound agreement, 1959: 1 oz = 28.349523125 g, 1 in = 25.4 mm. Rounded up at
// the last place, never down, by less than one step.
func TestRoundedUp(t *testing.T) {
	for _, tc := range []struct {
		unit unit
		n    int64
		want string
	}{
		{masses["g"], int64(measure.Ounce), "29"},
		{masses["kg"], int64(measure.Ounce), "0.029"},
		{masses["oz"], int64(measure.Ounce), "1.0"},
		{masses["lb"], 16 * int64(measure.Ounce), "1.00"},
		{masses["lb"], int64(measure.Ounce), "0.07"}, // 0.0625
		{lengths["mm"], int64(measure.Inch), "26"},
		{lengths["cm"], int64(measure.Inch), "2.6"},
		{lengths["in"], int64(measure.Inch), "1.00"},
		{lengths["cm"], int64(99*measure.Millimetre + 999_999), "10.0"},
	} {
		if got := tc.unit.up(tc.n, "."); got != tc.want {
			t.Errorf("%d of %d is %s, want %s", tc.n, tc.unit.size, got, tc.want)
		}
	}
}

func TestLayoutsAreLookedAt(t *testing.T) {
	l := Plain(measure.Imperial)
	l.Columns = append(l.Columns, Column{Heading: "A = B", Text: "it's"}, Column{Heading: "Empty"})
	if err := l.Validate(); err != nil {
		t.Error(err)
	}
	if err := Plain(measure.Metric).Validate(); err != nil {
		t.Error(err)
	}
	for name, change := range map[string]func(*Layout){
		"name":    func(l *Layout) { l.Name = "" },
		"columns": func(l *Layout) { l.Columns = nil },

		"columns[1].field":   func(l *Layout) { l.Columns[1].Field = "colour" },
		"columns[1].heading": func(l *Layout) { l.Columns[1].Heading = l.Columns[0].Heading },
		"columns[0].text":    func(l *Layout) { l.Columns[0].Text = strings.Repeat("x", 201) },
		"separator":          func(l *Layout) { l.Separator = "|" },
		"decimal":            func(l *Layout) { l.Decimal = "" },
		"mass":               func(l *Layout) { l.Mass = "stone" },
		"length":             func(l *Layout) { l.Length = "ell" },
		"date":               func(l *Layout) { l.Date = "D. M." },
		"back_mark":          func(l *Layout) { l.Back.Mark = "" },
		"back_tracking":      func(l *Layout) { l.Back.Tracking = " " },
	} {
		l := Plain(measure.Imperial)
		change(&l)
		if all := fault.All(l.Validate()); len(all) != 1 || all[0].Field != name {
			t.Errorf("%s: %v", name, l.Validate())
		}
	}
	l = Plain(measure.Imperial)
	l.Columns[1].Heading = "PARCEL "
	if l.Validate() == nil {
		t.Error("two columns of one heading are accepted")
	}
}

func TestRead(t *testing.T) {
	l := Plain(measure.Imperial)
	file := "service,Tracking,parcel,Paid,more\r\n" +
		"ground,'92 0018,S-1042,8.40,x\r\n" +
		"\r\n" +
		",RA123456785US,S-1043/2,\"$9,10\"\r\n" +
		",,S-1044,1\r\n" +
		"g,1,,1\r\n" +
		"g,123,S-1045/x,cheap\r\n" +
		"g,124,S-1042,8.40\r\n"
	labels, problems, err := l.Read(strings.NewReader(file), "USD")
	if err != nil {
		t.Fatal(err)
	}
	want := []Label{
		{Row: 2, Mark: "S-1042", Tracking: "92 0018", Paid: money.Of(840, "USD"), Service: "ground"},
		{Row: 4, Mark: "S-1043", Part: 2, Tracking: "RA123456785US", Paid: money.Of(910, "USD")},
	}
	if diff := cmp.Diff(want, labels); diff != "" {
		t.Error(diff)
	}
	var at []int
	for _, p := range problems {
		at = append(at, p.Row)
	}
	if !slices.Equal(at, []int{5, 6, 7, 7, 8}) {
		t.Errorf("problems %+v", problems)
	}
	for name, bad := range map[string]string{"empty": "", "no heading": "a,b\n1,2\n", "a quote": "Parcel,Tracking,Paid,Service\n\"S-1"} {
		if _, _, err := l.Read(strings.NewReader(bad), "USD"); !fault.Is(err, fault.Invalid) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// What is written and comes back with a tracking number names its parcel.
func TestKeysComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Parcel{Mark: rapid.StringMatching(`[A-Z]{1,4}-[0-9]{1,6}`).Draw(t, "mark"), Parts: rapid.IntRange(1, 9).Draw(t, "parts")}
		p.Part = rapid.IntRange(1, p.Parts).Draw(t, "part")
		l := Plain(measure.Imperial)
		labels, problems, err := l.Read(strings.NewReader("Parcel,Tracking,Paid,Service\n"+p.Key()+",12345678,1,\n"), "USD")
		if err != nil || len(problems) > 0 || labels[0].Mark != p.Mark || p.Parts > 1 && labels[0].Part != p.Part {
			t.Fatalf("%+v: %+v %+v %v", p, labels, problems, err)
		}
	})
}

func FuzzRead(f *testing.F) {
	f.Add("Parcel,Tracking,Paid,Service\nS-1,12345678,1.20,g")
	f.Fuzz(func(t *testing.T, text string) {
		labels, problems, err := Plain(measure.Imperial).Read(strings.NewReader(text), "USD")
		if err != nil && len(labels)+len(problems) > 0 {
			t.Fatal("labels of a file that cannot be read")
		}
		for _, l := range labels {
			if l.Mark == "" || l.Tracking == "" {
				t.Fatalf("%+v", l)
			}
		}
	})
}
