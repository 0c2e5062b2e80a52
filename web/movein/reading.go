package movein

import (
	"context"
	"fmt"
	"net/http"
	"strings"

	"solander/dayplan"
	"solander/fault"
	"solander/intake"
	"solander/intake/guess"
	"solander/intake/kept"
	"solander/movein"
	"solander/web/form"
	"solander/web/movein/rows"
	"solander/web/page"
)

// ReadingPage shows her own rows, and asks what each column is and what each of her colours means.
type ReadingPage struct {
	page.Frame
	Arrival  kept.Arrival
	Colours  string // address of the style sheet of her colours; "" = none
	Sheets   []sheetView
	Fills    []fillView
	Words    []wordAsked
	NoWord   *form.Field // what an empty state means
	Whole    *form.Form
	Offers   []offerView
	Findings []intake.Finding
	New      []string // headings that the saved reading does not know
}

// Asked returns the fields that are about the whole file.
func (p *ReadingPage) Asked() []*form.Field {
	var out []*form.Field
	for _, name := range []string{"currency", "outlet", "country", "days", "decimal", "unit", "several", "name"} {
		if fd := p.Whole.Find(name); fd != nil {
			out = append(out, fd)
		}
	}
	return out
}

// sheetView is one sheet: her rows, and a slip for each column.
type sheetView struct {
	Place  int
	Name   string
	Rows   []rowView
	More   int // rows that are not shown
	Heads  []string
	Fields []*form.Field // skip, header
	Own    []*form.Field // what holds for all its rows
	Says   bool          // one of them says something
	Slips  []slipView
	Open   bool
}

// rowView is one of her rows.
type rowView struct {
	N     int
	Head  bool
	Cells []cellView
}

// cellView is a cell in her colour.
type cellView struct {
	Text  string
	Class string
	Word  string // of the colour, for those who do not see it
}

// slipView is what one column is.
type slipView struct {
	Letters string
	Heading string
	Values  []string
	Field   *form.Field
	Why     string
}

// fillView is what one colour means.
type fillView struct {
	guess.FillSeen
	Class string
	Word  string
	Where string
	Field *form.Field
}

// wordAsked is what one word means.
type wordAsked struct {
	guess.WordSeen
	Field *form.Field
}

// offerView is a saved reading that fits.
type offerView struct {
	Name  string
	Found string
	Here  bool
}

// Bounds of what one page shows of a file.
const (
	rowsShown    = 12
	columnsShown = 40
	sheetsShown  = 30
	valuesShown  = 3
)

func (f *Files) Reading(w http.ResponseWriter, r *http.Request) error {
	read, err := f.toRead(r)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "orders", "")
	if err != nil {
		return err
	}
	x := &page.Reckoning{Title: "Reading the file", Room: "orders", Word: "read", Halt: "Stop reading"}
	x.Show = func(w http.ResponseWriter, r *http.Request, result any) error {
		got, ok := result.(*readFile)
		if !ok {
			return fmt.Errorf("web: %T is no file", result)
		}
		return f.showReading(w, r, fr, got, nil)
	}
	return f.Reckoned(w, r, x, func(ctx context.Context, tell dayplan.Tell) (any, error) { return read(ctx, tell) }, f.fileFault)
}

// readFile is a file that waits, read, with what is offered for it.
type readFile struct {
	arrival kept.Arrival
	table   intake.Table
	guess   guess.Guess
	offers  []guess.Match
	mapping intake.Mapping // the one shown: chosen, decided, offered or guessed
	chosen  string         // its name among the saved ones
	fresh   []string       // headings that it does not know
}

// toRead gets what reading a file begins with.
func (f *Files) toRead(r *http.Request) (func(context.Context, dayplan.Tell) (*readFile, error), error) {
	a, err := f.givenOf(r)
	if err != nil {
		return nil, err
	}
	saved, err := movein.Mappings(r.Context(), f.Seen(r))
	return func(ctx context.Context, tell dayplan.Tell) (*readFile, error) {
		t, err := f.tableOf(ctx, a, tell)
		if err != nil {
			return nil, err
		}
		x := &readFile{arrival: a.Arrival, table: t, guess: guess.New(t), offers: guess.Offer(t, saved)}
		x.choose(r.URL.Query().Get("as"))
		return x, nil
	}, err
}

func (f *Files) read(r *http.Request) (*readFile, error) {
	read, err := f.toRead(r)
	if err != nil {
		return nil, err
	}
	return read(r.Context(), nil)
}

// choose takes the reading asked for by its name ("new": the guess), else the one decided on, the best saved one
// that fits whole, or the guess.
func (x *readFile) choose(asked string) {
	x.mapping = x.guess.Mapping
	if x.mapping.Name == "" {
		x.mapping.Name = strings.TrimSuffix(strings.TrimSuffix(x.arrival.Name, ".xlsx"), ".csv")
	}
	switch {
	case asked == "new":
		return
	case asked != "":
		for _, m := range x.offers {
			if m.Mapping.Name == asked {
				x.take(m)
				return
			}
		}
	case x.arrival.Mapping != nil:
		x.mapping, x.chosen = *x.arrival.Mapping, x.arrival.Mapping.Name
	case len(x.offers) > 0 && x.offers[0].Whole:
		x.take(x.offers[0])
	}
}

// take takes a saved reading; what it does not know is filled as guessed, and told.
func (x *readFile) take(m guess.Match) {
	x.mapping, x.chosen, x.fresh = withGuess(m.Mapping, x.guess.Mapping), m.Mapping.Name, m.New
}

// showReadingAgain shows how a file is read with what is wrong about it.
func (f *Files) showReadingAgain(w http.ResponseWriter, r *http.Request, x *readFile, fail *page.Failure) error {
	fr, err := f.Frame(r, "orders", "")
	if err != nil {
		return err
	}
	return f.showReading(w, r, fr, x, fail)
}

func (f *Files) showReading(w http.ResponseWriter, r *http.Request, fr page.Frame, x *readFile, fail *page.Failure) error {
	fr.Title = "What " + x.arrival.Name + " says"
	set := page.Settings(r)
	p := &ReadingPage{Frame: fr, Arrival: x.arrival, Findings: x.table.Findings, Whole: x.ask(set, new(decided)), New: x.fresh}
	for _, m := range x.offers {
		p.Offers = append(p.Offers, offerView{m.Mapping.Name, fmt.Sprintf("%d of %d headings", m.Found, m.Of), m.Mapping.Name == x.chosen})
	}
	if fail != nil && fail.Form == "" {
		p.Tell(fail)
	}
	p.Put(p.Whole, fail)
	p.fill(x)
	return f.Show(w, r, page.StatusOf(fail), "reading", p)
}

// fill lays the form's fields beside what they are about.
func (p *ReadingPage) fill(x *readFile) {
	var seen []intake.Fill
	for i, s := range x.table.Sheets[:min(len(x.table.Sheets), sheetsShown)] {
		v := x.sheetView(i, s, p.Whole)
		for _, row := range v.Rows {
			for j := range row.Cells {
				seen = append(seen, x.fillAt(s, row.N, j))
			}
		}
		p.Sheets = append(p.Sheets, v)
	}
	for _, fs := range x.guess.Fills {
		seen = append(seen, fs.Fill)
		v := fillView{FillSeen: fs, Class: rows.FillClass(fs.Fill), Word: fs.Fill.Word(), Field: p.Whole.Find("fill." + fs.Fill.String())}
		v.Where = rows.PlaceWords(fs.First)
		p.Fills = append(p.Fills, v)
	}
	if fs := x.guess.NoFill; fs != nil {
		p.Fills = append(p.Fills, fillView{FillSeen: *fs, Word: "no colour", Where: rows.PlaceWords(fs.First), Field: p.Whole.Find("no_fill")})
	}
	p.NoWord = p.Whole.Find("no_word")
	for i, ws := range x.guess.Words {
		p.Words = append(p.Words, wordAsked{ws, p.Whole.Find(fmt.Sprintf("word%d", i))})
	}
	p.Colours = rows.ColoursPath(seen)
}

func (x *readFile) fillAt(s intake.Sheet, n, column int) intake.Fill {
	for _, r := range s.Rows {
		if r.N == n {
			return r.At(column).Fill
		}
	}
	return 0
}

// width is how many columns of a sheet hold something.
func width(s intake.Sheet) int {
	n := 0
	for _, r := range s.Rows {
		for j, c := range r.Cells {
			if j >= n && (strings.TrimSpace(c.Text) != "" || !c.Fill.Plain()) {
				n = j + 1
			}
		}
	}
	return min(n, columnsShown)
}

func (x *readFile) sheetView(i int, s intake.Sheet, fm *form.Form) sheetView {
	m := x.sheetMap(s)
	n := width(s)
	own, says := ownOf(fm, fmt.Sprintf("s%d.", i))
	v := sheetView{Own: own, Says: says, Place: i, Name: s.Name, Open: !m.Skip, More: max(0, len(s.Rows)-rowsShown), Fields: fm.Fields(fmt.Sprintf("s%d.sheet.", i))}
	for j := range n {
		v.Heads = append(v.Heads, intake.Letters(j))
	}
	for _, r := range s.Rows[:min(len(s.Rows), rowsShown)] {
		row := rowView{N: r.N, Head: r.N == m.Header}
		for j := range n {
			c := r.At(j)
			cell := cellView{Text: fault.Clip(c.Text), Class: rows.FillClass(c.Fill)}
			if cell.Class != "" {
				cell.Word = c.Fill.Word()
			}
			row.Cells = append(row.Cells, cell)
		}
		v.Rows = append(v.Rows, row)
	}
	for j := range n {
		v.Slips = append(v.Slips, slipView{
			Letters: intake.Letters(j), Heading: headingAt(s, m.Header, j), Values: valuesOf(s, m, j),
			Field: fm.Find(columnName(i, j)), Why: x.why(s.Name, j, m),
		})
	}
	return v
}

func columnName(sheet, column int) string { return fmt.Sprintf("s%d.c%d", sheet, column) }

func headingAt(s intake.Sheet, header, column int) string {
	for _, r := range s.Rows {
		if r.N == header && header != 0 {
			return strings.TrimSpace(r.At(column).Text)
		}
	}
	return ""
}

// valuesOf shows the first different values of a column.
func valuesOf(s intake.Sheet, m intake.SheetMap, column int) []string {
	var out []string
	seen := map[string]bool{"": true}
	for _, r := range s.Rows {
		text := strings.TrimSpace(r.At(column).Text)
		if r.N <= m.Header || seen[text] {
			continue
		}
		seen[text] = true
		if out = append(out, fault.Clip(text)); len(out) == valuesShown {
			break
		}
	}
	return out
}

// why says why a column's field was guessed, as long as it is the guessed one.
func (x *readFile) why(sheet string, column int, m intake.SheetMap) string {
	for _, rs := range x.guess.Reasons {
		if rs.Sheet == sheet && rs.Column == column && rs.Part == "field" && rs.Value == string(fieldAt(m, column)) {
			if strings.HasPrefix(rs.Why, "its heading is ") {
				return "" // the heading stands above
			}
			return rs.Why
		}
	}
	return ""
}

// sheetMap is how the mapping reads a sheet.
func (x *readFile) sheetMap(s intake.Sheet) intake.SheetMap {
	for _, m := range x.mapping.Sheets {
		if m.Sheet == s.Name {
			return m
		}
	}
	for _, m := range x.mapping.Sheets {
		if m.Sheet == "" {
			return m
		}
	}
	return intake.SheetMap{Sheet: s.Name, Skip: true}
}

func fieldAt(m intake.SheetMap, column int) intake.Field {
	for _, c := range m.Columns {
		if c.Column == column {
			return c.Field
		}
	}
	return intake.Unused
}
