// Package layouts is the forms of files for sellers of postage, in a browser: which columns they have, and under which headings labels
// come back. The exported methods of Layouts answer the routes of package web.
package layouts

import (
	"net/http"
	"net/url"
	"slices"

	"solander/fault"
	"solander/labelling"
	"solander/postage"
	"solander/web/form"
	"solander/web/page"
)

// Layouts is the handlers of this room.
type Layouts struct {
	*page.Kit
}

// LayoutPage is the editor of a layout.
type LayoutPage struct {
	page.Frame
	Form    *form.Form
	Columns []columnRow
	New     []form.Choice
	Focus   string
}

// columnRow is a column as a row of the editor.
type columnRow struct {
	At, Number  int
	First, Last bool
	Fields      []*form.Field
}

// fixed stands for a column that holds a text, the same in every row.
const fixed = "text"

// words are the fields as the page calls them.
var words = map[postage.Field]string{
	postage.Key: "parcel: the order, and which of its parcels", postage.Mark: "order", postage.Ref: "the outlet’s reference", postage.Name: "name",
	postage.Line1: "street", postage.Line2: "street, second line", postage.City: "town", postage.Region: "state", postage.Postcode: "postcode",
	postage.Country: "country, two letters", postage.CountryName: "country, its name", postage.Email: "mail", postage.Phone: "phone",
	postage.Prints: "how many prints", postage.Mass: "weight", postage.Length: "length", postage.Width: "width", postage.Height: "height",
	postage.Service: "service, as planned", postage.Value: "value", postage.Currency: "currency", postage.Packed: "day packed", postage.Promised: "day promised",
}

// choices are what a column may hold.
func choices() []form.Choice {
	out := []form.Choice{form.Pick(fixed, "a text of its own")}
	for _, f := range postage.Fields() {
		out = append(out, form.Pick(string(f), words[f]))
	}
	return out
}

// ask lays a layout out as a form.
func ask(was string, l *postage.Layout) (*form.Form, []columnRow) {
	fm := form.New("layout", "/studio/layouts")
	fm.Ask("was", "").As("hidden").Is(was)
	fm.Text("name", "Name", &l.Name).Must().Half()
	var rows []columnRow
	for i := range l.Columns {
		rows = append(rows, columnRow{At: i, Number: i + 1, First: i == 0, Last: i == len(l.Columns)-1, Fields: column(fm, i, &l.Columns[i])})
	}
	pick := func(name, label string, v *string, words ...string) *form.Field {
		var of []form.Choice
		for _, word := range words {
			of = append(of, form.Pick(word, word))
		}
		return fm.Text(name, label, v).Of(of...)
	}
	pick("separator", "Between columns", &l.Separator, "comma", "semicolon", "tab")
	pick("decimal", "Decimal sign", &l.Decimal, "point", "comma")
	pick("mass", "Weight in", &l.Mass, "g", "kg", "oz", "lb").WithHint("rounded up")
	pick("length", "Sizes in", &l.Length, "mm", "cm", "in").WithHint("rounded up")
	pick("date", "Days as", &l.Date, postage.Dates()...)
	fm.Tick("no_head", "Without a line of headings", &l.NoHead)
	fm.Tick("bare", "Leave cells that look like formulas as they are", &l.Bare).
		WithHint("only for a seller who takes the apostrophe for text; never open such a file in a spreadsheet")
	fm.Text("back_mark", "Parcel comes back under", &l.Back.Mark).Must().Half()
	fm.Text("back_tracking", "Tracking number under", &l.Back.Tracking).Must().Half()
	fm.Text("back_price", "Price paid under", &l.Back.Price).Half()
	fm.Text("back_service", "Service under", &l.Back.Service).Half()
	return fm, rows
}

// column asks for a column: its heading, what it holds, and the text when it holds one.
func column(fm *form.Form, i int, c *postage.Column) []*form.Field {
	at := "columns[" + form.Text64(int64(i)) + "]."
	what := string(c.Field)
	if what == "" {
		what = fixed
	}
	out := []*form.Field{fm.Text(at+"heading", "Heading", &c.Heading)}
	pick := fm.Bind(at+"field", "holds", what, func(typed string) error {
		if c.Field = postage.Field(typed); typed == fixed {
			c.Field = ""
		}
		return nil
	}).Of(choices()...)
	out = append(out, pick)
	if c.Field == "" {
		out = append(out, fm.Text(at+"text", "text", &c.Text).WithHint("the same in every row"))
	} else {
		fm.Then(func(*fault.List) { c.Text = "" })
	}
	return out
}

// drawn is the layout with as many columns as were typed, each with what it holds, so that its form has their fields.
func drawn(l postage.Layout, typed url.Values) postage.Layout {
	l.Columns = make([]postage.Column, form.Rows(typed, "columns"))
	for i := range l.Columns {
		if f := typed.Get("columns[" + form.Text64(int64(i)) + "].field"); f != fixed {
			l.Columns[i].Field = postage.Field(f)
		}
	}
	return l
}

// Layout shows the editor of the layout that the address names; without a name that of a new one, which begins as the first.
func (f *Layouts) Layout(w http.ResponseWriter, r *http.Request) error {
	return f.show(w, r, r.PathValue("layout"), nil, "", nil)
}

func (f *Layouts) show(w http.ResponseWriter, r *http.Request, name string, typed url.Values, focus string, wrong error) error {
	return f.Visit(w, r, func(w http.ResponseWriter, r *http.Request) error {
		all, err := labelling.Layouts(r.Context(), f.Seen(r))
		if err != nil {
			return err
		}
		l, title := all[0], "New layout"
		l.Name = ""
		if name != "" {
			i := slices.IndexFunc(all, func(l postage.Layout) bool { return l.Name == name })
			if i < 0 {
				return fault.New(fault.Missing, "no layout is called %.60q", name).ToMend("choose one of the list")
			}
			l, title = all[i], "Layout "+name
		}
		fr, err := f.Frame(r, "studio", title)
		if err != nil {
			return err
		}
		p := &LayoutPage{Frame: fr, New: choices(), Focus: focus}
		stands, _ := ask(name, &l)
		if name != "" {
			stands.Sealed()
		}
		p.Form = stands
		now := l
		if typed != nil {
			now = drawn(l, typed)
		}
		fm, rows := ask(name, &now)
		if seal := stands.Find("stood"); seal != nil {
			fm.Ask("stood", "").As("hidden").Is(seal.Value)
		}
		p.Form, p.Columns = fm, rows
		var fail *page.Failure
		switch {
		case wrong != nil:
			fail = &page.Failure{Form: fm.Name, Typed: typed, Err: wrong}
			p.Put(fm, fail)
		case typed != nil:
			fm.Read(typed)
		}
		fm.Focus(focus)
		return f.Show(w, r, page.StatusOf(fail), "layout", p)
	})
}

// Save does what the button says: it saves the layout, or only shows the draft anew.
func (f *Layouts) Save(w http.ResponseWriter, r *http.Request) error {
	typed := r.PostForm
	was, do := typed.Get("was"), typed.Get("do")
	if do != "save" {
		focus := ""
		if deed, ok := form.DeedOf(do); ok && deed.List == "columns" {
			typed = deed.On(typed, "field")
			focus = deed.Focus(form.Rows(typed, deed.List))
		}
		return f.show(w, r, was, typed, focus, nil)
	}
	err := labelling.ChangeLayout(r.Context(), f.Studio, was, func(l *postage.Layout) error {
		if was != "" {
			now := *l
			stands, _ := ask(was, &now)
			if err := stands.Sealed().StillAsRows(typed); err != nil {
				return err
			}
		}
		*l = drawn(*l, typed)
		fm, _ := ask(was, l)
		return fm.Take(typed)
	})
	if err == nil {
		return f.DoneSaying(w, r, "/studio/files", "layout")
	}
	if page.Ours(err) {
		return err
	}
	return f.show(w, r, was, typed, "", err)
}

// Drop takes a layout out.
func (f *Layouts) Drop(w http.ResponseWriter, r *http.Request) error {
	if err := labelling.DropLayout(r.Context(), f.Studio, r.PostForm.Get("name")); err != nil {
		return err
	}
	return f.DoneSaying(w, r, "/studio/files", "layout-gone")
}
