package web

import (
	"fmt"
	"net/http"
	"strings"

	"solander/measure"
	"solander/packing"
	"solander/studio"
	"solander/supply"
)

// wrapsPage shows wraps and house rules in words, and as the data they are.
type wrapsPage struct {
	frame
	Wraps []wrapLine
	Rules []packing.Rule
	Form  *form
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
	s := many(max(1, ly.Count), string(ly.Kind))
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

func wrapsForm(set studio.Settings) *form {
	fm := newForm("wraps", "/studio/wraps")
	fm.ask("wraps", "Wraps as JSON").as("code").wide().is(pretty(set.Wraps, set.Units)).hint("explained below")
	fm.ask("rules", "House rules as JSON").as("code").wide().is(pretty(set.Rules, set.Units)).hint("explained below")
	return fm.sealed()
}

func (f *face) wraps(w http.ResponseWriter, r *http.Request) error { return f.showWraps(w, r, nil) }

func (f *face) showWraps(w http.ResponseWriter, r *http.Request, fail *failure) error {
	fr, err := f.frame(r, "studio", "Wraps and house rules")
	if err != nil {
		return err
	}
	set, err := f.studio.Settings(r.Context())
	if err != nil {
		return err
	}
	p := &wrapsPage{frame: fr, Wraps: wrapLines(set.Wraps, fr.Units), Rules: set.Rules}
	p.tell(fail)
	p.Form = p.put(wrapsForm(set), fail)
	return f.show(w, r, statusOf(fail), "wraps", p)
}

func (f *face) saveWraps(w http.ResponseWriter, r *http.Request) error {
	if err := f.studio.ChangeSettings(r.Context(), changing(r, wrapsForm, readWraps)); err != nil {
		if ours(err) {
			return err
		}
		return f.showWraps(w, r, failedIn("wraps", r, err))
	}
	return f.doneSaying(w, r, "/studio/wraps", "settings")
}

func readWraps(rd *reader, set studio.Settings) studio.Settings {
	set.Wraps, set.Rules = nil, nil
	if text := rd.text("wraps"); text != "" {
		rd.Add(fromJSON("wraps", text, &set.Wraps))
	}
	if text := rd.text("rules"); text != "" {
		rd.Add(fromJSON("rules", text, &set.Rules))
	}
	return set
}

// listsForm asks for papers, labs and grades: the papers row by row, the others a line each.
func listsForm(set studio.Settings) *form {
	u := set.Units
	fm := newForm("lists", "/studio/lists")
	for i := range len(set.Papers) + 2 {
		at := fmt.Sprintf("papers[%d].", i)
		var pp supply.Paper
		if i < len(set.Papers) {
			pp = set.Papers[i]
		}
		name := fm.ask(at+"name", "Paper").is(pp.Name)
		name.Class = "name"
		gram, cal, roll := fm.ask(at+"grammage", "Grammage"), fm.ask(at+"caliper", "Thickness"), fm.ask(at+"tightest_roll", "Tightest roll")
		if pp.Grammage != 0 {
			gram.is(pp.Grammage.String())
			cal.is(pp.Caliper.Caliper(u))
		}
		if pp.TightestRoll != 0 {
			roll.is(pp.TightestRoll.In(u))
		}
		gram.Class, cal.Class, roll.Class = "part4", "part4", "part4"
	}
	fm.ask("labs", "Labs, one a line").as("area").half().is(strings.Join(set.Labs, "\n"))
	fm.ask("grades", "Grades, one a line").as("area").half().is(strings.Join(set.Grades, "\n"))
	return fm.sealed()
}

const listWords = "What set-up offered and what you use: papers with their grammage (310 gsm or 80 lb cover), thickness (20 pt or 0.5 mm) and the tightest roll they bear (empty: never rolled). An empty name takes a paper off the list."

func (f *face) lists(w http.ResponseWriter, r *http.Request) error { return f.showLists(w, r, nil) }

func (f *face) showLists(w http.ResponseWriter, r *http.Request, fail *failure) error {
	set, err := f.studio.Settings(r.Context())
	if err != nil {
		return err
	}
	return f.showForm(w, r, "studio", "Papers, labs and grades", listWords, "Save the lists", toStudio, listsForm(set), fail)
}

func (f *face) saveLists(w http.ResponseWriter, r *http.Request) error {
	err := f.studio.ChangeSettings(r.Context(), changing(r, listsForm, func(rd *reader, set studio.Settings) studio.Settings {
		set.Papers = readPapers(rd, set.Units)
		set.Labs, set.Grades = words(rd.text("labs")), words(rd.text("grades"))
		return set
	}))
	if err != nil {
		if ours(err) {
			return err
		}
		return f.showLists(w, r, failedIn("lists", r, err))
	}
	return f.doneSaying(w, r, "/studio/lists", "settings")
}

func readPapers(rd *reader, u measure.System) []supply.Paper {
	var out []supply.Paper
	for i := 0; rd.form.find(fmt.Sprintf("papers[%d].name", i)) != nil; i++ {
		at := fmt.Sprintf("papers[%d].", i)
		if rd.text(at+"name") == "" {
			continue
		}
		out = append(out, supply.Paper{Name: rd.text(at + "name"), Grammage: rd.grammage(at + "grammage"), Caliper: rd.length(at+"caliper", u), TightestRoll: rd.length(at+"tightest_roll", u)})
	}
	return out
}

// checkPage tells what the studio's own check found.
type checkPage struct {
	frame
	Findings []studio.Finding
	Done     bool
}

func (f *face) check(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.frame(r, "studio", "Check")
	if err != nil {
		return err
	}
	p := &checkPage{frame: fr, Done: true}
	if p.Findings, err = f.studio.Check(r.Context()); err != nil {
		return err
	}
	return f.show(w, r, http.StatusOK, "check", p)
}

// backup streams a consistent copy of everything.
func (f *face) backup(w http.ResponseWriter, r *http.Request) error {
	today, err := f.studio.Today(r.Context())
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/octet-stream")
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="studio-%s.solander"`, today))
	out := &counted{ResponseWriter: w}
	if err := f.studio.Backup(r.Context(), out); err != nil {
		if out.n == 0 {
			w.Header().Del("Content-Disposition")
			return err
		}
		f.brokeOff(r, "backup", err)
		panic(http.ErrAbortHandler) // a cut connection tells the browser that the copy is not whole
	}
	return nil
}

// counted counts what was written.
type counted struct {
	http.ResponseWriter
	n int
}

func (c *counted) Write(b []byte) (int, error) {
	n, err := c.ResponseWriter.Write(b)
	c.n += n
	return n, err
}

// helpPage explains the rooms and the keys.
type helpPage struct{ frame }

func (f *face) help(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.frame(r, "", "Help and keys")
	if err != nil {
		return err
	}
	return f.show(w, r, http.StatusOK, "help", &helpPage{fr})
}
