package movein

import (
	"cmp"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"solander/fault"
	"solander/intake"
	"solander/intake/guess"
	"solander/movein"
	"solander/order"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// ask asks for everything, filled from the mapping.
func (x *readFile) ask(set studio.Settings) *form.Form {
	fm := form.New("reading", fmt.Sprintf("/intake/%d", x.arrival.ID))
	fm.Ask("name", "Name of this reading").Is(x.mapping.Name).Must().WithHint("it is offered again for files with the same headings")
	fm.Ask("currency", "Money is in").Is(cmp.Or(x.mapping.Currency, set.Currency)).Must().Small()
	fm.Ask("outlet", "Rows that name no outlet were sold at").Is(x.mapping.Outlet)
	fm.Ask("country", "Addresses without a country are in").Is(cmp.Or(x.mapping.Country, set.Address.Country)).WithHint("its name, or two letters such as US")
	fm.Ask("days", "4/6/2025 is").Is(string(x.mapping.Days)).Of(form.Pick("", "ask me each time"), form.Pick("dm", "4 June (day first)"), form.Pick("md", "April 6 (month first)"))
	fm.Ask("decimal", "1,250 is").Is(x.mapping.Decimal).Of(form.Pick("", "ask me each time"), form.Pick(".", "one thousand two hundred and fifty"), form.Pick(",", "one and a quarter"))
	fm.Ask("unit", "12 x 18 without a unit is").Is(x.mapping.Unit).Of(form.Pick("", "ask me each time"), form.Pick("in", "inches"), form.Pick("cm", "centimetres"), form.Pick("mm", "millimetres"))
	fm.Ask("several", "The price of a row with several prints is").Is(x.mapping.Several).Of(form.Pick("", "ask me each time"), form.Pick("each", "of each print"), form.Pick("all", "of all of them together"))
	for i, s := range x.table.Sheets[:min(len(x.table.Sheets), sheetsShown)] {
		x.askSheet(fm, i, s)
	}
	for _, fs := range x.guess.Fills {
		none := "not said: ask me"
		if fs.Fill.Plain() {
			none = "the same as rows without a colour"
		}
		fm.Ask("fill."+fs.Fill.String(), "Rows in "+fs.Fill.Word()+" are").Is(string(x.means(fs.Fill))).Of(meanings(none)...)
	}
	if x.guess.NoFill != nil {
		fm.Ask("no_fill", "Rows without a colour are").Is(string(x.mapping.NoFill)).Of(meanings("not said: ask me")...)
	}
	if x.guess.NoWord != nil {
		fm.Ask("no_word", "An empty cell is").Is(string(x.mapping.NoWord)).Of(meanings("not said: ask me")...)
	}
	for i, ws := range x.guess.Words {
		means := x.wordMeans(ws)
		fm.Ask(fmt.Sprintf("word%d", i), "“"+fault.Clip(ws.Text)+"” is").Is(string(means)).Of(meanings("not said: ask me")...)
	}
	return fm
}

func (x *readFile) askSheet(fm *form.Form, i int, s intake.Sheet) {
	m := x.sheetMap(s)
	at := fmt.Sprintf("s%d.", i)
	fm.Ask(at+"sheet.use", "This sheet holds sales").As("check").Is(map[bool]string{false: "1"}[m.Skip])
	rows := []form.Choice{form.Pick("0", "there are none")}
	for _, r := range s.Rows[:min(len(s.Rows), 30)] {
		if !r.Blank() {
			rows = append(rows, form.Pick(strconv.Itoa(r.N), fmt.Sprintf("row %d: %s", r.N, fault.Clip(firstWords(r)))))
		}
	}
	fm.Ask(at+"sheet.header", "Headings stand in").Is(strconv.Itoa(m.Header)).Of(rows...)
	askOwn(fm, at, m)
	for j := range width(s) {
		label := "Column " + intake.Letters(j)
		if h := headingAt(s, m.Header, j); h != "" {
			label += ", " + fault.Clip(h)
		}
		fm.Ask(columnName(i, j), label).Is(string(fieldAt(m, j))).Of(fieldChoices()...)
	}
}

func firstWords(r intake.Row) string {
	var parts []string
	for _, c := range r.Cells {
		if t := strings.TrimSpace(c.Text); t != "" && len(parts) < 4 {
			parts = append(parts, t)
		}
	}
	return strings.Join(parts, ", ")
}

func fieldChoices() []form.Choice {
	out := []form.Choice{form.Pick("", "not used; kept with the row")}
	for _, fd := range intake.Fields() {
		if fd != intake.Unused {
			out = append(out, form.Pick(string(fd), fd.Long()))
		}
	}
	return out
}

func meanings(none string) []form.Choice {
	out := []form.Choice{form.Pick("", none)}
	for _, m := range intake.Meanings() {
		out = append(out, form.Pick(string(m), m.Long()))
	}
	return out
}

func (x *readFile) means(f intake.Fill) intake.Meaning {
	for _, m := range x.mapping.Fills {
		if m.Fill == f {
			return m.Means
		}
	}
	return ""
}

func (x *readFile) wordMeans(w guess.WordSeen) intake.Meaning {
	for _, m := range x.mapping.Words {
		if intake.Fold(m.Text) == intake.Fold(w.Text) {
			return m.Means
		}
	}
	return w.Means
}

// Decide saves how the file is read, and leads to the trial; when the row of the headings was moved, the page comes
// again, for the columns have other headings then.
func (f *Files) Decide(w http.ResponseWriter, r *http.Request) error {
	x, err := f.read(r)
	if err != nil {
		return f.fileFault(w, r, err)
	}
	set := page.Settings(r)
	fm := x.ask(set)
	fm.Read(r.PostForm)
	m, moved := x.readMapping(fm, r.PostForm)
	err = m.Validate()
	if err == nil && r.PostForm.Get("keep") != "" && !moved {
		err = movein.SaveMapping(studio.Part(r.Context()), f.Studio, m)
	}
	if err == nil {
		err = movein.Decide(r.Context(), f.Studio, x.arrival.ID, m)
	}
	if err != nil {
		return f.showReadingAgain(w, r, x, page.Failed(fm, r, err))
	}
	to := fmt.Sprintf("/intake/%d", x.arrival.ID)
	if !moved {
		to += "/trial"
	}
	return f.DoneSaying(w, r, to, "decided")
}

// readMapping is the mapping of a form; moved says that headings stand in another row than before.
func (x *readFile) readMapping(fm *form.Form, typed url.Values) (m intake.Mapping, moved bool) {
	m = intake.Mapping{
		Format: intake.MappingFormat, Name: typedOf(fm, "name"), Currency: strings.ToUpper(typedOf(fm, "currency")), Outlet: typedOf(fm, "outlet"),
		Country: countryTyped(typedOf(fm, "country")), Days: intake.DayOrder(typedOf(fm, "days")), Decimal: typedOf(fm, "decimal"), Unit: typedOf(fm, "unit"), Several: typedOf(fm, "several"),
	}
	for i, s := range x.table.Sheets {
		old := x.sheetMap(s)
		sm := intake.SheetMap{Sheet: s.Name, Skip: true}
		at := fmt.Sprintf("s%d.", i)
		if fm.Find(at+"sheet.use") != nil && typed.Get(at+"sheet.use") != "" {
			sm.Skip = false
			sm.Header, _ = strconv.Atoi(typedOf(fm, at+"sheet.header")) // one of the list; else 0, which Read tells
			if sm.Header == old.Header {
				sm.First = old.First
			} else if !old.Skip {
				moved = true
			}
			readOwn(&sm, at, fm)
			x.readColumns(&sm, i, s, fm)
		}
		m.Sheets = append(m.Sheets, sm)
	}
	m.NoFill, m.NoWord = x.lackMeans(fm, "no_fill", x.mapping.NoFill), x.lackMeans(fm, "no_word", x.mapping.NoWord)
	for _, fs := range x.guess.Fills {
		if v := typedOf(fm, "fill."+fs.Fill.String()); v != "" {
			m.Fills = append(m.Fills, intake.FillMap{Fill: fs.Fill, Means: intake.Meaning(v)})
		}
	}
	for i, ws := range x.guess.Words {
		if v := typedOf(fm, fmt.Sprintf("word%d", i)); v != "" {
			m.Words = append(m.Words, intake.WordMap{Text: ws.Text, Means: intake.Meaning(v)})
		}
	}
	return m, moved
}

// lackMeans is what having no colour or no word means: as typed, or as it was where the page does not ask.
func (x *readFile) lackMeans(fm *form.Form, name string, was intake.Meaning) intake.Meaning {
	if fm.Find(name) == nil {
		return was
	}
	return intake.Meaning(typedOf(fm, name))
}

func (x *readFile) readColumns(sm *intake.SheetMap, i int, s intake.Sheet, fm *form.Form) {
	for j := range width(s) {
		v, heading := typedOf(fm, columnName(i, j)), headingAt(s, sm.Header, j)
		if v != "" || heading != "" { // one that is not used is known, too
			sm.Columns = append(sm.Columns, intake.Column{Column: j, Heading: heading, Field: intake.Field(v)})
		}
	}
}

func typedOf(fm *form.Form, name string) string {
	if fd := fm.Find(name); fd != nil {
		return strings.TrimSpace(fd.Value)
	}
	return ""
}

// countryTyped is the code of a country typed by code or name; what is none stays, to be told.
func countryTyped(text string) string {
	if code, ok := order.CountryNamed(text); ok {
		return code
	}
	return text
}
