package web

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"solander/edition"
	"solander/fault"
	"solander/measure"
	"solander/studio"
)

// numberPage is one number with its whole history.
type numberPage struct {
	frame
	Number  studio.NumberView
	Name    string
	Word    string
	Back    string
	History []edition.Entry
	Before  string // link to the number before
	After   string
	Deeds   []numberDeed
}

// numberDeed is a step that may be taken now.
type numberDeed struct {
	Head, Button string
	Form         *form
}

// units are those of the studio; inches while they are not known.
func (f *face) units(r *http.Request) measure.System {
	set, err := f.studio.Settings(r.Context())
	if err != nil || set.Units == "" {
		return measure.Imperial
	}
	return set.Units
}

func (f *face) numberOf(r *http.Request) (studio.EditionView, edition.Number, error) {
	id, err := pathID(r, "edition")
	if err != nil {
		return studio.EditionView{}, edition.Number{}, err
	}
	v, err := f.studio.Edition(r.Context(), id)
	if err != nil {
		return v, edition.Number{}, err
	}
	n, err := pathNumber(r, v.Edition)
	return v, n, err
}

func (f *face) number(w http.ResponseWriter, r *http.Request) error {
	v, n, err := f.numberOf(r)
	if err != nil {
		return err
	}
	return f.showNumber(w, r, v.Edition, n, nil)
}

func (f *face) showNumber(w http.ResponseWriter, r *http.Request, e edition.Edition, n edition.Number, fail *failure) error {
	v, err := f.studio.Number(r.Context(), e.ID, n)
	if err != nil {
		return err
	}
	fr, err := f.frame(r, "editions", v.Label+" of "+e.Title)
	if err != nil {
		return err
	}
	p := &numberPage{frame: fr, Number: v, Name: e.Name(fr.Units), Word: stateWords[v.Row.Standing.State], History: v.History, Back: fmt.Sprintf("/editions/%d", e.ID)}
	p.tell(fail)
	if n.N > 1 {
		p.Before = fmt.Sprintf("%s/numbers/%s", p.Back, numberPath(edition.Number{Kind: n.Kind, N: n.N - 1}))
	}
	if n.N < e.Count(n.Kind) {
		p.After = fmt.Sprintf("%s/numbers/%s", p.Back, numberPath(edition.Number{Kind: n.Kind, N: n.N + 1}))
	}
	for _, d := range numberDeeds(e.ID, n, v.Row.Standing) {
		p.put(d.Form, fail)
		p.Deeds = append(p.Deeds, d)
	}
	return f.show(w, r, statusOf(fail), "number", p)
}

// deedHeads are the steps that the page offers, in the order shown.
var deedHeads = []struct {
	step         edition.Step
	head, button string
}{
	{edition.Keep, "Keep it in the archive", "Keep it"},
	{edition.Release, "Give it back", "Give it back"},
	{edition.Spoil, "The sheet is spoilt", "Note it as spoilt"},
	{edition.Restrike, "Strike it again", "Strike again"},
	{edition.Withdraw, "Withdraw it from the edition", "Withdraw it"},
}

// numberDeeds offers the steps that the rules of the register allow from here.
func numberDeeds(ed int64, n edition.Number, s edition.Standing) []numberDeed {
	var out []numberDeed
	for _, d := range deedHeads {
		if _, err := s.After(d.step, 0, "asked"); err != nil {
			continue
		}
		if d.step == edition.Release && s.State != edition.Kept && s.State != edition.Spoilt || d.step == edition.Release && s.State == edition.Spoilt && s.Line == 0 {
			continue
		}
		out = append(out, numberDeed{d.head, d.button, deedForm(ed, n, d.step)})
	}
	return out
}

func deedForm(ed int64, n edition.Number, step edition.Step) *form {
	fm := newForm(string(step), fmt.Sprintf("/editions/%d/numbers/%s/%s", ed, numberPath(n), step))
	reason := fm.ask("reason", "Reason").wide()
	if step == edition.Spoil || step == edition.Withdraw {
		reason.must()
	}
	if step == edition.Spoil {
		fm.ask("sheet_lost", "A printed sheet is lost with it").as("check").wide().is("1").hint("a signed one always is; untick it when nothing was printed yet")
	}
	return fm
}

// stepNumber takes one step of a number.
func (f *face) stepNumber(w http.ResponseWriter, r *http.Request) error {
	v, n, err := f.numberOf(r)
	if err != nil {
		return err
	}
	step := edition.Step(r.PathValue("step"))
	fm := deedForm(v.ID, n, step)
	fm.read(r.PostForm)
	rd := fm.reader()
	reason := rd.text("reason")
	if err = rd.Err(); err == nil {
		err = f.step(r, v.ID, n, step, reason, rd)
	}
	if err != nil {
		if ours(err) {
			return err
		}
		return f.showNumber(w, r, v.Edition, n, failed(fm, r, err))
	}
	return f.doneSaying(w, r, fmt.Sprintf("/editions/%d/numbers/%s", v.ID, numberPath(n)), "register")
}

func (f *face) step(r *http.Request, ed int64, n edition.Number, step edition.Step, reason string, rd *reader) error {
	ctx := r.Context()
	switch step {
	case edition.Keep:
		return f.studio.Keep(ctx, ed, n, reason)
	case edition.Release:
		return f.studio.Release(ctx, ed, n, reason)
	case edition.Spoil:
		return f.studio.Spoil(ctx, studio.SpoilIn{Edition: ed, Number: n, Reason: reason, SheetLost: rd.ticked("sheet_lost")})
	case edition.Restrike:
		return f.studio.Restrike(ctx, ed, n, reason)
	case edition.Withdraw:
		return f.studio.Withdraw(ctx, ed, n, reason)
	}
	return fault.New(fault.Missing, "a number takes no step %.20q here", string(step))
}

// numberList reads "12, 15-20, AP 1". Faults: Invalid in "numbers".
func numberList(text string, e edition.Edition) ([]edition.Number, error) {
	var out []edition.Number
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' || r == '\n' }) {
		part = strings.TrimSpace(strings.ReplaceAll(part, "–", "-"))
		if part == "" {
			continue
		}
		first, last, isRange := strings.Cut(part, "-")
		n, err := edition.ParseNumber(first, e)
		if err != nil {
			return nil, inNumbers(err)
		}
		to := n.N
		if isRange {
			if to, err = strconv.Atoi(strings.TrimSpace(last)); err != nil || to < n.N {
				return nil, fault.Invalidf("numbers", "%.20q is not a range of numbers", part).ToMend("write it like 15-20")
			}
		}
		for ; n.N <= to; n.N++ {
			if err := n.In(e); err != nil {
				return nil, inNumbers(err)
			}
			out = append(out, n)
		}
	}
	if len(out) == 0 {
		return nil, fault.Invalidf("numbers", "no number is named").ToMend("write them like 12, 15-20, AP 1")
	}
	return out, nil
}

func inNumbers(err error) error { return fault.All(err)[0].In("numbers") }
