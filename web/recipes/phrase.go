package recipes

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"

	"solander/fault"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/web/form"
)

// Known is what the choices of a rule are made of.
type Known struct {
	Units    measure.System
	Currency string
	Grades   []string
	Classes  []string // of post
	Wraps    []packing.Wrap
}

// A phrase is a piece of a rule's sentence that can be chosen.
type phrase struct {
	name  string // of its member in docs/formats/problem.md
	words string
	has   func(*packing.Rule) bool
	ask   func(a asker) // for its value; nil: it has none
	set   func(*packing.Rule)
}

// asker asks for the value of one phrase, under a name that begins so.
type asker struct {
	*form.Form
	at string
	r  *packing.Rule
	Known
}

// PhraseRow is a phrase of a rule as its row in the editor.
type PhraseRow struct {
	List        string // "when" or "then"
	At, Number  int
	What        *form.Field
	Values      []*form.Field
	First, Last bool
	Joint       string // "Prints", "and", "must go"
}

// RuleRows are the phrases of a rule, by name: what its form is laid out by.
type RuleRows struct{ When, Then []string }

var whens = []phrase{
	{"grades", "of the grade", func(r *packing.Rule) bool { return len(r.When.Grades) > 0 }, func(a asker) { a.ticks("grades", &a.r.When.Grades, same(a.Grades)) }, nil},
	{"longest_over", "longer than", func(r *packing.Rule) bool { return r.When.LongestOver != nil }, func(a asker) { a.length("longest_over", &a.r.When.LongestOver) }, nil},
	{"longest_to", "of a length up to", func(r *packing.Rule) bool { return r.When.LongestTo != nil }, func(a asker) { a.length("longest_to", &a.r.When.LongestTo) }, nil},
	{"value_over", "worth, in one parcel, more than", func(r *packing.Rule) bool { return r.When.ValueOver != nil }, func(a asker) { a.amount("value_over", &a.r.When.ValueOver) }, nil},
	{"order_value_over", "of an order worth more than", func(r *packing.Rule) bool { return r.When.OrderValueOver != nil }, func(a asker) { a.amount("order_value_over", &a.r.When.OrderValueOver) }, nil},
	{"sheets_from", "in a parcel of at least", func(r *packing.Rule) bool { return r.When.SheetsFrom != nil }, func(a asker) { a.number("sheets_from", &a.r.When.SheetsFrom) }, nil},
	{"sheets_to", "in a parcel of at most", func(r *packing.Rule) bool { return r.When.SheetsTo != nil }, func(a asker) { a.number("sheets_to", &a.r.When.SheetsTo) }, nil},
	{"order_sheets_from", "of an order of at least", func(r *packing.Rule) bool { return r.When.OrderSheetsFrom != nil }, func(a asker) { a.number("order_sheets_from", &a.r.When.OrderSheetsFrom) }, nil},
	{"order_sheets_to", "of an order of at most", func(r *packing.Rule) bool { return r.When.OrderSheetsTo != nil }, func(a asker) { a.number("order_sheets_to", &a.r.When.OrderSheetsTo) }, nil},
	{"mass_over", "in a packed parcel heavier than", func(r *packing.Rule) bool { return r.When.MassOver != nil }, func(a asker) { a.mass("mass_over", &a.r.When.MassOver) }, nil},
	{"mass_to", "in a packed parcel of up to", func(r *packing.Rule) bool { return r.When.MassTo != nil }, func(a asker) { a.mass("mass_to", &a.r.When.MassTo) }, nil},
	{"abroad", "going", func(r *packing.Rule) bool { return r.When.Abroad != nil }, asker.abroad, nil},
	{"countries", "going to", func(r *packing.Rule) bool { return len(r.When.Countries) > 0 }, asker.countries, nil},
	{"shape", "that", func(r *packing.Rule) bool { return r.When.Shape != "" }, func(a asker) {
		pick(a, "shape", "How they lie", &a.r.When.Shape, form.Pick("flat", "lie flat"), form.Pick("rolled", "are rolled"), form.Pick("both", "go some rolled, some flat"))
	}, nil},
}

var thens = []phrase{
	{"shape", "lie", func(r *packing.Rule) bool { return r.Then.Shape != "" }, func(a asker) {
		pick(a, "shape", "How they lie", &a.r.Then.Shape, form.Pick("flat", "flat"), form.Pick("rolled", "rolled"), form.Pick("both", "some rolled, some flat"))
	}, nil},
	{"only_wraps", "be wrapped only as", func(r *packing.Rule) bool { return len(r.Then.OnlyWraps) > 0 }, func(a asker) { a.ticks("only_wraps", &a.r.Then.OnlyWraps, a.wraps()) }, nil},
	{"not_wraps", "not be wrapped as", func(r *packing.Rule) bool { return len(r.Then.NotWraps) > 0 }, func(a asker) { a.ticks("not_wraps", &a.r.Then.NotWraps, a.wraps()) }, nil},
	{"sheets_most", "be, in a parcel, at most", func(r *packing.Rule) bool { return r.Then.SheetsMost != nil }, func(a asker) { a.number("sheets_most", &a.r.Then.SheetsMost) }, nil},
	{"together", "go with the whole order together", func(r *packing.Rule) bool { return r.Then.Together }, nil, func(r *packing.Rule) { r.Then.Together = true }},
	{"only_classes", "go only by", func(r *packing.Rule) bool { return len(r.Then.OnlyClasses) > 0 }, func(a asker) { a.ticks("only_classes", &a.r.Then.OnlyClasses, classes(a.Classes)) }, nil},
	{"not_classes", "not go by", func(r *packing.Rule) bool { return len(r.Then.NotClasses) > 0 }, func(a asker) { a.ticks("not_classes", &a.r.Then.NotClasses, classes(a.Classes)) }, nil},
	{"tracking", "be tracked", func(r *packing.Rule) bool { return r.Then.Tracking }, nil, func(r *packing.Rule) { r.Then.Tracking = true }},
	{"signature", "be signed for", func(r *packing.Rule) bool { return r.Then.Signature }, nil, func(r *packing.Rule) { r.Then.Signature = true }},
	{"full_cover", "be covered in full", func(r *packing.Rule) bool { return r.Then.FullCover }, nil, func(r *packing.Rule) { r.Then.FullCover = true }},
}

// classes offers classes of post, their keys as words.
func classes(keys []string) []form.Choice {
	out := same(keys)
	for i := range out {
		out[i].Text = strings.ReplaceAll(out[i].Text, "-", " ")
	}
	return out
}

func same(words []string) []form.Choice {
	var out []form.Choice
	for _, w := range words {
		out = append(out, form.Pick(w, w))
	}
	return out
}

func (k Known) wraps() []form.Choice {
	var out []form.Choice
	for _, w := range k.Wraps {
		name := w.Name
		if name == "" {
			name = w.ID
		}
		out = append(out, form.Pick(w.ID, name))
	}
	return out
}

// ticks asks for some of a list; one at least, for a phrase that names none says nothing.
func (a asker) ticks(name string, v *[]string, choices []form.Choice) {
	boxes := a.Ticks(a.at+name, v, choices...)
	a.Then(func(l *fault.List) {
		if len(*v) == 0 && len(boxes) > 0 {
			l.Add(fault.Invalidf(boxes[0].Name, "none is ticked").ToMend("tick one at least, or take the phrase out"))
		}
	})
	if len(boxes) == 0 {
		a.Ask(a.at+name, "").As("hidden")
		a.Then(func(l *fault.List) {
			l.Add(fault.Invalidf(a.at+"what", "there is none to choose yet").ToMend("take the phrase out"))
		})
	}
}

func (a asker) length(name string, v **measure.Length) {
	a.LengthIf(a.at+name, "How long", v, a.Units).Must()
}

func (a asker) mass(name string, v **measure.Mass) {
	form.IfSaid(a.Form, a.at+name, "How heavy", v, func(m measure.Mass) string { return m.In(a.Units) },
		func(typed string) (measure.Mass, error) { return measure.ParseMass(typed, a.Units) }).Must()
}

func (a asker) amount(name string, v **int64) {
	form.IfSaid(a.Form, a.at+name, "How much, in "+a.Currency, v, func(n int64) string { return money.Of(n, a.Currency).Plain() }, func(typed string) (int64, error) {
		x, err := money.Parse(typed, a.Currency)
		return x.Minor, err
	}).WithMode("decimal").Must()
}

func (a asker) number(name string, v **int) {
	form.IfSaid(a.Form, a.at+name, "How many prints", v, strconv.Itoa, func(typed string) (int, error) {
		n, err := strconv.ParseInt(typed, 10, 32)
		if err != nil {
			return 0, fault.New(fault.Invalid, "%.20q is not a whole number", typed).ToMend("write it in digits, like 12")
		}
		return int(n), nil
	}).WithMode("numeric").Must()
}

// pick asks for one of some words; the first, as a browser shows it, when nothing was typed yet.
func pick[T ~string](a asker, name, label string, v *T, choices ...form.Choice) {
	form.Select(a.Form, a.at+name, label, v, choices...)
	a.Then(func(*fault.List) {
		if *v == "" {
			*v = T(choices[0].Value)
		}
	})
}

func (a asker) abroad() {
	to := "yes"
	if v := a.r.When.Abroad; v != nil && !*v {
		to = "no"
	}
	pick(a, "abroad", "Where", &to, form.Pick("yes", "abroad"), form.Pick("no", "within the country"))
	a.Then(func(*fault.List) {
		abroad := to == "yes"
		a.r.When.Abroad = &abroad
	})
}

// mostCountries bounds what one phrase names; the next one is offered when all are filled.
const mostCountries = 60

// countries asks for each country that is named, and for one more.
func (a asker) countries() {
	was := append(slices.Clone(a.r.When.Countries), "")
	a.Then(func(*fault.List) { a.r.When.Countries = nil })
	for i := range was[:min(len(was), mostCountries)] {
		label := "Country"
		if i > 0 {
			label = "or country"
		}
		form.Select(a.Form, fmt.Sprintf("%scountries.%d", a.at, i), label, &was[i], countryChoices()...)
		a.Then(func(l *fault.List) {
			if was[i] != "" && !slices.Contains(a.r.When.Countries, was[i]) {
				a.r.When.Countries = append(a.r.When.Countries, was[i])
			}
			if i == 0 && len(was) == 1 {
				l.Check(was[0] != "", a.at+"countries.0", "no country is chosen", "choose one, or take the phrase out")
			}
		})
	}
}

// countryChoices is every country of an address, by name.
var countryChoices = sync.OnceValue(func() []form.Choice {
	var out []form.Choice
	for a := 'A'; a <= 'Z'; a++ {
		for b := 'A'; b <= 'Z'; b++ {
			if code := string([]rune{a, b}); order.KnownCountry(code) {
				out = append(out, form.Pick(code, order.CountryName(code)))
			}
		}
	}
	slices.SortFunc(out, func(x, y form.Choice) int { return strings.Compare(x.Text, y.Text) })
	return append([]form.Choice{form.Pick("", "choose one")}, out...)
})

// Phrases are the phrases that may be added to a rule: conditions and demands.
func Phrases() (when, then []form.Choice) { return phraseChoices(whens), phraseChoices(thens) }

// RowsOf are the phrases that a rule has, in the order of docs/formats/problem.md.
func RowsOf(r packing.Rule) RuleRows {
	var out RuleRows
	for _, p := range whens {
		if p.has(&r) {
			out.When = append(out.When, p.name)
		}
	}
	for _, p := range thens {
		if p.has(&r) {
			out.Then = append(out.Then, p.name)
		}
	}
	return out
}

// TypedRows are the phrases that were chosen, and the frame of a rule for them to be laid out by: as many countries as were typed,
// and ticks that no list has any more.
func TypedRows(typed url.Values) (RuleRows, packing.Rule) {
	var out RuleRows
	var r packing.Rule
	for i := range form.Rows(typed, "when") {
		at := fmt.Sprintf("when[%d].", i)
		out.When = append(out.When, typed.Get(at+"what"))
		for j := 0; typed.Get(fmt.Sprintf("%scountries.%d", at, j)) != "" && j < mostCountries; j++ {
			r.When.Countries = append(r.When.Countries, typed.Get(fmt.Sprintf("%scountries.%d", at, j)))
		}
		ticked(typed, at+"grades.", &r.When.Grades)
	}
	for i := range form.Rows(typed, "then") {
		at := fmt.Sprintf("then[%d].", i)
		out.Then = append(out.Then, typed.Get(at+"what"))
		ticked(typed, at+"only_wraps.", &r.Then.OnlyWraps)
		ticked(typed, at+"not_wraps.", &r.Then.NotWraps)
		ticked(typed, at+"only_classes.", &r.Then.OnlyClasses)
		ticked(typed, at+"not_classes.", &r.Then.NotClasses)
	}
	return out, r
}

func ticked(typed url.Values, prefix string, into *[]string) {
	for name := range typed {
		if word, ok := strings.CutPrefix(name, prefix); ok && typed.Get(name) != "" {
			*into = append(*into, word)
		}
	}
	slices.Sort(*into)
}

// AskRule lays a rule out as a sentence of choices. Taken, the rule has what the phrases say and nothing else.
func AskRule(fm *form.Form, r *packing.Rule, rows RuleRows, k Known) (when, then []PhraseRow) {
	shown := *r // what the fields are laid out by; what is taken goes into an empty rule
	fm.Then(func(*fault.List) { shown.When, shown.Then = packing.When{}, packing.Then{} })
	when = askPhrases(fm, "when", rows.When, whens, &shown, k)
	then = askPhrases(fm, "then", rows.Then, thens, &shown, k)
	fm.Then(func(*fault.List) { r.When, r.Then = shown.When, shown.Then })
	return when, then
}

func askPhrases(fm *form.Form, list string, names []string, of []phrase, r *packing.Rule, k Known) []PhraseRow {
	var out []PhraseRow
	choices := phraseChoices(of)
	for i, name := range names {
		at := fmt.Sprintf("%s[%d].", list, i)
		row := PhraseRow{List: list, At: i, Number: i + 1, First: i == 0, Last: i == len(names)-1, Joint: joint(list, i)}
		what := name
		row.What = fm.Text(at+"what", "Phrase", &what).Of(choices...)
		before := len(fm.Fields())
		p := slices.IndexFunc(of, func(p phrase) bool { return p.name == name })
		twice := slices.Contains(names[:i], name)
		fm.Then(func(l *fault.List) {
			switch {
			case p < 0:
				l.Add(fault.Invalidf(at+"what", "%.40q is no phrase of a rule", name).ToMend("choose one of the list"))
			case twice:
				l.Add(fault.Invalidf(at+"what", "this is said before").ToMend("say it once"))
			case of[p].set != nil:
				of[p].set(r)
			}
		})
		if p >= 0 && of[p].ask != nil {
			of[p].ask(asker{fm, at, r, k})
		}
		for _, fd := range fm.Fields()[before:] {
			if fd.Kind != "hidden" {
				row.Values = append(row.Values, fd)
			}
		}
		out = append(out, row)
	}
	return out
}

func joint(list string, i int) string {
	switch {
	case i > 0:
		return "and"
	case list == "when":
		return "Prints"
	}
	return "must"
}

func phraseChoices(of []phrase) []form.Choice {
	var out []form.Choice
	for _, p := range of {
		out = append(out, form.Pick(p.name, p.words))
	}
	return out
}

// PhraseField is the field of the editor for a fault in a part of a rule: when.value_over stands in the row that says so.
func PhraseField(rows RuleRows, field string) string {
	list, part, _ := strings.Cut(field, ".")
	names := map[string][]string{"when": rows.When, "then": rows.Then}[list]
	name, _, _ := strings.Cut(part, "[")
	if i := slices.Index(names, name); i >= 0 {
		return fmt.Sprintf("%s[%d].%s", list, i, name)
	}
	return field
}
