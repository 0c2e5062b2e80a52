package house

import (
	"fmt"
	"io"
	"net/http"
	"slices"

	"solander/fault"
	"solander/house"
	"solander/measure"
	"solander/studio"
	"solander/supply"
	"solander/web/form"
	"solander/web/page"
)

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
	Unseen   string // what could not be shown, in one sentence; "" = nothing
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
	vouched, err := f.Seen(r).Store.Vouched(r.Context())
	if err != nil {
		return err
	}
	p.Unseen = vouched.Says()
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
