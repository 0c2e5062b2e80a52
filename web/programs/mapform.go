package programs

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/url"
	"slices"
	"strings"

	"solander/edition"
	"solander/fault"
	"solander/feed"
	"solander/intake/hook"
	"solander/measure"
	"solander/web/form"
)

// mapDraft is a mapping in its form: as it stands, or as it was chosen so far.
type mapDraft struct {
	id       int64
	name     string
	m        hook.Mapping
	placed   bool      // the list of prints was chosen; "" is a place, too
	only     []onlyRow // as rows: the same place may stand in several
	editions []nameRow
}

// onlyRow is one text that may stand at a place.
type onlyRow struct{ At, Is string }

// nameRow is what the sender calls an edition.
type nameRow struct {
	Name string
	ID   int64
}

// sourceRow is a field of an order with where it is read.
type sourceRow struct {
	Label            string
	At, Before, Also *form.Field
	More             bool // a text or a second value stands there
}

// sourceGroup is fields that belong together.
type sourceGroup struct {
	Name string
	Rows []sourceRow
}

// tableRow is a row of a table that grows.
type tableRow struct {
	At, Number  int
	Fields      []*form.Field
	First, Last bool
}

// MapRows is what the template draws of a mapping, beside its form.
type MapRows struct {
	Groups   []sourceGroup
	Lines    *form.Field
	Line     []sourceRow
	Forms    []*form.Field // of amounts and days
	Only     []tableRow
	Editions []tableRow
}

// fieldWords are the fields of an order and of a print as the page calls them, by group.
var fieldWords = []struct {
	group  string
	fields [][2]string
}{
	{"The order", [][2]string{
		{"ref", "Number of the order there"},
		{"placed", "Day it was placed"},
		{"promised", "To hand over by"},
		{"arrive_by", "To arrive by"},
		{"note", "Note"},
		{"gift_message", "Message to the receiver"},
	}},
	{"The buyer", [][2]string{{"buyer.name", "Name of the buyer"}, {"buyer.email", "E-mail"}, {"buyer.phone", "Phone"}}},
	{"The address", [][2]string{
		{"ship_to.name", "Name on the label"},
		{"ship_to.line1", "Street and number"},
		{"ship_to.line2", "Second line"},
		{"ship_to.city", "City"},
		{"ship_to.region", "State or region"},
		{"ship_to.postcode", "Postcode"},
		{"ship_to.country", "Country"},
	}},
	{"The money", [][2]string{
		{"postage", "Postage charged"}, {"tax", "Tax"}, {"paid", "Paid already"}, {"paid_note", "How it was paid"}, {"currency", "Currency, to check"},
	}},
}

var lineWords = [][2]string{{"edition", "Which print"}, {"number", "Number wished for"}, {"price", "Price"}, {"quantity", "How many"}}

// whole stands for the message itself in a choice, where "" is no choice.
const whole = "whole"

// mapAsker lays a mapping out over a sample.
type mapAsker struct {
	*form.Form
	seen     []hook.Value
	editions []edition.Edition
	units    measure.System
}

// mapForm lays a mapping out: for each field the place that it is read at.
func mapForm(d *mapDraft, seen []hook.Value, editions []edition.Edition, u measure.System) (*form.Form, MapRows) {
	to := "/studio/hook-mappings"
	if d.id != 0 {
		to = fmt.Sprintf("/studio/hook-mappings/%d", d.id)
	}
	a := mapAsker{form.New("map", to), seen, editions, u}
	a.Text("name", "Name of the mapping", &d.name).Must().Half()
	a.Then(func(*fault.List) {
		d.m = hook.Mapping{Format: hook.Format, Order: hook.Sources{}, Line: hook.Sources{}, Money: d.m.Money, Days: d.m.Days, Lines: d.m.Lines}
	})
	var rows MapRows
	places := a.places("", false)
	for _, g := range fieldWords {
		out := sourceGroup{Name: g.group}
		for _, x := range g.fields {
			out.Rows = append(out.Rows, a.source("order."+x[0], x, d.m.Order[x[0]], places, func(src string) { d.m.Order[x[0]] = src }))
		}
		rows.Groups = append(rows.Groups, out)
	}
	rows.Lines = a.lines(d)
	inEach := a.places(d.m.Lines, true)
	if !d.placed {
		inEach = nil
	}
	for _, x := range lineWords {
		rows.Line = append(rows.Line, a.source("line."+x[0], x, d.m.Line[x[0]], inEach, func(src string) { d.m.Line[x[0]] = src }))
	}
	rows.Forms = []*form.Field{
		form.Select(a.Form, "money", "Amounts are written", &d.m.Money, form.Pick("", "with decimals: 90.00"), form.Pick("decimal", "with decimals: 90.00, said so"), form.Pick("minor", "in cents: 9000")).Half(),
		form.Select(a.Form, "days", "Days are written", &d.m.Days, dayChoices()...).Half(),
	}
	rows.Only, rows.Editions = a.only(d, places), a.names(d)
	if d.id == 0 {
		return a.Form, rows
	}
	return a.Sealed(), rows
}

func dayChoices() []form.Choice {
	words := map[string]string{
		"iso": "2026-04-14, or an instant, said so", "d/m/y": "14/4/2026, the day first", "m/d/y": "4/14/2026, the month first", "unix": "as seconds since 1970", "unix-ms": "as milliseconds since 1970",
	}
	out := []form.Choice{form.Pick("", "2026-04-14, or an instant")}
	for _, d := range hook.DayForms() {
		out = append(out, form.Pick(d, words[d]))
	}
	return out
}

// places are the texts of the sample to choose from: all of them, or those in the elements of a list, as they are seen from there.
func (a mapAsker) places(list string, each bool) []form.Choice {
	var out []form.Choice
	for _, v := range a.seen {
		at := v.At
		if each {
			rest, inside := strings.CutPrefix(at, list+"/")
			_, below, deep := strings.Cut(rest, "/")
			if !inside || !deep {
				continue
			}
			at = "/" + below
		}
		if v.Kind != hook.KindText && v.Kind != hook.KindNone || slices.ContainsFunc(out, func(c form.Choice) bool { return c.Value == at }) {
			continue
		}
		out = append(out, form.Pick(at, fmt.Sprintf("%s: %s", at, told(v))))
	}
	return out
}

// told is what stands at a place, in short.
func told(v hook.Value) string {
	if v.Kind == hook.KindNone {
		return "nothing"
	}
	return "“" + fault.Clip(v.Text) + "”"
}

// source asks where a field is read.
func (a mapAsker) source(name string, words [2]string, src string, places []form.Choice, take func(string)) sourceRow {
	parts, ok := hook.PartsOf(src)
	if hook.Needed(words[0]) {
		words[1] += " (needed)"
	}
	row := sourceRow{Label: words[1], More: ok && parts.Before+parts.Second != ""}
	at := parts.First
	first := append([]form.Choice{form.Pick("", "—")}, withPlace(places, parts.First)...)
	if !ok {
		at = "=" + src
		first = append(first, form.Pick(at, "as it was written: "+src))
	}
	row.At = a.Text(name+".at", words[1], &at).Of(first...)
	row.Before = a.Text(name+".before", "Text before it, or alone", &parts.Before).Verbatim()
	row.Also = a.Text(name+".also", "and, behind a space", &parts.Second).Of(append([]form.Choice{form.Pick("", "—")}, withPlace(places, parts.Second)...)...)
	a.Then(func(l *fault.List) {
		text, raw := strings.CutPrefix(at, "=")
		if !raw {
			parts.First = at
			var err error
			if text, err = parts.Source(); err != nil {
				for _, e := range fault.All(err) {
					l.Add(e.In(name + ".at"))
				}
				return
			}
		}
		if strings.TrimSpace(text) != "" {
			take(text)
		}
	})
	return row
}

// withPlace is the places with one that is chosen, be it in the sample or not.
func withPlace(places []form.Choice, at string) []form.Choice {
	if at == "" || slices.ContainsFunc(places, func(c form.Choice) bool { return c.Value == at }) {
		return places
	}
	return append(slices.Clip(places), form.Pick(at, at+" (not in the sample)"))
}

// lines asks where the list of prints stands.
func (a mapAsker) lines(d *mapDraft) *form.Field {
	of := []form.Choice{form.Pick("", "choose the list")}
	for _, v := range a.seen {
		if v.Kind == hook.KindList {
			of = append(of, form.Pick(v.At, fmt.Sprintf("%s: %s", v.At, fault.Count(v.Count, "element"))))
		}
	}
	at := ""
	if d.placed {
		at = d.m.Lines
		if at == "" {
			at = whole
		}
	}
	if len(a.seen) > 0 && a.seen[0].At == "/0" || at == whole {
		of = append(of, form.Pick(whole, "the message itself"))
	}
	return a.Bind("lines", "The list of prints", at, func(typed string) error {
		d.placed, d.m.Lines = typed != "", typed
		if typed == whole {
			d.m.Lines = ""
		}
		if !d.placed {
			return fault.New(fault.Invalid, "it is not said where the prints stand").ToMend("choose the list of them")
		}
		return nil
	}).Of(withPlace(of, at)...)
}

// only asks which messages are sales: what must stand at a place.
func (a mapAsker) only(d *mapDraft, places []form.Choice) []tableRow {
	was := d.only
	a.Then(func(*fault.List) { d.m.Only = nil })
	var out []tableRow
	for i := range was {
		at := fmt.Sprintf("only[%d].", i)
		row := tableRow{At: i, Number: i + 1, First: i == 0, Last: i == len(was)-1}
		row.Fields = []*form.Field{
			a.Text(at+"at", "At", &was[i].At).Of(append([]form.Choice{form.Pick("", "choose a place")}, withPlace(places, was[i].At)...)...),
			a.Text(at+"is", "stands", &was[i].Is),
		}
		a.Then(func(l *fault.List) {
			if was[i].At == "" {
				l.Add(fault.Invalidf(at+"at", "no place is chosen").ToMend("choose one, or take the row out"))
				return
			}
			if d.m.Only == nil {
				d.m.Only = hook.Choices{}
			}
			d.m.Only[was[i].At] = append(d.m.Only[was[i].At], was[i].Is)
		})
		out = append(out, row)
	}
	return out
}

// names asks which edition is meant by what the sender calls it.
func (a mapAsker) names(d *mapDraft) []tableRow {
	was := d.editions
	a.Then(func(*fault.List) { d.m.Editions = nil })
	of := []form.Choice{form.Pick("", "choose an edition")}
	for _, e := range a.editions {
		of = append(of, form.PickID(e.ID, fmt.Sprintf("%s, %s", e.Title, e.Size(a.units))))
	}
	var out []tableRow
	for i := range was {
		at := fmt.Sprintf("editions[%d].", i)
		row := tableRow{At: i, Number: i + 1, First: i == 0, Last: i == len(was)-1}
		choices := of
		if id := form.Text64(was[i].ID); was[i].ID != 0 && !slices.ContainsFunc(of, func(c form.Choice) bool { return c.Value == id }) {
			choices = append(slices.Clip(of), form.Pick(id, "edition "+id+", which is not there"))
		}
		row.Fields = []*form.Field{a.Text(at+"name", "There it is called", &was[i].Name).Must(), a.ID(at+"id", "Which is", &was[i].ID, choices...)}
		a.Then(func(l *fault.List) {
			if d.m.Editions == nil {
				d.m.Editions = hook.Editions{}
			}
			_, twice := d.m.Editions[was[i].Name]
			l.Check(!twice, at+"name", "this name stands twice", "take one of the rows out")
			l.Check(was[i].ID != 0, at+"id", "no edition is chosen", "choose one, or take the row out")
			d.m.Editions[was[i].Name] = was[i].ID
		})
		out = append(out, row)
	}
	return out
}

// storedMap is a mapping that is kept, as its form lays it out.
func storedMap(id int64, name string, m hook.Mapping) *mapDraft {
	d := &mapDraft{id: id, name: name, m: m, placed: true}
	for _, at := range slices.Sorted(maps.Keys(m.Only)) {
		for _, is := range m.Only[at] {
			d.only = append(d.only, onlyRow{at, is})
		}
	}
	for _, n := range slices.Sorted(maps.Keys(m.Editions)) {
		d.editions = append(d.editions, nameRow{n, m.Editions[n]})
	}
	return d
}

// typedMap is the frame of what was typed, for the form to be laid out: the places that were chosen and as many rows.
func typedMap(id int64, typed url.Values) *mapDraft {
	d := &mapDraft{id: id, m: hook.Mapping{Order: hook.Sources{}, Line: hook.Sources{}, Lines: typed.Get("lines")}, placed: typed.Get("lines") != ""}
	if d.m.Lines == whole {
		d.m.Lines = ""
	}
	for list, to := range map[string]hook.Sources{"order.": d.m.Order, "line.": d.m.Line} {
		for name := range typed {
			field, is := strings.CutSuffix(strings.TrimPrefix(name, list), ".at")
			if !is || !strings.HasPrefix(name, list) {
				continue
			}
			text, raw := strings.CutPrefix(typed.Get(name), "=")
			if !raw {
				p := hook.Parts{Before: typed.Get(list + field + ".before"), First: text, Second: typed.Get(list + field + ".also")}
				text, _ = p.Source() // what cannot be put together is told when it is taken
			}
			to[field] = text
		}
	}
	for i := range form.Rows(typed, "only") {
		d.only = append(d.only, onlyRow{At: typed.Get(fmt.Sprintf("only[%d].at", i)), Is: typed.Get(fmt.Sprintf("only[%d].is", i))})
	}
	d.editions = make([]nameRow, form.Rows(typed, "editions"))
	return d
}

// readMap reads a mapping from what was typed. Faults: Invalid, as the fields of the form are named.
func readMap(id int64, typed url.Values, editions []edition.Edition) (m feed.Mapping, read hook.Mapping, err error) {
	d := typedMap(id, typed)
	fm, _ := mapForm(d, nil, editions, measure.Imperial)
	err = fm.Take(typed)
	body, wrong := json.Marshal(d.m)
	if wrong != nil {
		return m, d.m, wrong
	}
	return feed.Mapping{ID: id, Name: d.name, Body: body}, d.m, err
}
