package papers

import (
	"net/http"
	"strings"

	"solander/fault"
	"solander/measure"
	"solander/papers"
	"solander/paperwork"
	"solander/web/form"
	"solander/web/page"
)

// DayPDF draws the papers of a day of one kind: "labels.pdf".
func (f *Papers) DayPDF(w http.ResponseWriter, r *http.Request) error {
	kind, isPDF := strings.CutSuffix(r.PathValue("file"), ".pdf")
	if !isPDF {
		return fault.New(fault.Missing, "there is no paper %.30q", r.PathValue("file")).ToMend("open it from the bench")
	}
	day, err := page.QueryDay(r)
	if err != nil {
		return err
	}
	bundle, err := paperwork.DayPapers(r.Context(), f.Seen(r), day, paperwork.Kind(kind))
	return page.ServePaper(w, kind, bundle, err)
}

// StickersPage asks which sheet of stickers the labels of the day are printed on.
type StickersPage struct {
	page.Frame
	Form    *form.Form
	Known   []*form.Field // which of the known sheets
	Stated  []*form.Field // of a sheet that is stated by its sizes
	Open    bool          // that it is
	Asked   string        // the sheet asked for, in words; "" = none was, or it is wrong
	Drawing *page.Drawing
	Paper   string // address of the stickers as PDF
}

// Stickers asks for the sheet, and shows the one asked for as it will be printed.
func (f *Papers) Stickers(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.Frame(r, "bench", "Labels on stickers")
	if err != nil {
		return err
	}
	in := stickersIn{}
	p := &StickersPage{Frame: fr, Form: in.form(fr.Units)}
	q := r.URL.Query()
	p.Form.Ask("day", "").As("hidden").Is(q.Get("day"))
	for _, fd := range p.Form.Fields() {
		if fd.Name == "size" || fd.Name == "first" || fd.Name == "day" {
			p.Known = append(p.Known, fd)
		} else {
			p.Stated = append(p.Stated, fd)
		}
	}
	if !q.Has("size") {
		return f.Show(w, r, http.StatusOK, "stickers", p)
	}
	err = p.Form.Take(q)
	if p.Open = in.size == stated; err == nil {
		err = in.sheet.Validate(in.first)
	}
	if err != nil {
		p.Faults, p.Links = fault.All(err), p.Form.Blame(err)
		return f.Show(w, r, page.StatusOf(&page.Failure{Err: err}), "stickers", p)
	}
	p.Asked, p.Drawing, p.Paper = in.sheet.Say(), page.Draw(in.sheet.View(in.first)), "/papers/stickers.pdf?"+r.URL.RawQuery
	return f.Show(w, r, http.StatusOK, "stickers", p)
}

func (f *Papers) StickersPDF(w http.ResponseWriter, r *http.Request) error {
	in := stickersIn{}
	if err := in.form(page.Settings(r).Units).Take(r.URL.Query()); err != nil {
		return err
	}
	day, err := page.QueryDay(r)
	if err != nil {
		return err
	}
	sheet, err := paperwork.DayStickers(r.Context(), f.Seen(r), day, in.sheet, in.first)
	return page.ServePaper(w, "stickers", sheet, err)
}

// stickersIn is what the form of a sheet of stickers asks for.
type stickersIn struct {
	size  string // the name of a known sheet, or stated
	paper string
	sheet papers.Stickers
	first int
}

// stated is the choice of a sheet that is stated by its sizes.
const stated = "stated"

func (in *stickersIn) form(u measure.System) *form.Form {
	fm := form.New("stickers", "/papers/stickers")
	in.first, in.paper, in.sheet = 1, papers.Leaves()[0].Name, papers.StickerSizes()[0]
	if u == measure.Metric {
		in.paper = papers.Leaves()[1].Name
	}
	var sizes, leaves []form.Choice
	for _, s := range papers.StickerSizes() {
		if pick := form.Pick(s.Name, s.Say()); s.Paper.Name == in.paper {
			sizes = append(sizes, pick)
		}
	}
	for _, s := range papers.StickerSizes() {
		if s.Paper.Name != in.paper {
			sizes = append(sizes, form.Pick(s.Name, s.Say()))
		}
	}
	in.size = sizes[0].Value
	for _, l := range papers.Leaves() {
		leaves = append(leaves, form.Pick(l.Name, l.Name+", "+papers.Sides(l.Units(), l.Width, l.Height)))
	}
	form.Select(fm, "size", "Stickers", &in.size, append(sizes, form.Pick(stated, "another sheet, stated below"))...)
	fm.Whole("first", "First free place", &in.first).Small().WithHint("row by row, from the top left; 1 on a new sheet")
	fm.When(func() bool { return in.size == stated }, func() {
		form.Select(fm, "paper", "Paper", &in.paper, leaves...)
		fm.Whole("columns", "Columns", &in.sheet.Columns).Small()
		fm.Whole("rows", "Rows", &in.sheet.Rows).Small()
		fm.Length("width", "Width of a sticker", &in.sheet.Width, u).Small()
		fm.Length("height", "Height", &in.sheet.Height, u).Small()
		fm.Length("left", "Left margin", &in.sheet.Left, u).Small()
		fm.Length("top", "Top margin", &in.sheet.Top, u).Small()
		fm.Length("across", "Across, edge to edge", &in.sheet.Across, u).Small().WithHint("from one left edge to the next")
		fm.Length("down", "Down, edge to edge", &in.sheet.Down, u).Small().WithHint("from one top edge to the next")
		fm.Then(func(l *fault.List) {
			var err error
			in.sheet.Name = ""
			in.sheet.Paper, err = papers.LeafNamed(in.paper)
			l.Add(err)
		})
	})
	fm.Then(func(l *fault.List) {
		if in.size != stated {
			var err error
			in.sheet, err = papers.StickersNamed(in.size)
			l.Add(err)
		}
	})
	return fm
}
