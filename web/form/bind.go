package form

import (
	"net/url"
	"slices"
	"strconv"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/measure"
	"solander/money"
)

// take is what becomes of what was typed into a field.
type take struct {
	field *Field
	do    func(*fault.List)
}

// Bind asks for a field that shows value. Taken, read gets what was typed, trimmed, and "" for nothing; its faults
// stand beside the field.
func (f *Form) Bind(name, label, value string, read func(typed string) error) *Field {
	fd := f.Ask(name, label).Is(value)
	f.Then(func(l *fault.List) {
		if fd.Required && fd.Value == "" {
			l.Add(fault.Invalidf(name, "it is missing").ToMend("fill it in"))
		}
		typed := fd.Value
		if fd.upper {
			typed = strings.ToUpper(typed)
		}
		for _, e := range fault.All(read(typed)) {
			l.Add(e.In(name))
		}
	})
	return fd
}

// Then does something when the fields asked so far are taken: what needs more than one of them.
func (f *Form) Then(do func(*fault.List)) {
	t := take{do: do}
	if n := len(f.fields); n > 0 {
		t.field = f.fields[n-1]
	}
	if when := f.when; when != nil {
		t.do = func(l *fault.List) {
			if when() {
				do(l)
			}
		}
	}
	f.takes = append(f.takes, t)
}

// When asks for fields that are taken only if what was typed says so: rows that may stay empty.
func (f *Form) When(is func() bool, ask func()) {
	before := f.when
	f.when = func() bool { return (before == nil || before()) && is() }
	ask()
	f.when = before
}

// Typed reports whether something stands in one of the fields.
func (f *Form) Typed(names ...string) bool {
	for _, name := range names {
		if fd := f.Find(name); fd != nil && fd.Value != "" {
			return true
		}
	}
	return false
}

// Take takes over what was typed, in the order asked, into the values that the fields are bound to. An empty field that
// is not required gives the zero value.
func (f *Form) Take(typed url.Values) error {
	f.Read(typed)
	return f.taken(func(*Field) bool { return true })
}

// TakeAnd is Take and then do, when nothing that was typed is wrong.
func (f *Form) TakeAnd(typed url.Values, do func() error) error {
	if err := f.Take(typed); err != nil {
		return err
	}
	return do()
}

// TakeStep takes the fields of one step, as they stand in the form.
func (f *Form) TakeStep(step int) error {
	return f.taken(func(fd *Field) bool { return fd != nil && fd.Step == step })
}

func (f *Form) taken(which func(*Field) bool) error {
	var l fault.List
	for _, t := range f.takes {
		if which(t.field) {
			t.do(&l)
		}
	}
	return l.Err()
}

// parsed sets a value to what was typed, or to none.
func parsed[T any](v *T, none T, parse func(string) (T, error)) func(string) error {
	return func(typed string) (err error) {
		if *v = none; typed != "" {
			*v, err = parse(typed)
		}
		return err
	}
}

// shown is a value as its field shows it; nothing for the zero value.
func shown[T comparable](v T, text func() string) string {
	if none := *new(T); v == none {
		return ""
	}
	return text()
}

func (f *Form) Text(name, label string, v *string) *Field { return Select(f, name, label, v) }

// Area asks for a text of several lines.
func (f *Form) Area(name, label string, v *string) *Field { return f.Text(name, label, v).As("area") }

// Select asks for a word; one of the choices, if there are some.
func Select[T ~string](f *Form, name, label string, v *T, choices ...Choice) *Field {
	fd := f.Bind(name, label, string(*v), func(typed string) error { *v = T(typed); return nil })
	if len(choices) > 0 {
		fd.Of(choices...)
	}
	return fd
}

// Tick asks yes or no.
func (f *Form) Tick(name, label string, v *bool) *Field {
	fd := f.Ask(name, label).As("check")
	if *v {
		fd.Is("1")
	}
	f.Then(func(*fault.List) { *v = fd.Checked() })
	return fd
}

// Words asks for a list; what stands between is shown between its words.
func (f *Form) Words(name, label string, v *[]string, between string) *Field {
	return f.Bind(name, label, strings.Join(*v, between), func(typed string) error { *v = Words(typed); return nil })
}

// Amount asks for money of a currency.
func (f *Form) Amount(name, label string, v *money.Amount, currency string) *Field {
	return f.AmountIn(name, label, v, func() string { return currency })
}

// AmountIn asks for money of a currency that is known when the form is taken, as by a field before it.
func (f *Form) AmountIn(name, label string, v *money.Amount, currency func() string) *Field {
	was := *v
	if was.Currency == "" {
		was = money.Of(was.Minor, currency())
	}
	fd := f.Bind(name, label, was.Plain(), func(typed string) error {
		cur := currency()
		return parsed(v, money.Of(0, cur), func(typed string) (money.Amount, error) { return money.Parse(typed, cur) })(typed)
	})
	fd.zero = was.IsZero()
	return fd.WithMode("decimal")
}

// AmountAs asks for money of a currency that an unseen field of the form names, so that an amount typed into a page that is no longer true is
// never taken for one of another currency.
func (f *Form) AmountAs(name, label string, v *money.Amount, currency string) *Field {
	in := currency
	if v.Currency != "" {
		in = v.Currency
	}
	f.Text(name+"_in", "", &in).As("hidden")
	return f.AmountIn(name, label, v, func() string {
		if in == "" {
			return currency
		}
		return in
	})
}

// Minor asks for money that is kept as a number of minor units.
func (f *Form) Minor(name, label string, v *int64, currency string) *Field {
	a := money.Of(*v, currency)
	fd := f.Amount(name, label, &a, currency)
	f.Then(func(*fault.List) { *v = a.Minor })
	return fd
}

// AmountIf asks for money that may stay unsaid.
func (f *Form) AmountIf(name, label string, v **money.Amount, currency string) *Field {
	var a money.Amount
	if *v != nil {
		a = **v
	}
	fd := f.Amount(name, label, &a, currency)
	if *v == nil {
		fd.Is("")
	}
	f.Then(func(*fault.List) {
		if *v = nil; fd.Value != "" {
			*v = &a
		}
	})
	return fd
}

func (f *Form) Day(name, label string, v *calendar.Day) *Field {
	return f.Bind(name, label, v.String(), parsed(v, calendar.Day{}, calendar.ParseDay)).As("date")
}

// Length asks for a length; a number alone is in the units.
func (f *Form) Length(name, label string, v *measure.Length, u measure.System) *Field {
	text := shown(*v, func() string { return v.In(u) })
	return measured(f.Bind(name, label, text, parsed(v, 0, func(typed string) (measure.Length, error) { return measure.ParseLength(typed, u) })))
}

// measured marks a field that is short and may stand beside another one on a phone.
func measured(fd *Field) *Field { fd.Class = "measured"; return fd }

// LengthIf asks for a length that may stay unsaid.
func (f *Form) LengthIf(name, label string, v **measure.Length, u measure.System) *Field {
	return IfSaid(f, name, label, v, func(l measure.Length) string { return l.In(u) }, func(typed string) (measure.Length, error) { return measure.ParseLength(typed, u) })
}

// IfSaid asks for a value that may stay unsaid.
func IfSaid[T any](f *Form, name, label string, v **T, show func(T) string, parse func(string) (T, error)) *Field {
	text := ""
	if *v != nil {
		text = show(**v)
	}
	return f.Bind(name, label, text, func(typed string) error {
		if *v = nil; typed == "" {
			return nil
		}
		got, err := parse(typed)
		*v = &got
		return err
	})
}

// Ticks asks for some of the choices, a box each, named by the list, a point and the choice. What is bound and is none of them
// stands among them, so that it is not lost.
func (f *Form) Ticks(name string, v *[]string, choices ...Choice) []*Field {
	var out []*Field
	was := *v
	f.Then(func(*fault.List) { *v = nil })
	for _, word := range was {
		if !slices.ContainsFunc(choices, func(c Choice) bool { return c.Value == word }) {
			choices = append(slices.Clip(choices), Pick(word, word))
		}
	}
	for _, c := range choices {
		fd := f.Ask(name+"."+c.Value, c.Text).As("check")
		if slices.Contains(was, c.Value) {
			fd.Is("1")
		}
		f.Then(func(*fault.List) {
			if fd.Checked() {
				*v = append(*v, c.Value)
			}
		})
		out = append(out, fd)
	}
	return out
}

// Caliper asks for the thickness of a sheet.
func (f *Form) Caliper(name, label string, v *measure.Length, u measure.System) *Field {
	return f.Length(name, label, v, u).Is(shown(*v, func() string { return v.Caliper(u) }))
}

func (f *Form) Mass(name, label string, v *measure.Mass, u measure.System) *Field {
	text := shown(*v, func() string { return v.In(u) })
	return measured(f.Bind(name, label, text, parsed(v, 0, func(typed string) (measure.Mass, error) { return measure.ParseMass(typed, u) })))
}

// MassIf asks for a mass that may stay unsaid.
func (f *Form) MassIf(name, label string, v **measure.Mass, u measure.System) *Field {
	return measured(IfSaid(f, name, label, v, func(m measure.Mass) string { return m.In(u) }, func(typed string) (measure.Mass, error) { return measure.ParseMass(typed, u) }))
}

func (f *Form) Grammage(name, label string, v *measure.Grammage) *Field {
	return measured(f.Bind(name, label, shown(*v, v.String), parsed(v, 0, measure.ParseGrammage)))
}

// Whole asks for a whole number.
func (f *Form) Whole(name, label string, v *int) *Field {
	fd := f.Bind(name, label, strconv.Itoa(*v), parsed(v, 0, func(typed string) (int, error) {
		n, err := strconv.ParseInt(typed, 10, 32)
		if err != nil {
			return int(n), fault.Invalidf(name, "%.20q is not a whole number", typed).ToMend("write it in digits, like 12")
		}
		return int(n), nil
	}))
	fd.zero = *v == 0
	return fd.WithMode("numeric")
}

// ID asks for one of a list by its number; 0 is none.
func (f *Form) ID(name, label string, v *int64, choices ...Choice) *Field {
	fd := f.Bind(name, label, shown(*v, func() string { return strconv.FormatInt(*v, 10) }), parsed(v, 0, func(typed string) (int64, error) {
		n, err := strconv.ParseInt(typed, 10, 64)
		if err != nil || n < 0 {
			return 0, fault.Invalidf(name, "%.20q is not in the list", typed).ToMend("choose one of the list")
		}
		return n, nil
	}))
	return fd.Of(choices...)
}

// OrEmpty shows nothing in place of zero.
func (fd *Field) OrEmpty() *Field {
	if fd.zero {
		fd.Value = ""
	}
	return fd
}
