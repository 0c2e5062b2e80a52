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
	set := page.Settings(r)
	p := &BoardsPage{Frame: fr}
	if p.Needed, err = planning.BoardsNeeded(r.Context(), f.Studio, calendar.Day{}); err != nil {
		return err
	}
	q := r.URL.Query()
	p.Form = boardsForm(max(boardRows, len(p.Needed)+1, rowsIn(q, "board")), max(sheetRows, rowsIn(q, "sheet")))
	p.Rows = boardRowsOf(p.Form)
	if !q.Has("kerf") {
		p.fillNeeded()
		return f.Show(w, r, http.StatusOK, "boards", p)
	}
	p.Form.Read(q)
	in, err := readBoards(p.Form, fr, set.Currency)
	var list planning.CutList
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
	p.Proof, p.Cost, p.Cautions = list.Proof(), money.Of(list.Cost, set.Currency), list.Cautions
	for i, s := range list.Sheets {
		p.Sheets = append(p.Sheets, drawCutSheet(s.Drawn(fr.Units, i+1)))
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

func boardsForm(boards, sheets int) *form.Form {
	fm := form.New("boards", "/boards")
	for i := range sheets {
		at := fmt.Sprintf("sheet%d.", i+1)
		fm.Ask(at+"width", fmt.Sprintf("Sheet %d: width", i+1))
		fm.Ask(at+"height", "Height")
		fm.Ask(at+"count", "On hand").WithMode("numeric").WithHint("empty: plenty")
		fm.Ask(at+"cost", "Cost of one").WithMode("decimal")
	}
	for i := range boards {
		at := fmt.Sprintf("board%d.", i+1)
		fm.Ask(at+"width", fmt.Sprintf("Board %d: width", i+1))
		fm.Ask(at+"height", "Height")
		fm.Ask(at+"count", "Wanted").WithMode("numeric")
		fm.Ask(at+"one_way", "Not turned").As("check")
	}
	fm.Ask("kerf", "A cut takes away").Is("0").WithHint("0 for a knife; about 1/8 in for a saw")
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

// readBoards reads the rows that are not empty; each goes by the place of its row.
func readBoards(fm *form.Form, fr page.Frame, currency string) (planning.BoardsIn, error) {
	rd := fm.Reader()
	in := planning.BoardsIn{Format: planning.BoardsFormat, Kerf: rd.Length("kerf", fr.Units)}
	for i := 1; fm.Find(fmt.Sprintf("sheet%d.width", i)) != nil; i++ {
		at := fmt.Sprintf("sheet%d.", i)
		s := planning.BigSheet{ID: fmt.Sprintf("sheet %d", i), Width: rd.Length(at+"width", fr.Units), Height: rd.Length(at+"height", fr.Units), Count: rd.Whole(at + "count"), Cost: rd.Amount(at+"cost", currency).Minor}
		if fm.Find(at+"width").Value != "" || fm.Find(at+"height").Value != "" {
			in.Sheets = append(in.Sheets, s)
		}
	}
	for i := 1; fm.Find(fmt.Sprintf("board%d.width", i)) != nil; i++ {
		at := fmt.Sprintf("board%d.", i)
		b := planning.BoardWanted{ID: fmt.Sprintf("board %d", i), Width: rd.Length(at+"width", fr.Units), Height: rd.Length(at+"height", fr.Units), Count: rd.Whole(at + "count"), OneWay: rd.Ticked(at + "one_way")}
		if fm.Find(at+"width").Value != "" || fm.Find(at+"height").Value != "" {
			in.Boards = append(in.Boards, b)
		}
	}
	if len(in.Sheets) == 0 {
		rd.Add(fault.Invalidf("sheet1.width", "no big sheet is given").ToMend("give the size of at least one"))
	}
	if len(in.Boards) == 0 {
		rd.Add(fault.Invalidf("board1.width", "no board is wanted").ToMend("give the size of at least one"))
	}
	return in, rd.Err()
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
	fr, err := f.Frame(r, "drawer", "")
	if err != nil {
		return err
	}
	set := page.Settings(r)
	q := r.URL.Query()
	fm := boardsForm(max(boardRows, rowsIn(q, "board")), max(sheetRows, rowsIn(q, "sheet")))
	fm.Read(q)
	in, err := readBoards(fm, fr, set.Currency)
	if err != nil {
		return err
	}
	paper, err := planning.BoardsPaper(r.Context(), f.Studio, in)
	return page.ServePaper(w, "boards", paper, err)
}
