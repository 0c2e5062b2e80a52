package page

import (
	"cmp"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"solander/calendar"
	"solander/dispatch"
	"solander/edition"
	"solander/fault"
	"solander/internal/status"
	"solander/letters"
	"solander/measure"
	"solander/studio"
	"solander/web/form"
)

// Failure is a form that was sent and could not be done: it is shown again as typed.
type Failure struct {
	Form  string // its name on the page
	Typed url.Values
	Err   error
}

func Failed(fm *form.Form, r *http.Request, err error) *Failure { return FailedIn(fm.Name, r, err) }

func FailedIn(name string, r *http.Request, err error) *Failure {
	return &Failure{Form: name, Typed: r.PostForm, Err: err}
}

// ShowAgain shows the page of a form that could not be done, as the studio is now, unless its page is no help.
func (f *Kit) ShowAgain(w http.ResponseWriter, r *http.Request, name string, err error, show func(http.ResponseWriter, *http.Request, *Failure) error) error {
	if Ours(err) {
		return err
	}
	return f.Visit(w, r, func(w http.ResponseWriter, r *http.Request) error { return show(w, r, FailedIn(name, r, err)) })
}

// Put gives a form of the page what was typed and what is wrong, when it is the one that failed.
func (fr *Frame) Put(fm *form.Form, fail *Failure) *form.Form {
	if fail != nil && fail.Form == fm.Name {
		fr.Faults, fr.Links = fault.All(fail.Err), fm.Failed(fail.Typed, fail.Err)
	}
	return fm
}

// Tell shows a failure on top, whether or not its form is still on the page.
func (fr *Frame) Tell(fail *Failure) {
	if fail != nil {
		fr.Faults = fault.All(fail.Err)
		fr.Links = form.LinksOf(fr.Faults, nil)
	}
}

// StatusOf is the status of a page that shows a failure, or 200.
func StatusOf(fail *Failure) int {
	if fail == nil {
		return http.StatusOK
	}
	return status.Of(fail.Err)
}

// Ours reports whether the page of the form is no help: the fault is the program's, nobody knows whether the form was
// done, or what it is about does not exist.
func Ours(err error) bool {
	for _, e := range fault.All(err) {
		if e.Code == fault.Internal || e.Code == fault.Unsure || e.Code == fault.Missing && e.Field == "" {
			return true
		}
	}
	return false
}

// Done leads on to a page that says what was marked and offers to undo it.
func (f *Kit) Done(w http.ResponseWriter, r *http.Request, to string) error {
	if form := studio.FormOf(r.Context()); form != nil && form.Made() != 0 {
		to = With(to, "marked", strconv.FormatInt(form.Made(), 10))
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// DoneSaying leads on to a page that says one of the sentences.
func (f *Kit) DoneSaying(w http.ResponseWriter, r *http.Request, to, key string) error {
	to = With(to, "said", key)
	if lack := form.Lacking(r.PostForm); lack != "" {
		to = With(to, "lacks", lack)
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

func With(to, key, value string) string {
	path, fragment, _ := strings.Cut(to, "#")
	sep := "?"
	if strings.Contains(path, "?") {
		sep = "&"
	}
	path += sep + key + "=" + url.QueryEscape(value)
	if fragment != "" {
		path += "#" + fragment
	}
	return path
}

// sentences are what a page may say by key: a link cannot put words of its own into a page.
var sentences = map[string]string{
	"taken":          "The sale stands in the book.",
	"amended":        "The order was changed.",
	"facts":          "The facts are said so.",
	"certified":      "The certificates are made; print them below.",
	"ended":          "The certificate is revoked.",
	"letterhead":     "It stands on every certificate that is printed from now on.",
	"told":           "It is noted; the register names nobody.",
	"forgotten":      "Who told it is forgotten; that it was told, and its proof, stand.",
	"handedin":       "The order was handed over in person.",
	"overridden":     "The order may leave; the reason is recorded.",
	"lifted":         "The override was taken back.",
	"chosen":         "The order goes the way that you chose; the choice is in its journal.",
	"unchosen":       "The order goes the cheapest way again.",
	"cancelled":      "The order was cancelled; its numbers were given back.",
	"returned":       "The return stands in the book.",
	"number":         "The line has another number now.",
	"line-price":     "The price of the print was changed.",
	"dropped":        "The line was taken out of the order.",
	"work":           "The work was saved.",
	"picture":        "The picture hangs.",
	"picture-said":   "What is to be seen was saved.",
	"picture-gone":   "The picture was taken away.",
	"declared":       "The edition is declared.",
	"priced":         "The prices were saved.",
	"closed":         "The edition is closed.",
	"claim":          "The claim is noted.",
	"claim-file":     "It is noted that the claim was filed.",
	"claim-answer":   "The answer is noted.",
	"claim-paid":     "The payment of the operator stands in the journal.",
	"claim-replace":  "The replacement stands in the order; the register has its numbers.",
	"claim-refund":   "What was paid back stands in the book.",
	"claim-close":    "The claim is closed.",
	"claim-note":     "The note was saved.",
	"claim-undone":   "What was noted last was taken back.",
	"claim-photo":    "The photo was added.",
	"claim-no-photo": "The photo was removed.",
	"rate":           "The rate is kept.",
	"rates":          "The rates of the file are kept.",
	"fair":           "The day at the table has begun.",
	"fair-counted":   "The count is noted.",
	"fair-carried":   "It is noted that the cash was carried to the bank.",
	"fair-cost":      "The cost is noted.",
	"fair-undone":    "What was noted was taken back.",
	"gallery":        "The gallery is kept.",
	"gallery-sent":   "The print is at the gallery; the register says so.",
	"gallery-sold":   "The sale is noted.",
	"gallery-back":   "The print is back in the drawer.",
	"gallery-lost":   "The loss is noted.",
	"gallery-money":  "The money is noted.",
	"gallery-undone": "What was noted was taken back.",
	"payout":         "The payout is entered; its sales have the fees that it left.",
	"payout-back":    "The payout was taken back.",
	"bank-account":   "The account is kept.",
	"bank-file":      "The file was brought in.",
	"bank-gone":      "The file was taken out, with its lines.",
	"bank-yes":       "The lines are matched.",
	"bank-aside":     "The line is set aside.",
	"bank-open":      "The line is open again.",
	"register":       "The register has a new entry.",
	"counted":        "The count was taken over.",
	"run":            "The run was ordered.",
	"run-closed":     "The run is closed.",
	"item":           "The shelf was changed.",
	"settings":       "The settings were saved.",
	"outlet":         "The outlet was saved.",
	"fees":           "The fee table was saved. Sales that stand keep their fee.",
	"wrap":           "The wrap was saved.",
	"wrap-gone":      "The wrap was taken out.",
	"wraps":          "Wraps and house rules were taken over from the file.",
	"rule":           "The house rule was saved.",
	"rule-gone":      "The house rule was taken out.",
	"leaving":        "How parcels leave was saved.",
	"leaving-gone":   "The way was taken out.",
	"buyer":          "The buyer was saved.",
	"period":         "The period is closed, for good.",
	"opened":         "It is entered into the journal.",
	"taxrate":        "The rates are entered.",
	"taxrate-gone":   "The rate was taken out.",
	"resale":         "The resale certificates were changed.",
	"reminded":       "The reminder is sent, and noted in the order.",
	"mailserver":     "The mail server is kept.",
	"mailserver-off": "No mail server is named any more; its password is gone from this computer.",
	"taxed":          "The order bears the tax that the rates say.",
	"bill":           "The paper is written and has its number.",
	"erased":         "It is erased. Keep the list of erasures beside your backups.",
	"wiped":          "The files are written anew.",
	"signed-record":  "The register is signed.",
	"key-locked":     "The key is locked. Keep the words: without them it is lost.",
	"key-ring":       "This computer's keyring opens the key from now on.",
	"key-open":       "The key is without a passphrase.",
	"key-loaded":     "The key lies where the studio looks for it.",
	"key-replaced":   "Another key signs from now on. Give its public half to who had the one before.",
	"key-lost":       "A new log begins, with the root of the old one and a key of its own. Give its public half to who had the one before.",
	"rows-vouched":   "The rows are taken on as they stand, and vouched for from now on.",
	"feed":           "The feed was saved.",
	"feed-gone":      "The feed was revoked.",
	"secret-gone":    "The secret was dropped.",
	"mapping":        "The mapping was saved.",
	"mapping-gone":   "The mapping was dropped.",
	"labels":         "The labels were noted.",
	"layout":         "The layout was saved.",
	"layout-gone":    "The layout was dropped.",
	"address-gone":   "The calendar has no address any more.",
	"card":           "The price card was loaded.",
	"card-next":      "The next price card is kept. Plans go by it from its first day.",
	"zones":          "Plans go by these zones from now on.",
	"zones-gone":     "The zones were taken out.",
	"card-edit":      "The price card was saved as one of your own.",
	"card-list":      "The table stands in a card of yours. Its limits and fees can be changed here.",
	"card-gone":      "The price card was dropped.",
	"arrived":        "The file is kept. Say what stands where; nothing is made yet.",
	"decided":        "How the file is read was saved.",
	"answered":       "Your answers were saved; this is the trial again.",
	"brought-in":     "The file was brought in.",
	"nothing":        "Nothing in the file was new: nothing was changed.",
	"file-gone":      "The file was dropped; nothing was made of it.",
	"map-gone":       "The reading was dropped.",
	"back":           "The file was taken back.",
	"copies":         "Copies go there from now on; the first is made now. Save the key, and keep it apart.",
	"copies-stopped": "No copies are made by themselves any more. Those that were made stay where they are.",
	"copies-asked":   "It is done now, in the background; look again in a moment.",
	"copies-back":    "The studio is worked on here again.",
	"moved-in":       "The studio is here now. Say where its copies go from now on, under Studio, Copies.",
	"phonesopen":     "Phones that were let in reach the studio now.",
	"phonesshut":     "Nobody but this computer reaches the studio now.",
	"phoneended":     "The phone is let in no more.",
	"firstowner":     "Your account is made, and you are signed in. From now on everybody is asked who they are, you too.",
	"role":           "The role was changed, from the next page on.",
	"personended":    "The account was ended, everywhere and at once.",
	"everywhere":     "Signed out everywhere.",
	"signedout":      "The other browser was signed out.",
	"password":       "The new password is good from now on; all other browsers are signed out.",
	"demanded":       "It is demanded so from now on.",
	"nosecond":       "The second factor is not asked for any more.",
	"passkey":        "You can sign in by the passkey from now on.",
	"nopasskey":      "The passkey lets in no more.",
	"trusted":        "This browser is let in from now on, until you sign out here.",
	"revoked":        "The device is let in no more.",
	"failedbefore":   "You are signed in. Before this, attempts to sign in under your name failed. If they were not yours, choose another password.",
	"before":         "This form was sent before; it was done then, and not again.",
	"ready":          "The studio is set up. This is the bench: what to do today.",
	"readynoring":    "The studio is set up. This computer has no keyring that answers: the register's key is opened as before, by the passphrase or a file in your own settings.",
	"readybare":      "The studio is set up. This is the bench: what to do today. The shelf is empty: put your packaging on it, under Drawer & shelf, before the first parcel.",
}

// saidOf reads what the page is to say from its address.
func (f *Kit) saidOf(r *http.Request) said {
	ctx, q := r.Context(), r.URL.Query()
	told := said{Text: sentences[q.Get("said")]}
	if lacks := letters.Named(q.Get("lacks")); lacks != "" && told.Text != "" {
		told.Text += " But the papers’ type has no letters for " + lacks + ": no label or slip can be printed with them. Write them in Latin letters."
	}
	back := q.Get("undone")
	id, err := strconv.ParseInt(cmp.Or(back, q.Get("marked")), 10, 64)
	if err != nil {
		return told
	}
	marks, err := dispatch.RecentMarks(ctx, f.Seen(r))
	if err != nil {
		f.Log.WarnContext(ctx, "marks could not be read", "err", err)
		return told
	}
	i := slices.IndexFunc(marks, func(m studio.Mark) bool { return m.ID == id })
	if i < 0 {
		return told
	}
	if back != "" {
		if marks[i].Undone {
			told.Text = form.Upper(marks[i].Text) + ": taken back."
		}
		return told
	}
	s := said{Text: strings.TrimSpace(form.Sentence(&fault.Error{What: marks[i].Text}) + " " + told.Text)}
	if undoable(marks[i]) {
		s.Mark = id
	}
	return s
}

func undoable(m studio.Mark) bool { return !m.Undone && m.Kind != studio.MarkOther }

// MarkLine is one mark in a list.
type MarkLine struct {
	studio.Mark
	Can  bool
	Back string // where undoing it leads
	Link string // of its order; "" on the order's own page
}

func MarkLines(marks []studio.Mark, most int, back string) []MarkLine {
	var out []MarkLine
	for _, m := range marks[:min(most, len(marks))] {
		l := MarkLine{Mark: m, Can: undoable(m), Back: back}
		if m.Order != 0 && back == "/" {
			l.Link = fmt.Sprintf("/orders/%d", m.Order)
		}
		out = append(out, l)
	}
	return out
}

// PathID reads a number of the address. A malformed one names nothing.
func PathID(r *http.Request, name string) (int64, error) {
	id, err := strconv.ParseInt(r.PathValue(name), 10, 64)
	if err != nil || id <= 0 {
		return 0, fault.New(fault.Missing, "there is no %s %.20q", name, r.PathValue(name)).ToMend("look it up in the list")
	}
	return id, nil
}

// IDs reads a list of numbers of a form.
func IDs(r *http.Request, name string) ([]int64, error) {
	var out []int64
	for _, s := range r.PostForm[name] {
		id, err := strconv.ParseInt(s, 10, 64)
		if err != nil || id <= 0 {
			return nil, fault.Invalidf(name, "%.20q is not in the list", s).ToMend("open the page anew")
		}
		if !slices.Contains(out, id) {
			out = append(out, id)
		}
	}
	return out, nil
}

// PathNumber reads a number of an edition from the address: "17" or "AP-2".
func PathNumber(r *http.Request, e edition.Edition) (edition.Number, error) {
	text := strings.ReplaceAll(r.PathValue("number"), "-", " ")
	n, err := edition.ParseNumber(text, e)
	if err != nil || n.IsZero() {
		return n, fault.New(fault.Missing, "this edition has no number %.20q", text).ToMend("choose one of its picture")
	}
	return n, nil
}

func NumberPath(n edition.Number) string { return strings.ReplaceAll(n.String(), " ", "-") }

// FormID reads a number that stands hidden in a form.
func FormID(r *http.Request, name string) (int64, error) {
	id, err := strconv.ParseInt(r.PostForm.Get(name), 10, 64)
	if err != nil || id <= 0 {
		return 0, fault.Invalidf(name, "the form does not say which %s it belongs to", name).ToMend("open the page anew")
	}
	return id, nil
}

// Link is a link that looks like a button.
type Link struct{ To, Text string }

// LinkTo is a link to an address.
func LinkTo(to, text string) Link { return Link{to, text} }

// QueryDay reads ?day=; no day means today.
func QueryDay(r *http.Request) (calendar.Day, error) {
	text := r.URL.Query().Get("day")
	if text == "" {
		return calendar.Day{}, nil
	}
	return calendar.ParseDay(text)
}

func Missing(what string, id int64) error {
	return fault.New(fault.Missing, "there is no %s %d", what, id).ToMend("look it up in the list")
}

// SendLong sends what is too long to be held. What fails before anything was sent is told on a page; what breaks off later is
// logged, unless the browser left, and the cut connection tells the browser that it is not whole.
func (f *Kit) SendLong(w http.ResponseWriter, r *http.Request, what string, send func(io.Writer) error) error {
	out := &counted{Writer: w}
	err := send(out)
	switch {
	case err == nil:
		return nil
	case out.n == 0:
		w.Header().Del("Content-Disposition")
		return err
	case r.Context().Err() != nil:
		f.Log.DebugContext(r.Context(), "a browser left", "before the end of", what)
	default:
		f.Log.ErrorContext(r.Context(), "what was sent broke off", "what", what, "err", err)
	}
	panic(http.ErrAbortHandler)
}

// counted counts what was written.
type counted struct {
	io.Writer
	n int
}

func (c *counted) Write(b []byte) (int, error) {
	n, err := c.Writer.Write(b)
	c.n += n
	return n, err
}

// Units are those of the studio; inches while they are not known.
func Units(r *http.Request) measure.System { return cmp.Or(Settings(r).Units, measure.Imperial) }
