// Package programs is the ways in and out for other programs, in a browser: feeds with their web-hooks and mappings, layouts of postage, calendar,
// cards and the export of everything. Each exported method of Programs answers one route of package web.
package programs

import (
	"net/http"
	"strings"

	"solander/calendar"
	"solander/feeds"
	"solander/house"
	"solander/order"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// Programs is the handlers of this room.
type Programs struct {
	*page.Kit
}

// FeedsPage is the ways in for other programs.
type FeedsPage struct {
	page.Frame
	Feeds    []feedLine
	Mappings []studio.HookMapping
	Form     *form.Form
	Token    string // of the feed just made: it is shown this once
	Made     string // its name
}

// feedLine is a feed in a list.
type feedLine struct {
	studio.Feed
	Outlet string
	UsedOn calendar.Day // no day: never
}

// scopeWords say what each scope lets a feed do.
var scopeWords = map[studio.Scope]string{
	studio.ScopeOrdersRead:     "read the outlet's orders",
	studio.ScopeOrdersWrite:    "take orders and change them",
	studio.ScopePaymentsWrite:  "record payments and refunds",
	studio.ScopeBuyersWrite:    "correct who a buyer is",
	studio.ScopeBuyersRead:     "read every buyer of the studio, whatever the outlet",
	studio.ScopeBuyersMerge:    "say which buyers are the same person",
	studio.ScopeAddressesWrite: "correct where an order goes",
	studio.ScopeEditionsRead:   "read editions and prices",
	studio.ScopeHooksWrite:     "send signed messages to a web-hook",
}

func feedForm(outlets []order.Outlet) *form.Form {
	fm := form.New("feed", "/studio/feeds")
	fm.Ask("name", "Name").Must().Half().WithHint("what you call the other program")
	var where []form.Choice
	for _, u := range outlets {
		if !u.Closed {
			where = append(where, form.Pick(form.Text64(u.ID), u.Name))
		}
	}
	fm.Ask("outlet", "It writes for").Of(where...).Half()
	askBuyerRule(fm)
	for _, s := range studio.Scopes() {
		fm.Ask("scopes."+string(s), "It may "+scopeWords[s]).As("check").Half().WithHint(string(s))
	}
	return fm
}

// askBuyerRule asks what becomes of an order whose buyer may be in the book.
func askBuyerRule(fm *form.Form) *form.Field {
	return fm.Ask("buyers", "A buyer who may be in the book").WithHint("in doubt you are asked on the page of the buyers").Of(
		form.Pick(string(order.TakeSame), "the same person, unless in doubt"),
		form.Pick(string(order.ProposeSame), "a new one; you are asked"),
		form.Pick(string(order.AlwaysNew), "a new one, always")).Half()
}

func (f *Programs) Feeds(w http.ResponseWriter, r *http.Request) error {
	return f.showFeeds(w, r, nil, feeds.NewFeed{})
}

func (f *Programs) showFeeds(w http.ResponseWriter, r *http.Request, fail *page.Failure, made feeds.NewFeed) error {
	fr, err := f.Frame(r, "studio", "Other programs")
	if err != nil {
		return err
	}
	set := page.Settings(r)
	outlets, err := house.Outlets(r.Context(), f.Studio)
	if err != nil {
		return err
	}
	all, err := feeds.Feeds(r.Context(), f.Studio)
	if err != nil {
		return err
	}
	p := &FeedsPage{Frame: fr, Token: made.Token, Made: made.Name}
	if p.Mappings, err = feeds.HookMappings(r.Context(), f.Studio); err != nil {
		return err
	}
	for _, x := range all {
		p.Feeds = append(p.Feeds, feedLine{x, outletName(outlets, x.Outlet), page.DayIn(x.Used, set)})
	}
	p.Form = p.Put(feedForm(outlets), fail)
	return f.Show(w, r, page.StatusOf(fail), "feeds", p)
}

func outletName(outlets []order.Outlet, id int64) string {
	for _, u := range outlets {
		if u.ID == id {
			return u.Name
		}
	}
	return ""
}

// AddFeed makes a feed. Its page is the answer itself: the token stands in no address and is kept nowhere.
func (f *Programs) AddFeed(w http.ResponseWriter, r *http.Request) error {
	outlets, err := house.Outlets(r.Context(), f.Studio)
	if err != nil {
		return err
	}
	fm := feedForm(outlets)
	fm.Read(r.PostForm)
	rd := fm.Reader()
	in := studio.Feed{Name: rd.Text("name"), Outlet: rd.ID("outlet"), Buyers: order.BuyerRule(rd.Text("buyers"))}
	for _, s := range studio.Scopes() {
		if rd.Ticked("scopes." + string(s)) {
			in.Scopes = append(in.Scopes, s)
		}
	}
	var made feeds.NewFeed
	if err = rd.Err(); err == nil {
		made, err = feeds.AddFeed(r.Context(), f.Studio, in)
	}
	if err != nil {
		if page.Ours(err) {
			return err
		}
		return f.showFeeds(w, r, page.Failed(fm, r, err), made)
	}
	return f.showFeeds(w, r, nil, made)
}

// May lists the scopes in words.
func (l feedLine) May() string {
	var out []string
	for _, s := range l.Scopes {
		out = append(out, scopeWords[s])
	}
	return strings.Join(out, "; ")
}
