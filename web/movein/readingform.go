package movein

import (
	"cmp"
	"errors"
	"fmt"
	"net/http"
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

// decided is how a file is to be read, as her form says.
type decided struct {
	intake.Mapping
	moved bool // headings stand in another row than before: the columns have other headings then
}

// ask asks for everything, filled from the mapping.
func (x *readFile) ask(set studio.Settings, in *decided) *form.Form {
	m := &in.Mapping
	*m = x.mapping
	m.Format, m.Fills, m.Words, m.Sheets = intake.MappingFormat, nil, nil, make([]intake.SheetMap, len(x.table.Sheets))
	m.Currency, m.Country = cmp.Or(m.Currency, set.Currency), cmp.Or(m.Country, set.Address.Country)
	const unsaid = "ask me each time"
	fm := form.New("reading", fmt.Sprintf("/intake/%d", x.arrival.ID))
	fm.Text("name", "Name of this reading", &m.Name).Must().WithHint("it is offered again for files with the same headings")
	fm.Text("currency", "Money is in", &m.Currency).Must().Small().Upper()
	fm.Text("outlet", "Rows that name no outlet were sold at", &m.Outlet)
	fm.Bind("country", "Addresses without a country are in", m.Country, func(typed string) error { m.Country = countryTyped(typed); return nil }).WithHint("its name, or two letters such as US")
	form.Select(fm, "days", "4/6/2025 is", &m.Days, form.Pick("", unsaid), form.Pick("dm", "4 June (day first)"), form.Pick("md", "April 6 (month first)"))
	form.Select(fm, "decimal", "1,250 is", &m.Decimal, form.Pick("", unsaid), form.Pick(".", "one thousand two hundred and fifty"), form.Pick(",", "one and a quarter"))
	form.Select(fm, "unit", "12 x 18 without a unit is", &m.Unit, form.Pick("", unsaid), form.Pick("in", "inches"), form.Pick("cm", "centimetres"), form.Pick("mm", "millimetres"))
	form.Select(fm, "several", "The price of a row with several prints is", &m.Several, form.Pick("", unsaid), form.Pick("each", "of each print"), form.Pick("all", "of all of them together"))
	for i, s := range x.table.Sheets {
		m.Sheets[i] = intake.SheetMap{Sheet: s.Name, Skip: true}
		if i < sheetsShown {
			x.askSheet(fm, i, s, in)
		}
	}
	x.askMeanings(fm, m)
	return fm
}

// askMeanings asks what each colour and each word means, and having none.
func (x *readFile) askMeanings(fm *form.Form, m *intake.Mapping) {
	means := func(name, label, none string, v *intake.Meaning) { form.Select(fm, name, label, v, meanings(none)...) }
	const unsaid = "not said: ask me"
	for _, fs := range x.guess.Fills {
		none := unsaid
		if fs.Fill.Plain() {
			none = "the same as rows without a colour"
		}
		is := intake.FillMap{Fill: fs.Fill, Means: x.means(fs.Fill)}
		means("fill."+fs.Fill.String(), "Rows in "+fs.Fill.Word()+" are", none, &is.Means)
		fm.Then(func(*fault.List) {
			if is.Means != "" {
				m.Fills = append(m.Fills, is)
			}
		})
	}
	if x.guess.NoFill != nil {
		means("no_fill", "Rows without a colour are", unsaid, &m.NoFill)
	}
	if x.guess.NoWord != nil {
		means("no_word", "An empty cell is", unsaid, &m.NoWord)
	}
	for i, ws := range x.guess.Words {
		is := intake.WordMap{Text: ws.Text, Means: x.wordMeans(ws)}
		means(fmt.Sprintf("word%d", i), "“"+fault.Clip(ws.Text)+"” is", unsaid, &is.Means)
		fm.Then(func(*fault.List) {
			if is.Means != "" {
				m.Words = append(m.Words, is)
			}
		})
	}
}

// askSheet asks how a sheet is read; one that holds no sales is left out.
func (x *readFile) askSheet(fm *form.Form, i int, s intake.Sheet, in *decided) {
	was := x.sheetMap(s)
	at, is, used := fmt.Sprintf("s%d.", i), was, !was.Skip
	fm.Tick(at+"sheet.use", "This sheet holds sales", &used)
	rows := []form.Choice{form.Pick("0", "there are none")}
	for _, r := range s.Rows[:min(len(s.Rows), 30)] {
		if !r.Blank() {
			rows = append(rows, form.Pick(strconv.Itoa(r.N), fmt.Sprintf("row %d: %s", r.N, fault.Clip(firstWords(r)))))
		}
	}
	fm.Whole(at+"sheet.header", "Headings stand in", &is.Header).Of(rows...)
	askOwn(fm, at, &is)
	fields := make([]intake.Field, width(s))
	for j := range fields {
		label := "Column " + intake.Letters(j)
		if h := headingAt(s, was.Header, j); h != "" {
			label += ", " + fault.Clip(h)
		}
		fields[j] = fieldAt(was, j)
		form.Select(fm, columnName(i, j), label, &fields[j], fieldChoices()...)
	}
	fm.Then(func(*fault.List) {
		if !used {
			return
		}
		is.Sheet, is.Skip, is.Columns = s.Name, false, nil
		if is.Header != was.Header {
			is.First = 0
			in.moved = in.moved || !was.Skip
		}
		for j, fd := range fields {
			if heading := headingAt(s, is.Header, j); fd != "" || heading != "" { // one that is not used is known, too
				is.Columns = append(is.Columns, intake.Column{Column: j, Heading: heading, Field: fd})
			}
		}
		in.Sheets[i] = is
	})
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
	var in decided
	fm := x.ask(page.Settings(r), &in)
	err = form.Once(errors.Join(fm.Take(r.PostForm), in.Validate())) // all that is wrong at once
	if err == nil && r.PostForm.Get("keep") != "" && !in.moved {
		err = movein.SaveMapping(studio.Part(r.Context()), f.Studio, in.Mapping)
	}
	if err == nil {
		err = movein.Decide(r.Context(), f.Studio, x.arrival.ID, in.Mapping)
	}
	if err != nil {
		return f.showReadingAgain(w, r, x, page.Failed(fm, r, err))
	}
	to := fmt.Sprintf("/intake/%d", x.arrival.ID)
	if !in.moved {
		to += "/trial"
	}
	return f.DoneSaying(w, r, to, "decided")
}

// countryTyped is the code of a country typed by code or name; what is none stays, to be told.
func countryTyped(text string) string {
	if code, ok := order.CountryNamed(text); ok {
		return code
	}
	return text
}
