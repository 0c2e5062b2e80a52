package hook

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/order"
)

var east = func() *time.Location {
	loc, err := time.LoadLocation("America/New_York")
	if err != nil {
		panic(err)
	}
	return loc
}()

var here = Studio{Currency: "USD", Place: east}

// tillMapping reads the invented till's messages.
const tillMapping = `{
	"format": "solander-hook/1",
	"only": {"/event": ["sold"]},
	"order": {
		"ref": "T-{/sale/no}", "placed": "/sale/at", "currency": "/sale/currency",
		"buyer.name": "{/who/first} {/who/last}", "buyer.email": "/who/mail",
		"ship_to.name": "{/who/first} {/who/last}", "ship_to.line1": "/who/street", "ship_to.city": "/who/town", "ship_to.region": "/who/state",
		"ship_to.postcode": "/who/zip", "ship_to.country": "US", "postage": "/sale/carriage", "paid": "/sale/total", "paid_note": "card {/sale/card}"
	},
	"lines": "/sale/items",
	"line": {"edition": "/code", "number": "/no", "price": "/each", "quantity": "/n"},
	"editions": {"HD-12": 1, "LT": 2}
}`

const tillMessage = `{
	"event": "sold",
	"sale": {"no": 1042, "at": "2026-04-15T02:30:00Z", "currency": "USD", "carriage": "5.00", "total": 212.5, "card": null,
		"items": [{"code": "HD-12", "no": "17/250", "each": "90.00", "n": 1}, {"code": "LT", "each": 58.75, "n": 2}]},
	"who": {"first": "Ada", "last": "Quill", "mail": "ada@example.org", "street": "12 Oak Street", "town": "Denver", "state": "CO", "zip": "80202"}
}`

func mapping(t testing.TB, text string) Mapping {
	t.Helper()
	m, err := ReadMapping([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func usd(minor int64) *money.Amount { a := money.Of(minor, "USD"); return &a }

func TestAMessageBecomesAnOrder(t *testing.T) {
	r, err := mapping(t, tillMapping).Read([]byte(tillMessage), here)
	if err != nil {
		t.Fatal(err)
	}
	sources := map[string]string{}
	for _, field := range []string{
		"ref", "placed", "buyer", "email", "phone", "ship_to.postcode", "ship_to.country", "ship_to", "lines", "lines[0].number", "lines[1].price", "lines[2].price",
		"lines[2].edition", "lines[2].number", "lines[7]", "paid",
	} {
		sources[field] = r.Source(field)
	}
	wantSources := map[string]string{
		"ref": "#/sale/no", "placed": "#/sale/at", "buyer": "#/who/first", "email": "#/who/mail", "phone": "", "ship_to.postcode": "#/who/zip", "ship_to.country": "", "ship_to": "",
		"lines": "#/sale/items", "lines[0].number": "#/sale/items/0/no", "lines[1].price": "#/sale/items/1/each", "lines[2].price": "#/sale/items/1/each",
		"lines[2].edition": "#/sale/items/1/code", "lines[2].number": "#/sale/items/1/no", "lines[7]": "#/sale/items", "paid": "#/sale/total",
	}
	if diff := cmp.Diff(wantSources, sources); diff != "" {
		t.Errorf("places: %s", diff)
	}
	r.from = nil
	want := Reading{
		Ref: "T-1042", Placed: calendar.Date(2026, 4, 14), // 2.30 in London is still the day before in New York
		Buyer:  order.Buyer{Name: "Ada Quill", Email: "ada@example.org"},
		ShipTo: order.Address{Name: "Ada Quill", Line1: "12 Oak Street", City: "Denver", Region: "CO", Postcode: "80202", Country: "US"},
		Lines:  []Line{{1, "17/250", usd(9000)}, {2, "", usd(5875)}, {2, "", usd(5875)}}, Postage: *usd(500), Paid: *usd(21250), PaidNote: "card",
	}
	if diff := cmp.Diff(want, r, cmp.AllowUnexported(Reading{}), cmp.Comparer(func(a, b calendar.Day) bool { return a == b })); diff != "" {
		t.Error(diff)
	}
}

func TestOtherMessagesArePassed(t *testing.T) {
	m := mapping(t, tillMapping)
	for message, want := range map[string]string{
		`{"event": "refunded"}`: `at /event stands "refunded"`,
		`{}`:                    `at /event stands ""`,
		`{"event": ["sold"]}`:   `at /event stands ""`,
		`"sold"`:                `at /event stands ""`,
	} {
		r, err := m.Read([]byte(message), here)
		if err != nil || r.Passed != want {
			t.Errorf("%s: %q, %v", message, r.Passed, err)
		}
	}
}

// faults lists what is wrong as "field place: what".
func faults(err error) []string {
	var out []string
	for _, f := range fault.All(err) {
		out = append(out, f.Field+" "+f.Where+": "+f.What)
	}
	return out
}

func TestWhatIsWrongIsToldWithItsPlace(t *testing.T) {
	m := mapping(t, tillMapping)
	for _, c := range []struct{ old, now, field, place, word string }{
		{`"2026-04-15T02:30:00Z"`, `"15 April"`, "placed", "#/sale/at", "not a day"},
		{`"2026-04-15T02:30:00Z"`, `"2026-04-15 02:30"`, "placed", "#/sale/at", "neither a day"},
		{`"USD"`, `"EUR"`, "currency", "#/sale/currency", "studio's money is USD"},
		{`"5.00"`, `"5.001"`, "postage", "#/sale/carriage", "digits after the point"},
		{`"5.00"`, `1e2`, "postage", "#/sale/carriage", "not an amount"},
		{`"5.00"`, `{"usd": 5}`, "postage", "#/sale/carriage", "an object or a list"},
		{`"HD-12"`, `"HD-13"`, "lines[0].edition", "#/sale/items/0/code", `no edition "HD-13"`},
		{`"code": "HD-12", `, ``, "lines[0].edition", "#/sale/items/0/code", "which print"},
		{`"n": 2`, `"n": 0`, "lines[1].quantity", "#/sale/items/1/n", "not a count"},
		{`"n": 2`, `"n": 1.5`, "lines[1].quantity", "#/sale/items/1/n", "not a count"},
		{`"n": 2`, `"n": 200`, "lines[1].quantity", "#/sale/items/1/n", "more than 200"},
		{`58.75`, `"58,7,5"`, "lines[1].price", "#/sale/items/1/each", "not an amount"},
		{`"items": [`, `"things": [`, "lines", "#/sale/items", "no list of prints"},
	} {
		_, err := m.Read([]byte(strings.Replace(tillMessage, c.old, c.now, 1)), here)
		got := faults(err)
		if len(got) != 1 || !strings.HasPrefix(got[0], c.field+" "+c.place+": ") || !strings.Contains(got[0], c.word) {
			t.Errorf("%s for %s: %q", c.now, c.old, got)
		}
	}
	for _, broken := range []string{"", "{", `{"event": "sold", "event": "sold"}`, "\xff"} {
		if _, err := m.Read([]byte(broken), here); !fault.Is(err, fault.Invalid) {
			t.Errorf("%q: %v", broken, err)
		}
	}
}

func TestDays(t *testing.T) {
	day := calendar.Date(2026, 4, 14)
	for _, c := range []struct {
		form, text string
		want       calendar.Day
	}{
		{"", "", calendar.Day{}},
		{"", "2026-04-14", day},
		{"iso", "2026-04-14T23:59:59-04:00", day},
		{"iso", "2026-04-15T01:30:00.5Z", day},
		{"d/m/y", "14/4/2026", day},
		{"d/m/y", "14.04.2026", day},
		{"m/d/y", "4/14/2026", day},
		{"m/d/y", "04-14-2026", day},
		{"unix", "1776225599", day}, // 2026-04-15T03:59:59Z
		{"unix-ms", "1776225599999", day},
		{"unix", "1776225600", day.Add(1)},
	} {
		got, err := readDay(c.text, c.form, east)
		if err != nil || got != c.want {
			t.Errorf("%s %q is %v, %v", c.form, c.text, got, err)
		}
	}
	for form, texts := range map[string][]string{
		"iso": {"14/4/2026", "2026-4-14", "2026-02-30", "tomorrow", "2026-04-14T25:00:00Z", strings.Repeat("2", 100)}, "d/m/y": {"4/14/2026", "14/4/26", "1/2/3/2026", "//2026", "31.2.2026", "+1/2/2026"},
		"m/d/y": {"14/4/2026"}, "unix": {"x", "1e9", "99999999999999999999", "9223372036854775807", "-9223372036854775808"}, "unix-ms": {"9223372036854775807"},
	} {
		for _, text := range texts {
			if d, err := readDay(text, form, east); !fault.Is(err, fault.Invalid) {
				t.Errorf("%s %q is %v, %v", form, text, d, err)
			}
		}
	}
}

func TestMinorUnits(t *testing.T) {
	text := strings.Replace(tillMapping, `"lines":`, `"money": "minor", "lines":`, 1)
	message := strings.NewReplacer(`"5.00"`, `500`, `212.5`, `"21250"`, `"90.00"`, `9000`, `58.75`, `5875`).Replace(tillMessage)
	r, err := mapping(t, text).Read([]byte(message), here)
	if err != nil || r.Postage != *usd(500) || r.Paid != *usd(21250) || *r.Lines[1].Price != *usd(5875) {
		t.Errorf("%+v %v", r, err)
	}
	if _, err := mapping(t, text).Read([]byte(tillMessage), here); len(faults(err)) != 4 { // amounts with a point: one a field
		t.Errorf("%q", faults(err))
	}
}

func TestSources(t *testing.T) {
	doc := map[string]any{"a": "x", "b~/": "y", "n": nil, "t": true}
	for text, want := range map[string]string{
		"/a": "x", "/b~0~1": "y", "/n": "", "/none/at/all": "", "US": "US", "{/a}-{/b~0~1}": "x-y", "{{{/a}}}": "{x}", " {/a}  {/n} ": "x", "{}": "", "/t": "true", "a{/n}b": "ab",
	} {
		s, bad := parseSource(text)
		if bad != nil {
			t.Errorf("%q: %v", text, bad)
			continue
		}
		if text == "{}" { // the whole document is no text
			if _, _, bad := s.in(doc); bad == nil {
				t.Error("a document is taken for a text")
			}
			continue
		}
		if got, _, bad := s.in(doc); got != want || bad != nil {
			t.Errorf("%q gives %q, want %q (%v)", text, got, want, bad)
		}
	}
	for _, text := range []string{"{/a", "/~2", "{a}", "}", "x{/~}", strings.Repeat("x", 401)} {
		if s, bad := parseSource(text); bad == nil {
			t.Errorf("%q is read as %v", text, s)
		}
	}
}

func TestMappingsThatAreRefused(t *testing.T) {
	for _, c := range []struct{ old, now, field, word string }{
		{`"solander-hook/1"`, `"solander-hook/2"`, "format", "not the form"},
		{`"format"`, `"formt"`, "formt", "no field"},
		{`"ref": "T-{/sale/no}", `, ``, "order.ref", "missing"},
		{`"ref": "T-{/sale/no}"`, `"ref": "T-{/sale/no"`, "order.ref", "not closed"},
		{`"ref":`, `"reff": "x", "ref":`, "order.reff", "no field"},
		{`"ref":`, `"ref": "x", "ref":`, "order.ref", "twice"},
		{`"ref": "T-{/sale/no}"`, `"ref": 7`, "order.ref", "not a text"},
		{`"lines": "/sale/items"`, `"lines": "items"`, "lines", "no JSON Pointer"},
		{`"edition": "/code"`, `"edition": ""`, "line.edition", "missing"},
		{`"edition": "/code"`, `"edition": "/code", "postage": "/x"`, "line.postage", "no field"},
		{`"LT": 2`, `"LT": 0`, "editions.LT", "no such edition"},
		{`"LT": 2`, `"LT": "2"`, "editions.LT", "number of an edition"},
		{`["sold"]`, `[]`, "only./event", "no text"},
		{`"/event":`, `"event":`, "only.event", "no JSON Pointer"},
		{`"lines":`, `"money": "float", "lines":`, "money", "form of amounts"},
		{`"lines":`, `"days": "y/m/d", "lines":`, "days", "form of days"},
	} {
		_, err := ReadMapping([]byte(strings.Replace(tillMapping, c.old, c.now, 1)))
		ok := false
		for _, f := range fault.All(err) {
			ok = ok || f.Code == fault.Invalid && f.Field == c.field && strings.Contains(f.What, c.word)
		}
		if err == nil || !ok {
			t.Errorf("%s for %s: %q", c.now, c.old, faults(err))
		}
	}
}

// Whatever comes, it is an order or faults with their places; never a panic.
func FuzzRead(f *testing.F) {
	f.Add(tillMapping, tillMessage)
	f.Add(tillMapping, `{"event": "sold", "sale": {"items": [1, null, [], {}]}}`)
	f.Add(strings.Replace(tillMapping, `"lines": "/sale/items"`, `"lines": ""`, 1), `[{"code": "LT"}]`)
	f.Add(`{"format": "solander-hook/1", "order": {}, "lines": "", "line": {}}`, `{}`)
	f.Fuzz(func(t *testing.T, text, message string) {
		m, err := ReadMapping([]byte(text))
		if err != nil {
			for _, x := range fault.All(err) {
				if x.Code != fault.Invalid {
					t.Errorf("mapping: %v", x)
				}
			}
			m = mapping(t, tillMapping)
		}
		r, err := m.Read([]byte(message), here)
		if err == nil {
			if len(r.Lines) > mostLines {
				t.Errorf("%d lines", len(r.Lines))
			}
			return
		}
		for _, x := range fault.All(err) {
			if x.Code != fault.Invalid || x.What == "" {
				t.Errorf("message: %+v", x)
			}
		}
	})
}
