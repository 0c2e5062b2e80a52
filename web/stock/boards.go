package stock

import (
	"fmt"
	"net/http"
	"strconv"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/papers"
	"solander/planning"
	"solander/web/form"
	"solander/web/page"
)

// Rows that the form of a cutting list has for sheets and for boards, at least.
const (
	sheetRows = 2
	boardRows = 5
)

// BoardsPage asks what boards are wanted and shows the cutting list.
type BoardsPage struct {
	page.Frame
	Form     *form.Form
	Rows     []boardRow
	Needed   []planning.BoardNeed
	Proof    string // what is known of the list; "" = none was made
	Cost     money.Amount
	Sheets   []drawnSheet
	Cautions []string
	Paper    string // address of the list as PDF
}

// boardRow is the fields of one size.
type boardRow struct {
	Fields []*form.Field
}

// drawnSheet is a sheet of the list with its drawing.
type drawnSheet struct {
	papers.DrawnSheet
	Drawing *page.Drawing
}

// Boards shows the form filled from the address, and with it the list. An address without sizes is filled
// with the boards that the bench's plans of today take.
func (f *Drawer) Boards(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.Frame(r, "drawer", "Cut boards")
	if err != nil {
		return err
	}
	p := &BoardsPage{Frame: fr}
	needed, err := planning.BoardsNeededLater(r.Context(), f.Seen(r), calendar.Day{})
	if err != nil {
		return err
	}
	return page.After(w, r, func(w http.ResponseWriter) error {
		if p.Needed, err = needed(r.Context()); err != nil {
			return err
		}
		return f.showBoards(w, r, p)
	})
}

// showBoards shows what is asked for, with the list when it is whole.
func (f *Drawer) showBoards(w http.ResponseWriter, r *http.Request, p *BoardsPage) error {
	in := planning.BoardsIn{Format: planning.BoardsFormat}
	p.Form = boardsForm(r, &in, len(p.Needed)+1)
	p.Rows = boardRowsOf(p.Form)
	if !r.URL.Query().Has("kerf") {
		p.fillNeeded()
		return f.Show(w, r, http.StatusOK, "boards", p)
	}
	var list planning.CutList
	err := p.Form.Take(r.URL.Query())
	if err == nil {
		list, err = planning.CutBoards(r.Context(), f.Studio, in)
	}
	if err != nil {
		if page.Ours(err) {
			return err
		}
		err = atRows(err, in)
		p.Faults, p.Links = fault.All(err), p.Form.Blame(err)
		return f.Show(w, r, page.StatusOf(&page.Failure{Err: err}), "boards", p)
	}
	p.Proof, p.Cost, p.Cautions = list.Proof(), money.Of(list.Cost, page.Settings(r).Currency), list.Cautions
	for i, s := range list.Sheets {
		p.Sheets = append(p.Sheets, drawCutSheet(s.Drawn(p.Units, i+1)))
	}
	p.Paper = "/papers/boards.pdf?" + r.URL.RawQuery
	return f.Show(w, r, http.StatusOK, "boards", p)
}

// rowsIn is how many rows of a kind an address names, within reason.
func rowsIn(q map[string][]string, kind string) int {
	n := 0
	for n < 50 {
		if _, ok := q[fmt.Sprintf("%s%d.width", kind, n+1)]; !ok {
			break
		}
		n++
	}
	return n
}

// boardsForm asks for sheets and boards; the rows that are not empty are taken, each by the place of its row.
func boardsForm(r *http.Request, in *planning.BoardsIn, least int) *form.Form {
	fm, q, set := form.New("boards", "/boards"), r.URL.Query(), page.Settings(r)
	for i := range max(sheetRows, rowsIn(q, "sheet")) {
		at, s := fmt.Sprintf("sheet%d.", i+1), planning.BigSheet{ID: fmt.Sprintf("sheet %d", i+1)}
		fm.Length(at+"width", fmt.Sprintf("Sheet %d: width", i+1), &s.Width, set.Units)
		fm.Length(at+"height", "Height", &s.Height, set.Units)
		fm.Whole(at+"count", "On hand", &s.Count).OrEmpty().WithHint("empty: plenty")
		fm.Minor(at+"cost", "Cost of one", &s.Cost, set.Currency).OrEmpty()
		fm.Then(func(*fault.List) {
			if fm.Typed(at+"width", at+"height") {
				in.Sheets = append(in.Sheets, s)
			}
		})
	}
	for i := range max(boardRows, least, rowsIn(q, "board")) {
		at, b := fmt.Sprintf("board%d.", i+1), planning.BoardWanted{ID: fmt.Sprintf("board %d", i+1)}
		fm.Length(at+"width", fmt.Sprintf("Board %d: width", i+1), &b.Width, set.Units)
		fm.Length(at+"height", "Height", &b.Height, set.Units)
		fm.Whole(at+"count", "Wanted", &b.Count).OrEmpty()
		fm.Tick(at+"one_way", "Not turned", &b.OneWay)
		fm.Then(func(*fault.List) {
			if fm.Typed(at+"width", at+"height") {
				in.Boards = append(in.Boards, b)
			}
		})
	}
	fm.Length("kerf", "A cut takes away", &in.Kerf, set.Units).Is("0").WithHint("0 for a knife; about 1/8 in for a saw")
	fm.Then(func(l *fault.List) {
		l.Check(len(in.Sheets) > 0, "sheet1.width", "no big sheet is given", "give the size of at least one")
		l.Check(len(in.Boards) > 0, "board1.width", "no board is wanted", "give the size of at least one")
	})
	return fm
}

func boardRowsOf(fm *form.Form) []boardRow {
	var out []boardRow
	all := fm.Fields()
	for i := 0; i+4 < len(all); i += 4 {
		out = append(out, boardRow{Fields: all[i : i+4]})
	}
	return out
}

// fillNeeded puts the boards of the bench into the form.
func (p *BoardsPage) fillNeeded() {
	for i, n := range p.Needed {
		at := fmt.Sprintf("board%d.", i+1)
		p.Form.Find(at + "width").Is(n.Item.Width.In(p.Units))
		p.Form.Find(at + "height").Is(n.Item.Height.In(p.Units))
		p.Form.Find(at + "count").Is(strconv.Itoa(n.Needed))
	}
}

// atRows names the form's field for a fault of the list's.
func atRows(err error, in planning.BoardsIn) error {
	var l fault.List
	for _, e := range fault.All(err) {
		for i, s := range in.Sheets {
			e = rename(e, fmt.Sprintf("sheets[%d].", i), "sheet"+s.ID[len("sheet "):]+".")
		}
		for i, b := range in.Boards {
			e = rename(e, fmt.Sprintf("boards[%d].", i), "board"+b.ID[len("board "):]+".")
		}
		l.Add(e)
	}
	return l.Err()
}

func rename(e *fault.Error, from, to string) *fault.Error {
	if len(e.Field) > len(from) && e.Field[:len(from)] == from {
		return e.In(to + e.Field[len(from):])
	}
	return e
}

// drawCutSheet draws a sheet with the words of its drawing as SVG text.
func drawCutSheet(s papers.DrawnSheet) drawnSheet {
	d := drawnSheet{DrawnSheet: s, Drawing: page.Draw(s.View)}
	if d.Drawing == nil {
		return d
	}
	d.Drawing.Width, d.Drawing.Height = d.Drawing.Width*3/2, d.Drawing.Height*3/2
	for _, m := range s.Marks {
		d.Drawing.Words = append(d.Drawing.Words, page.DrawnWord{X: page.Tenths(m.X), Y: page.Tenths(m.Y), Text: m.Text, Cut: m.Cut})
	}
	_, _, w, h := s.View.Bounds()
	d.Drawing.Letter = max(1, max(page.Tenths(w), page.Tenths(h))/42)
	return d
}

func (f *Drawer) BoardsPDF(w http.ResponseWriter, r *http.Request) error {
	in := planning.BoardsIn{Format: planning.BoardsFormat}
	if err := boardsForm(r, &in, 0).Take(r.URL.Query()); err != nil {
		return err
	}
	paper, err := planning.BoardsPaper(r.Context(), f.Seen(r), in)
	return page.ServePaper(w, "boards", paper, err)
}
