// Package copies is the page of the copies: where they go, how they stand, drills, and leaving for another computer. Each exported
// method of Copies answers one route of package web.
package copies

import (
	"context"
	"fmt"
	"net/http"
	"path/filepath"
	"strings"
	"time"

	"solander/calendar"
	"solander/copies"
	"solander/copies/ages"
	"solander/copies/place"
	"solander/fault"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// Copies is the handlers of this room.
type Copies struct {
	*page.Kit
	Keep *copies.Keeper // nil = none are made here
}

// Page is how the copies stand.
type Page struct {
	page.Frame
	View     copies.View
	None     bool // no copies are made of this studio: it is the invented one
	Words    Words
	Place    string
	Keeps    string
	Due      string
	Lying    []lying
	Others   int
	Lost     string // why the place cannot be looked at
	Choose   *form.Form
	Leave    *form.Form
	Chosen   string // of the two forms of a place, which is open
	KeyKnown bool   // the key is on this computer
}

type lying struct{ At, Why, Name string }

// Words are how the copies stand, for the bench and this page.
type Words struct {
	Loud, Quiet string // at most one of them
}

// Look is how the copies of a studio stand, in a sentence.
func Look(ctx context.Context, st *studio.Studio) (Words, error) {
	v, err := copies.Look(ctx, st)
	return told(v), err
}

func told(v copies.View) Words {
	if v.To == "" {
		return Words{Quiet: "No copies are made by themselves."}
	}
	last, drill := "there is no copy yet", "no drill was held yet"
	if v.Last != nil {
		last = "last good copy " + when(v.Last.At, v)
	}
	if v.Drilled != nil {
		drill = "last good drill " + when(v.Drilled.At, v)
	}
	text := upperFirst(last) + "; " + drill + "."
	if !v.Loud() {
		return Words{Quiet: text}
	}
	switch why := v.Copy.Said; {
	case v.CopyOld && v.Copy.Failures > 0:
		text += " It failed since: " + why + "."
	case !v.CopyOld && v.Drill.Failures > 0:
		text += " The drill failed: " + v.Drill.Said + "."
	case v.CopyOld:
		text += " This program was not open when one was due."
	}
	return Words{Loud: "The copies of the studio are too old. " + text}
}

func upperFirst(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// when is an instant as she says it.
func when(at time.Time, v copies.View) string {
	day, today := calendar.In(at, v.Zone), calendar.In(v.Now, v.Zone)
	clock := at.In(v.Zone).Format("15:04")
	switch today.Sub(day) {
	case 0:
		return "today at " + clock
	case 1:
		return "yesterday at " + clock
	}
	return "on " + day.Long() + " at " + clock
}

// Copies shows how they stand.
func (f *Copies) Copies(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	fr, err := f.Frame(r, "studio", "Copies")
	if err != nil {
		return err
	}
	p := &Page{Frame: fr, None: f.Keep == nil}
	p.Tell(fail)
	if p.View, err = copies.Look(r.Context(), f.Seen(r)); err != nil {
		return err
	}
	p.Words = told(p.View)
	in := chosen(p.View)
	p.Choose = p.Put(chooseForm(&in), fail)
	p.Leave = p.Put(leaveForm(&leaving{Folder: p.View.Folder}), fail)
	if p.View.To == "" || p.None {
		return f.Show(w, r, page.StatusOf(fail), "copies", p)
	}
	p.Place, p.Keeps = placeOf(p.View), keeps(p.View.Keep)
	if !p.View.Copy.Due.IsZero() {
		p.Due = when(p.View.Copy.Due, p.View)
	}
	seen := f.Seen(r)
	_, _, err = f.Keep.KeyFile(r.Context(), seen)
	p.KeyKnown = err == nil
	own, others, err := f.Keep.List(r.Context(), seen)
	if err != nil {
		if page.Ours(err) {
			return err
		}
		p.Lost = err.Error()
	}
	p.Others = others
	for _, c := range own {
		p.Lying = append(p.Lying, lying{upperFirst(when(c.At, p.View)), why(c.Why), c.Name})
	}
	return f.Show(w, r, page.StatusOf(fail), "copies", p)
}

func placeOf(v copies.View) string {
	if v.To == copies.ToFolder {
		return v.Folder
	}
	return v.Storage.Address + ", bucket " + v.Storage.Bucket + " " + v.Storage.Prefix
}

func keeps(p ages.Policy) string {
	years := "one of each year"
	if p.Years != ages.AllYears {
		years = page.Many(p.Years, "year")
	}
	return fmt.Sprintf("the newest of each of %s, %s, %s, and %s", page.Many(p.Days, "day"), page.Many(p.Weeks, "week"), page.Many(p.Months, "month"), years)
}

// why says why a copy is kept; one that goes with the next copy says that.
func why(classes []string) string {
	if len(classes) == 0 {
		return "goes with the next copy"
	}
	var of []string
	for _, c := range classes {
		if c == "newest" {
			of = append(of, "the newest")
			continue
		}
		of = append(of, "of its "+c)
	}
	return strings.Join(of, ", ")
}

// chosen is what was chosen last; what is usual before.
func chosen(v copies.View) copies.ChooseIn {
	if v.Plan.Since.IsZero() {
		return copies.ChooseIn{To: copies.ToFolder, Hour: copies.UsualHour, Minute: 30, Keep: ages.Usual}
	}
	to := v.To
	if to == "" {
		to = copies.ToFolder
	}
	return copies.ChooseIn{To: to, Folder: v.Folder, Storage: v.Storage, Open: v.Open, Hour: v.Hour, Minute: v.Minute, Keep: v.Keep}
}

func chooseForm(in *copies.ChooseIn) *form.Form {
	fm := form.New("choose", "/studio/copies")
	form.Select(fm, "to", "Copies go to", &in.To, form.Pick(copies.ToFolder, "a folder: on a stick, another disk, or one that is carried elsewhere"), form.Pick(copies.ToBucket, "storage on the network, of the kind S3")).Wide()
	fm.Text("folder", "The folder, by its whole path", &in.Folder).Wide().WithHint("it must be there; of a stick, one on the stick")
	fm.Tick("open", "Do not seal copies in the folder: whoever finds one can read it", &in.Open).Wide().WithHint("only for a folder that nobody else can reach")
	fm.Text("address", "Address of the storage", &in.Address).Half().WithHint("only for storage on the network; https://…")
	fm.Text("bucket", "Bucket", &in.Bucket).Half()
	fm.Text("access", "Access key", &in.Access).Half().WithHint("empty: as it was given before").WithAuto("off")
	fm.Text("secret", "Its secret", &in.Secret).As("password").Half().WithAuto("off").WithHint("kept in a file of this computer, never in the database")
	before := len(fm.Fields())
	fm.Text("region", "Region", &in.Region).Half().WithHint("empty: as the storage says")
	fm.Text("prefix", "Names begin with", &in.Prefix).Half()
	clock := fmt.Sprintf("%02d:%02d", in.Hour, in.Minute)
	fm.Bind("time", "Every day at", clock, func(typed string) error {
		at, err := time.Parse("15:04", typed)
		if err != nil {
			return fault.New(fault.Invalid, "%.20q is no time of the day", typed).ToMend("write it like 02:30")
		}
		in.Hour, in.Minute = at.Hour(), at.Minute()
		return nil
	}).Small().WithHint("if the computer sleeps then, once it wakes")
	fm.Whole("keep.days", "Days kept", &in.Keep.Days).Small()
	fm.Whole("keep.weeks", "Weeks", &in.Keep.Weeks).Small()
	fm.Whole("keep.months", "Months", &in.Keep.Months).Small()
	for _, fd := range fm.Fields()[before:] {
		fd.Apart = true
	}
	return fm
}

func (f *Copies) kept() (*copies.Keeper, error) {
	if f.Keep == nil {
		return nil, fault.New(fault.Refused, "no copies are made of the invented studio").ToMend("open your own studio")
	}
	return f.Keep, nil
}

// Choose says where copies go, and asks for the first.
func (f *Copies) Choose(w http.ResponseWriter, r *http.Request) error {
	k, err := f.kept()
	if err != nil {
		return err
	}
	in := copies.ChooseIn{Keep: ages.Policy{Years: ages.AllYears}}
	fm := chooseForm(&in)
	if err = fm.Take(r.PostForm); err == nil {
		in = tidy(in)
		err = k.Choose(r.Context(), f.Studio, in)
	}
	if err == nil {
		err = copies.AskCopy(r.Context(), f.Studio)
	}
	if err != nil {
		return f.ShowAgain(w, r, "choose", err, f.Copies)
	}
	return f.DoneSaying(w, r, "/studio/copies", "copies")
}

// tidy leaves out what belongs to the other kind of place.
func tidy(in copies.ChooseIn) copies.ChooseIn {
	if in.To == copies.ToFolder {
		in.Storage, in.Access, in.Secret = place.Storage{}, "", ""
		in.Folder = strings.TrimSpace(in.Folder)
	} else {
		in.Folder, in.Open = "", false
	}
	return in
}

// Stop makes no copies any more.
func (f *Copies) Stop(w http.ResponseWriter, r *http.Request) error {
	k, err := f.kept()
	if err == nil {
		err = k.Stop(r.Context(), f.Studio)
	}
	if err != nil {
		return err
	}
	return f.DoneSaying(w, r, "/studio/copies", "copies-stopped")
}

// Make asks for a copy now, Drill for a drill.
func (f *Copies) Make(w http.ResponseWriter, r *http.Request) error {
	if _, err := f.kept(); err != nil {
		return err
	}
	if err := copies.AskCopy(r.Context(), f.Studio); err != nil {
		return err
	}
	return f.DoneSaying(w, r, "/studio/copies", "copies-asked")
}

func (f *Copies) Drill(w http.ResponseWriter, r *http.Request) error {
	if _, err := f.kept(); err != nil {
		return err
	}
	if err := copies.AskDrill(r.Context(), f.Studio); err != nil {
		return err
	}
	return f.DoneSaying(w, r, "/studio/copies", "copies-asked")
}

// Key gives the key as a file, to be kept apart. It is asked for by a form: no address leads to it.
func (f *Copies) Key(w http.ResponseWriter, r *http.Request) error {
	k, err := f.kept()
	if err != nil {
		return err
	}
	name, text, err := k.KeyFile(r.Context(), f.Studio)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename=%q`, name))
	_, err = w.Write([]byte(text))
	return err
}

// leaving is how she leaves for another computer.
type leaving struct {
	Folder string
	Sure   bool
}

func leaveForm(l *leaving) *form.Form {
	fm := form.New("leave", "/studio/copies/leave")
	fm.Text("into", "Write the file into this folder", &l.Folder).Must().Wide().WithHint("its whole path; a stick is good")
	fm.Tick("sure", "From then on nothing is sold or sent on this computer", &l.Sure).Wide()
	return fm
}

// LeftPage is shown once the studio was left: the passphrase stands nowhere else.
type LeftPage struct {
	page.Frame
	Left copies.Left
	Size string
}

// Leave writes the studio into one file, and marks it as left here.
func (f *Copies) Leave(w http.ResponseWriter, r *http.Request) error {
	k, err := f.kept()
	if err != nil {
		return err
	}
	var l leaving
	err = leaveForm(&l).TakeAnd(r.PostForm, func() error {
		var list fault.List
		list.Check(l.Sure, "sure", "it is not ticked", "tick it when you go on at the other computer")
		list.Check(filepath.IsAbs(l.Folder), "into", "the folder is not given by its whole path", "begin it at the root or a drive")
		return list.Err()
	})
	var left copies.Left
	if err == nil {
		left, err = k.Leave(r.Context(), f.Studio, copies.LeaveIn{File: filepath.Join(l.Folder, copies.LeaveName(f.Studio.Clock()))})
	}
	if err != nil {
		return f.ShowAgain(w, r, "leave", err, f.Copies)
	}
	fr, err := f.Frame(r, "studio", "The studio is left for another computer")
	if err != nil {
		return err
	}
	return f.Show(w, r, http.StatusOK, "left", &LeftPage{Frame: fr, Left: left, Size: copies.Size(left.Size)})
}

// Back works on here after all.
func (f *Copies) Back(w http.ResponseWriter, r *http.Request) error {
	if err := copies.Back(r.Context(), f.Studio); err != nil {
		return err
	}
	return f.DoneSaying(w, r, "/studio/copies", "copies-back")
}
