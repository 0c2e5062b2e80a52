package house

import (
	"fmt"
	"io"
	"net/http"
	"slices"

	"solander/fault"
	"solander/house"
	"solander/measure"
	"solander/packing"
	"solander/studio"
	"solander/supply"
	"solander/web/form"
	"solander/web/page"
)

// WrapsPage shows wraps and house rules in words, and as the data they are.
type WrapsPage struct {
	page.Frame
	Wraps []wrapLine
	Rules []packing.Rule
	Form  *form.Form
}

// wrapLine is a wrap in words.
type wrapLine struct {
	Name   string
	Note   string
	Layers []string
}

func wrapLines(wraps []packing.Wrap, u measure.System) []wrapLine {
	var out []wrapLine
	for _, wr := range wraps {
		l := wrapLine{Name: wr.Name, Note: wr.Note}
		if l.Name == "" {
			l.Name = wr.ID
		}
		for _, ly := range wr.Layers {
			l.Layers = append(l.Layers, layerWords(ly, u))
		}
		out = append(out, l)
	}
	return out
}

// layerWords says a layer of a wrap: "2 boards for the parcel, 1/4 in free at each side".
func layerWords(ly packing.Layer, u measure.System) string {
	s := page.Many(max(1, ly.Count), string(ly.Kind))
	switch ly.Per {
	case packing.PerSheet:
		s += " for each sheet"
	case packing.PerGap:
		s += " between sheets"
	}
	for _, c := range []struct {
		l    measure.Length
		what string
	}{{ly.Clearance.Sides, "at each side"}, {ly.Clearance.Thickness, "in thickness"}, {ly.Clearance.Ends, "at each end"}, {ly.Clearance.Across, "across"}} {
		if c.l != 0 {
			s += ", " + c.l.In(u) + " free " + c.what
		}
	}
	return s
}

func wrapsForm(set *studio.Settings) *form.Form {
	fm := form.New("wraps", "/studio/wraps")
	askJSON(fm, "wraps", "Wraps as JSON", pretty(set.Wraps, set.Units), &set.Wraps).WithHint("explained below")
	askJSON(fm, "rules", "House rules as JSON", pretty(set.Rules, set.Units), &set.Rules).WithHint("explained below")
	return fm.Sealed()
}

func (f *House) Wraps(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	fr, err := f.Frame(r, "studio", "Wraps and house rules")
	if err != nil {
		return err
	}
	set := page.Settings(r)
	p := &WrapsPage{Frame: fr, Wraps: wrapLines(set.Wraps, fr.Units), Rules: set.Rules}
	p.Tell(fail)
	p.Form = p.Put(wrapsForm(&set), fail)
	return f.Show(w, r, page.StatusOf(fail), "wraps", p)
}

func (f *House) SaveWraps(w http.ResponseWriter, r *http.Request) error {
	if err := house.ChangeSettings(r.Context(), f.Studio, form.Changing(r, wrapsForm)); err != nil {
		return f.ShowAgain(w, r, "wraps", err, f.Wraps)
	}
	return f.DoneSaying(w, r, "/studio/wraps", "settings")
}

// listsForm asks for papers, labs and grades: the papers row by row, the others a line each.
func listsForm(set *studio.Settings) *form.Form {
	fm := form.New("lists", "/studio/lists")
	askPapers(fm, &set.Papers, set.Units)
	fm.Words("labs", "Labs, one a line", &set.Labs, "\n").As("area").Half()
	fm.Words("grades", "Grades, one a line", &set.Grades, "\n").As("area").Half()
	return fm.Sealed()
}

func askPapers(fm *form.Form, papers *[]supply.Paper, u measure.System) {
	rows := append(slices.Clone(*papers), supply.Paper{}, supply.Paper{})
	*papers = nil
	for i := range rows {
		at, pp := fmt.Sprintf("papers[%d].", i), &rows[i]
		fm.When(func() bool { return fm.Typed(at + "name") }, func() {
			fm.Text(at+"name", "Paper", &pp.Name).Class = "name"
			fm.Grammage(at+"grammage", "Grammage", &pp.Grammage).Class = "part4"
			fm.Caliper(at+"caliper", "Thickness", &pp.Caliper, u).Class = "part4"
			fm.Length(at+"tightest_roll", "Tightest roll", &pp.TightestRoll, u).Class = "part4"
			fm.Then(func(*fault.List) { *papers = append(*papers, *pp) })
		})
	}
}

const listWords = "What set-up offered and what you use: papers with their grammage (310 gsm or 80 lb cover), thickness (20 pt or 0.5 mm) and the tightest roll they bear (empty: never rolled). An empty name takes a paper off the list."

func (f *House) Lists(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	set := page.Settings(r)
	return f.ShowForm(w, r, page.OneForm{
		Room: "studio", Title: "Papers, labs and grades", Under: listWords,
		Button: "Save the lists", Back: toStudio, Form: listsForm(&set),
	}, fail)
}

func (f *House) SaveLists(w http.ResponseWriter, r *http.Request) error {
	err := house.ChangeSettings(r.Context(), f.Studio, form.Changing(r, listsForm))
	if err != nil {
		return f.ShowAgain(w, r, "lists", err, f.Lists)
	}
	return f.DoneSaying(w, r, "/studio/lists", "settings")
}

// CheckPage tells what the studio's own check found.
type CheckPage struct {
	page.Frame
	Findings []studio.Finding
	Done     bool
}

func (f *House) Check(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.Frame(r, "studio", "Check")
	if err != nil {
		return err
	}
	p := &CheckPage{Frame: fr, Done: true}
	if p.Findings, err = house.Check(r.Context(), f.Seen(r)); err != nil {
		return err
	}
	return f.Show(w, r, http.StatusOK, "check", p)
}

// Backup streams a consistent copy of everything.
func (f *House) Backup(w http.ResponseWriter, r *http.Request) error {
	today, err := house.Today(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	return page.After(w, r, func(w http.ResponseWriter) error {
		w.Header().Set("Content-Type", "application/octet-stream")
		w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="studio-%s.solander"`, today))
		return f.SendLong(w, r, "backup", func(w io.Writer) error { return house.Backup(r.Context(), f.Studio, w) })
	})
}
