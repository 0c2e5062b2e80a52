package page

import (
	"bytes"
	"context"
	"crypto/rand"
	"fmt"
	"html/template"
	"io/fs"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"solander/book"
	"solander/calendar"
	"solander/copies"
	"solander/fault"
	"solander/gallery"
	"solander/house"
	"solander/internal/status"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/people"
	"solander/studio"
	"solander/web/form"
)

// NewOnce returns a fresh key.
func NewOnce() string { return rand.Text() }

// Pages are the parsed templates, by file name without ending.
type Pages map[string]*template.Template

// Frame is what every page knows. Pages embed it.
type Frame struct {
	Title    string // of the page
	Room     string // which word of the head is marked: "bench", "orders" ...
	Studio   string // name of the studio; "" before set-up
	Demo     bool
	Departed bool // the studio was left for another computer: every page says so
	Version  string
	Today    calendar.Day
	Signed   string // who is signed in; "" = nobody, or the artist alone at the machine
	Units    measure.System
	Here     string // path of the page
	Looked   string // what stands in the search box
	Example  string // what may be looked for there, and is found; "" when there is nothing yet
	Said     said
	// Pictures is what is known of the pictures of the works on the page: what the template function "picture" asks for. See Hang.
	Pictures gallery.Pictures
	Faults   []*fault.Error // shown on top; those of a form stand in the form too
	Links    []form.Line    // the same with the field they belong to
	Wrote    bool           // something was written all the same, before it went wrong
	Notices  []Notice       // on the bench
	Shown    bool           // only a page was asked for: nothing was to be done
	Live     bool           // the page says when what it shows has changed
	Writes   int64          // how many there were when the page was read
}

// Unsure reports whether nobody knows whether it was done.
func (fr *Frame) Unsure() bool {
	return slices.ContainsFunc(fr.Faults, func(e *fault.Error) bool { return e.Code == fault.Unsure })
}

// Verdict is the heading above the faults of a page: what became of what was asked.
func (fr *Frame) Verdict() string {
	switch {
	case fr.Unsure():
		return "Not known whether it was done"
	case fr.Wrote:
		return "Written, but not all went well: look at what stands"
	}
	if fr.Shown {
		return "This page cannot be shown"
	}
	return "Not done: nothing was changed"
}

// wrote reports whether something was written for a request.
func wrote(r *http.Request) bool {
	form := studio.FormOf(r.Context())
	return form != nil && form.Wrote()
}

// said is what was just done, with the mark that undoes it.
type said struct {
	Text string
	Mark int64 // 0 = nothing to undo
}

// Framed is any page: a struct that embeds Frame, and hides none of what the frame's template asks it.
type Framed interface {
	Verdict() string
	Unsure() bool
}

// funcs are what templates may call besides the methods of their page.
var funcs = template.FuncMap{
	"many": Many,
	"once": NewOnce,
	"join": strings.Join,
	"args": args,
	"some": some,
	"bare": bare,
	"owed": order.OwedInWords,

	"owing": owing,

	"givenwords": order.GivenInWords,

	"upper": form.Upper,

	"picture": Picture,
}

// Many prints "1 print", "2 prints"; the plural is the singular and s unless given.
func Many(n int, one string, plural ...string) string {
	if n == 1 {
		return "1 " + one
	}
	if len(plural) > 0 {
		return fmt.Sprint(n, " ", plural[0])
	}
	return fmt.Sprint(n, " ", one, "s")
}

// some prints an amount with its currency, and nothing for nothing: a table of many zeros hides what is in it.
func some(a money.Amount) string {
	if a.IsZero() {
		return ""
	}
	return a.String()
}

// bare is some without the currency.
func bare(a money.Amount) string {
	if a.IsZero() {
		return ""
	}
	return a.Plain()
}

// Owing is what is owed, or to be paid back, beside its name in a table.
type Owing struct {
	What string
	Much money.Amount
}

func owing(owed money.Amount) Owing {
	what, much := order.OwedAs(owed)
	return Owing{form.Upper(what), much}
}

// args gathers what a shared template needs; each such template says which.
func args(v ...any) []any { return v }

// MustPages parses every page. A page is parts.html and frame.html with its own file.
func MustPages(templates fs.FS) Pages {
	base := template.Must(template.New("base").Funcs(funcs).Option("missingkey=error").ParseFS(templates, "templates/shared/*.html"))
	files, err := fs.Glob(templates, "templates/*.html")
	if err != nil || len(files) == 0 {
		panic(fmt.Sprint("no pages are embedded: ", err)) // only a broken build gets here
	}
	out := Pages{}
	for _, file := range files {
		name := strings.TrimSuffix(strings.TrimPrefix(file, "templates/"), ".html")
		out[name] = template.Must(template.Must(base.Clone()).ParseFS(templates, file))
	}
	return out
}

// Execute renders a page to a buffer, so that no half page is ever sent.
func (p Pages) Execute(name string, page Framed) ([]byte, error) {
	t, ok := p[name]
	if !ok {
		return nil, fmt.Errorf("web: there is no template %q", name)
	}
	var b bytes.Buffer
	if err := t.ExecuteTemplate(&b, "frame", page); err != nil {
		return nil, fmt.Errorf("web: template %s: %w", name, err)
	}
	return b.Bytes(), nil
}

// Show answers with a page.
func (f *Kit) Show(w http.ResponseWriter, r *http.Request, code int, name string, page Framed) error {
	body, err := f.pages.Execute(name, page)
	if err == nil && f.Trim != nil {
		body, err = f.Trim(r, body)
	}
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	if code == http.StatusServiceUnavailable {
		w.Header().Set("Retry-After", status.RetryAfter)
	}
	w.WriteHeader(code)
	if r.Method != http.MethodHead {
		_, err = w.Write(body)
		if err != nil {
			f.Log.DebugContext(r.Context(), "a browser left early", "err", err)
		}
	}
	return nil
}

// Frame fills in what every page knows. room is the word of the head to mark.
func (f *Kit) Frame(r *http.Request, room, title string) (Frame, error) {
	ctx, s, set := r.Context(), f.Seen(r), Settings(r)
	fr := Frame{Title: title, Room: room, Studio: set.Studio, Demo: f.demo, Version: f.version, Units: set.Units, Here: r.URL.Path, Wrote: wrote(r)}
	var err error
	if fr.Today, err = house.Today(ctx, s); err != nil {
		return Frame{}, err
	}
	if !fr.signed(people.Asking(ctx)) {
		return fr, nil
	}
	fr.Said = f.saidOf(r)
	if fr.Live = isLive(r); fr.Live {
		if fr.Writes, err = s.Writes(ctx); err != nil {
			return Frame{}, err
		}
	}
	if fr.Departed, err = copies.IsLeft(ctx, s); err != nil {
		return Frame{}, err
	}
	if set.Ready() {
		if fr.Example, err = book.Example(ctx, s); err != nil {
			return Frame{}, err
		}
	}
	if room == "bench" && fr.Here == "/" && f.Notices != nil {
		fr.Notices, err = f.Notices(r)
	}
	return fr, err
}

// signed notes who asks. Of nobody nothing is known, and nobody is told anything of the studio.
func (fr *Frame) signed(who people.Who) bool {
	fr.Signed = who.Person.Name
	if !who.Known() {
		fr.Studio = ""
	}
	return who.Known()
}

// Hang reads the pictures of the works that a page shows; of those it does not name the page shows a mark.
func (f *Kit) Hang(r *http.Request, fr *Frame, works ...int64) (err error) {
	fr.Pictures, err = gallery.Among(r.Context(), f.Seen(r), works)
	return err
}

// HangAll reads the pictures of all works, for a page that lists them.
func (f *Kit) HangAll(r *http.Request, fr *Frame) (err error) {
	fr.Pictures, err = gallery.All(r.Context(), f.Seen(r))
	return err
}

// ErrorPage is a page that only tells what went wrong.
type ErrorPage struct {
	Frame
	Status int
	Again  *sentAgain // nil = the form may not be sent again from here
	Shut   bool       // nobody is known to ask: she is led to sign in
	Away   bool       // the settings cannot be read: whether the studio is set up is not known
	Plain  string     // the page that was asked for, without what was asked of it; "" = nothing was
}

// sentAgain is a form as it was sent, to be sent again under the same key: it is done once.
type sentAgain struct {
	Action string
	Fields []form.Field
}

// TypedKey is the key under which the context carries a form as it was sent, whatever its page then makes of it.
type TypedKey struct{}

// sendAgain returns the form of a request that may be sent again as it is: nobody knows whether it was done, or the
// store was away. Files are not kept.
func sendAgain(r *http.Request, all []*fault.Error) *sentAgain {
	soon := slices.ContainsFunc(all, func(e *fault.Error) bool { return e.Code == fault.Unsure || e.Code == fault.Busy })
	typed, _ := r.Context().Value(TypedKey{}).(url.Values)
	if !soon || typed.Get("once") == "" || r.MultipartForm != nil {
		return nil
	}
	s := &sentAgain{Action: r.URL.Path}
	for _, name := range slices.Sorted(maps.Keys(typed)) {
		for _, v := range typed[name] {
			s.Fields = append(s.Fields, form.Field{Name: name, Value: v})
		}
	}
	return s
}

// Fail logs a fault that is ours and shows it on a page of its own.
func (f *Kit) Fail(w http.ResponseWriter, r *http.Request, code int, err error) {
	if status.Left(r.Context(), err) {
		f.Log.DebugContext(r.Context(), "a browser left before its answer", "route", r.Pattern)
		w.WriteHeader(status.OfLeft)
		return
	}
	if code >= 500 {
		f.Log.ErrorContext(r.Context(), "a request failed", "route", r.Pattern, "status", code, "err", err)
	}
	all := fault.All(err)
	shown := r.Method == http.MethodGet || r.Method == http.MethodHead
	page := &ErrorPage{Frame: Frame{Title: headline(code, shown), Demo: f.demo, Version: f.version, Wrote: wrote(r), Shown: shown}, Status: code, Again: sendAgain(r, all)}
	if shown && r.URL.RawQuery != "" {
		page.Plain = r.URL.EscapedPath()
	}
	ctx, stop := context.WithTimeout(context.WithoutCancel(r.Context()), time.Second) // the store may be what is away
	defer stop()
	set, e := f.Studio.Settings(ctx)
	page.Studio, page.Units, page.Away = set.Studio, set.Units, e != nil
	who := people.Asking(r.Context())
	told := true
	if c := people.CallerOf(r.Context()); (c == nil || !c.Told) && f.Ask != nil {
		who, told = f.Ask(r)
	}
	page.signed(who)
	page.Shut = told && !who.Known()
	page.Faults = all
	page.Links = form.LinksOf(all, nil)
	if e := f.Show(w, r, code, "error", page); e != nil {
		f.Log.ErrorContext(r.Context(), "the error page broke", "err", e)
		http.Error(w, "something went wrong inside the program", http.StatusInternalServerError)
	}
}

func headline(status int, shown bool) string {
	switch status {
	case http.StatusNotFound:
		return "Not found"
	case http.StatusMethodNotAllowed:
		return "Not done this way"
	case http.StatusRequestEntityTooLarge:
		return "Too large"
	case http.StatusForbidden:
		return "Refused"
	case http.StatusServiceUnavailable:
		return "Busy just now"
	case http.StatusGatewayTimeout:
		return "The outcome is not known"
	}
	switch {
	case status >= 500:
		return "Something went wrong"
	case shown:
		return "Nothing to show"
	}
	return "This could not be done"
}
