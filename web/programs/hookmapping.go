package programs

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"solander/edition"
	"solander/fault"
	"solander/feed"
	"solander/feeds"
	"solander/house"
	"solander/intake/hook"
	"solander/money"
	"solander/register"
	"solander/web/form"
	"solander/web/page"
)

// HookMappingPage is the editor of a mapping: each field of an order is chosen in a message that was pasted, with the order that it
// makes beside.
type HookMappingPage struct {
	page.Frame
	ID     int64 // 0: a new one
	Form   *form.Form
	Rows   MapRows
	Ready  bool       // there is something to choose from
	Sample *form.Form // the message, and from where
	Seen   []hook.Value
	Names  []form.Choice // what prints are called in the message, and no row says
	Places []form.Choice // of a new condition
	Trial  *trialView
	Stands *standsNow // what another window saved meanwhile
	Focus  string
}

// trialView is the order that a message would become.
type trialView struct {
	Problems []form.Line // why it becomes none
	Passed   string
	Order    feeds.FeedOrder
	Lines    []trialLine
}

type trialLine struct {
	Label, Title string
	Price        money.Amount
}

// standsNow is a mapping as it stands, where the fields of the page cannot tell it: its rows.
type standsNow struct {
	Name string
	Rows []string
}

func standsOf(m feed.Mapping) (*standsNow, error) {
	read, err := hook.ReadMapping(m.Body)
	if err != nil {
		return nil, err
	}
	s, d := &standsNow{Name: m.Name}, storedMap(m.ID, m.Name, read)
	for _, x := range d.editions {
		s.Rows = append(s.Rows, fmt.Sprintf("“%s” is edition %d", x.Name, x.ID))
	}
	for _, x := range d.only {
		s.Rows = append(s.Rows, fmt.Sprintf("at %s must stand “%s”", x.At, x.Is))
	}
	return s, nil
}

// mostSample bounds a message, as the web-hook itself does.
const mostSample = 256 << 10

// HookMapping shows the editor: of a mapping that is kept, or of a new one.
func (f *Programs) HookMapping(w http.ResponseWriter, r *http.Request) error {
	d, err := f.mappingOf(r)
	if err != nil {
		return err
	}
	return f.showMapping(w, r, d, mapSent{})
}

// mappingOf reads the mapping of the address; a new one without.
func (f *Programs) mappingOf(r *http.Request) (*mapDraft, error) {
	if r.PathValue("mapping") == "" {
		return &mapDraft{m: hook.Mapping{Order: hook.Sources{}, Line: hook.Sources{}}}, nil
	}
	kept, err := f.keptMapping(r)
	if err != nil {
		return nil, err
	}
	m, err := hook.ReadMapping(kept.Body)
	return storedMap(kept.ID, kept.Name, m), err
}

func (f *Programs) keptMapping(r *http.Request) (feed.Mapping, error) {
	id, err := page.PathID(r, "mapping")
	if err != nil {
		return feed.Mapping{}, err
	}
	return feeds.HookMapping(r.Context(), f.Seen(r), id)
}

// MappingFile gives a mapping as a file.
func (f *Programs) MappingFile(w http.ResponseWriter, r *http.Request) error {
	m, err := f.keptMapping(r)
	if err != nil {
		return err
	}
	var text bytes.Buffer
	if err := json.Indent(&text, m.Body, "", "  "); err != nil {
		return err
	}
	attach(w, "application/json", "mapping.json")
	_, err = w.Write(append(text.Bytes(), '\n'))
	return err
}

// mapSent is what was sent of the editor, and what became of it.
type mapSent struct {
	typed url.Values // nil: nothing yet
	focus string
	err   error // of the mapping
	wrong error // of the message or the file
}

// sampleForm asks for a message, and for what it is tried as.
func (f *Programs) sampleForm(r *http.Request, typed url.Values) (*form.Form, int64, error) {
	outlets, err := house.Outlets(r.Context(), f.Seen(r))
	if err != nil {
		return nil, 0, err
	}
	open := openOutlets(outlets)
	outlet, err := strconv.ParseInt(typed.Get("outlet"), 10, 64)
	if err != nil && len(open) > 0 {
		outlet, _ = strconv.ParseInt(open[0].Value, 10, 64) // a number that was just printed
	}
	fm := form.New("message", "")
	fm.Ask("sample", "").As("hidden").Is(typed.Get("sample"))
	fm.Ask("paste", "A message of the other program").As("lines").Wide().WithHint("copy one that it sent, as it is; it is kept only in this page")
	fm.Ask("file", "Or a mapping from a file").As("file").WithHint("as it was downloaded here").Half()
	fm.ID("outlet", "As if it came from", &outlet, open...)
	return fm, outlet, nil
}

func (f *Programs) showMapping(w http.ResponseWriter, r *http.Request, d *mapDraft, sent mapSent) error {
	return f.Visit(w, r, func(w http.ResponseWriter, r *http.Request) error { return f.seeMapping(w, r, d, sent) })
}

func (f *Programs) seeMapping(w http.ResponseWriter, r *http.Request, d *mapDraft, sent mapSent) error {
	title := "New mapping"
	if d.id != 0 {
		title = "Mapping"
	}
	fr, err := f.Frame(r, "studio", title)
	if err != nil {
		return err
	}
	editions, err := f.editions(r)
	if err != nil {
		return err
	}
	p := &HookMappingPage{Frame: fr, ID: d.id, Focus: sent.focus}
	var outlet int64
	if p.Sample, outlet, err = f.sampleForm(r, sent.typed); err != nil {
		return err
	}
	sample := []byte(sent.typed.Get("sample"))
	if len(sample) > 0 {
		if p.Seen, err = hook.Values(sample); err != nil {
			sent.wrong = errors.Join(sent.wrong, fault.All(err)[0].In("paste"))
		}
	}
	p.Ready = d.id != 0 || len(p.Seen) > 0 || d.placed
	p.Form, p.Rows = mapForm(d, p.Seen, editions, fr.Units)
	fail := p.told(sent)
	p.Form.Focus(sent.focus)
	if moved := new(form.MovedOn); errors.As(sent.err, &moved) {
		now, err := feeds.HookMapping(r.Context(), f.Seen(r), d.id)
		if err != nil {
			return err
		}
		if p.Stands, err = standsOf(now); err != nil {
			return err
		}
	}
	p.Places = mapAsker{seen: p.Seen}.places("", false)
	for _, name := range d.m.Names(sample) {
		if !slices.ContainsFunc(p.Rows.Editions, func(x tableRow) bool { return x.Fields[0].Value == name }) {
			p.Names = append(p.Names, form.Pick(name, name))
		}
	}
	p.Names = append(p.Names, form.Pick("", "another name"))
	return page.After(w, r, func(w http.ResponseWriter) (err error) { // what is tried out is written, and taken back
		if len(sample) > 0 && len(p.Seen) > 0 {
			if p.Trial, err = f.tryMapping(r, d.id, sent.typed, editions, outlet, p.Form); err != nil {
				return err
			}
		}
		return f.Show(w, r, page.StatusOf(fail), "hookmapping", p)
	})
}

// told puts what was typed and what is wrong into the forms of the page.
func (p *HookMappingPage) told(sent mapSent) *page.Failure {
	var fail *page.Failure
	switch {
	case sent.wrong != nil:
		fail = &page.Failure{Form: p.Sample.Name, Typed: sent.typed, Err: sent.wrong}
		p.Put(p.Sample, fail)
		p.Form.Read(sent.typed)
	case sent.err != nil:
		fail = &page.Failure{Form: p.Form.Name, Typed: sent.typed, Err: sent.err}
		p.Put(p.Form, fail)
	case sent.typed != nil:
		p.Form.Read(sent.typed)
	}
	return fail
}

func (f *Programs) editions(r *http.Request) ([]edition.Edition, error) {
	works, err := register.Works(r.Context(), f.Seen(r))
	if err != nil {
		return nil, err
	}
	var out []edition.Edition
	for _, w := range works {
		for _, e := range w.Editions {
			out = append(out, e.Edition)
		}
	}
	return out, nil
}

// tryMapping takes the order of the sample and keeps nothing of it.
func (f *Programs) tryMapping(r *http.Request, id int64, typed url.Values, editions []edition.Edition, outlet int64, fm *form.Form) (*trialView, error) {
	m, _, err := readMap(id, withoutName(typed), editions)
	if err != nil {
		return &trialView{Problems: form.LinksOf(fault.All(err), fm)}, nil
	}
	got, err := feeds.TryHookMapping(r.Context(), f.Studio, outlet, m.Body, []byte(typed.Get("sample")))
	switch u := new(feeds.Unread); {
	case errors.As(err, &u):
		return &trialView{Problems: form.LinksOf(fault.All(inSample(u)), fm)}, nil
	case err != nil && page.Ours(err):
		return nil, err
	case err != nil:
		return &trialView{Problems: form.LinksOf(fault.All(besideRows(err, typed)), fm)}, nil
	}
	v := &trialView{Passed: got.Passed, Order: got.Order}
	for i, l := range got.Order.Lines {
		v.Lines = append(v.Lines, trialLine{got.Order.Labels[i], got.Order.Titles[i], l.Price})
	}
	return v, nil
}

// withoutName is what was typed with some name: an order can be made before the mapping has one.
func withoutName(typed url.Values) url.Values {
	out := maps.Clone(typed)
	out.Set("name", "a trial")
	return out
}

// inSample says of every fault of a message where in it, and names the field that is read there.
func inSample(u *feeds.Unread) error {
	var l fault.List
	for _, e := range fault.All(u) {
		if at := u.Source(e.Field); at != "" {
			e = e.At("%s", at)
		}
		l.Add(e.In(mapField(e.Field)))
	}
	return l.Err()
}

// mapField is the field of the form that a field of an order is read by: lines[0].price by line.price.
func mapField(name string) string {
	if _, inLine, ok := strings.Cut(name, "]."); ok && strings.HasPrefix(name, "lines[") {
		return "line." + inLine
	}
	if name == "lines" {
		return name
	}
	return "order." + name
}

// besideRows puts faults of a mapping beside the fields that say what is wrong.
func besideRows(err error, typed url.Values) error {
	if moved := new(form.MovedOn); errors.As(err, &moved) {
		return err
	}
	var l fault.List
	for _, e := range fault.All(fault.Above(err, "mapping.")) {
		if name, ok := strings.CutPrefix(e.Field, "editions."); ok {
			for i := range form.Rows(typed, "editions") {
				if at := "editions[" + strconv.Itoa(i) + "]."; typed.Get(at+"name") == name {
					e = e.In(at + "id")
				}
			}
		}
		l.Add(e)
	}
	return l.Err()
}

// SaveMapping does what the button says: it saves the mapping, reads a message or a file, or only shows the draft anew.
func (f *Programs) SaveMapping(w http.ResponseWriter, r *http.Request) error {
	kept, err := f.mappingOf(r)
	if err != nil {
		return err
	}
	sent := mapSent{typed: maps.Clone(r.PostForm)}
	do := r.PostForm.Get("do")
	switch do {
	case "save":
		return f.keepMapping(w, r, kept.id)
	case "read":
		if sent.wrong = pasted(sent.typed); sent.wrong != nil && page.Ours(sent.wrong) {
			return sent.wrong
		}
	case "upload":
		if sent.typed, sent.wrong = f.uploaded(r, kept); sent.wrong != nil && page.Ours(sent.wrong) {
			return sent.wrong
		}
	}
	if deed, ok := form.DeedOf(do); ok && (deed.List == "only" || deed.List == "editions") {
		sent.typed = deed.On(sent.typed, map[string]string{"only": "at", "editions": "name"}[deed.List])
		sent.focus = deed.Focus(form.Rows(sent.typed, deed.List))
	}
	return f.showMapping(w, r, typedMap(kept.id, sent.typed), sent)
}

// pasted takes a pasted message for the sample, if it can be read. Faults: Invalid, TooLarge.
func pasted(typed url.Values) error {
	text := strings.TrimSpace(typed.Get("paste"))
	if text == "" {
		return fault.Invalidf("paste", "it is missing").ToMend("paste a message of the other program")
	}
	if len(text) > mostSample {
		return fault.New(fault.TooLarge, "a message has at most %d KB", mostSample>>10).In("paste").ToMend("paste one message alone")
	}
	seen, err := hook.Values([]byte(text))
	if err != nil {
		return fault.All(err)[0].In("paste")
	}
	if len(seen) == 0 {
		return fault.Invalidf("paste", "nothing stands in it").ToMend("paste a whole message, from { to }")
	}
	typed.Set("sample", text)
	typed.Del("paste")
	return nil
}

// uploaded puts the mapping of a file in the place of the draft; nothing is saved by it.
func (f *Programs) uploaded(r *http.Request, kept *mapDraft) (url.Values, error) {
	typed := maps.Clone(r.PostForm)
	text, err := page.FileOf(r, "file", mostSample)
	if err != nil {
		return typed, err
	}
	m, err := hook.ReadMapping(text)
	if err != nil {
		var l fault.List
		for _, e := range fault.All(err) {
			l.Add(e.At("%s", strings.TrimSpace(e.Field+" "+e.Where)).In("file"))
		}
		return typed, l.Err()
	}
	editions, err := f.editions(r)
	if err != nil {
		return typed, err
	}
	fm, _ := mapForm(storedMap(kept.id, typed.Get("name"), m), nil, editions, page.Settings(r).Units)
	out := url.Values{}
	for _, fd := range fm.Fields() {
		out.Set(fd.Name, fd.Value)
	}
	for _, name := range []string{"sample", "outlet", "stood", "once"} { // these are of the page, not of the file
		out.Set(name, typed.Get(name))
	}
	return out, nil
}

func (f *Programs) keepMapping(w http.ResponseWriter, r *http.Request, id int64) error {
	editions, err := f.editions(r)
	if err != nil {
		return err
	}
	made, _, err := readMap(id, r.PostForm, editions)
	if err == nil {
		_, err = feeds.ChangeHookMapping(r.Context(), f.Studio, id, func(m *feed.Mapping) error {
			if id != 0 {
				stands, err := hook.ReadMapping(m.Body)
				if err != nil {
					return err
				}
				fm, _ := mapForm(storedMap(id, m.Name, stands), nil, editions, page.Settings(r).Units)
				if err := fm.StillAsRows(r.PostForm); err != nil {
					return err
				}
			}
			*m = made
			return nil
		})
	}
	if err != nil {
		if page.Ours(err) {
			return err
		}
		return f.showMapping(w, r, typedMap(id, r.PostForm), mapSent{typed: r.PostForm, err: besideRows(err, r.PostForm)})
	}
	return f.DoneSaying(w, r, "/studio/feeds#mappings", "mapping")
}

func (f *Programs) DropMapping(w http.ResponseWriter, r *http.Request) error {
	d, err := f.mappingOf(r)
	if err != nil {
		return err
	}
	if err := feeds.DropHookMapping(r.Context(), f.Studio, d.id); err != nil {
		if page.Ours(err) {
			return err
		}
		return f.showMapping(w, r, d, mapSent{err: err})
	}
	return f.DoneSaying(w, r, "/studio/feeds#mappings", "mapping-gone")
}
