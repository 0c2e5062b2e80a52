package web

import (
	"net/http"
	"strconv"
	"strings"
	"time"

	"solander/calendar"
	"solander/order"
	"solander/studio"
)

// feedsPage is the ways in for other programs.
type feedsPage struct {
	frame
	Feeds    []feedLine
	Mappings []studio.HookMapping
	Form     *form
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

// text64 is a number as a choice has it.
func text64(n int64) string { return strconv.FormatInt(n, 10) }

func feedForm(outlets []order.Outlet) *form {
	fm := newForm("feed", "/studio/feeds")
	fm.ask("name", "Name").must().half().hint("what you call the other program")
	var where []choice
	for _, u := range outlets {
		if !u.Closed {
			where = append(where, choice{text64(u.ID), u.Name})
		}
	}
	fm.ask("outlet", "It writes for").of(where...).half()
	askBuyerRule(fm)
	for _, s := range studio.Scopes() {
		fm.ask("scopes."+string(s), "It may "+scopeWords[s]).as("check").half().hint(string(s))
	}
	return fm
}

// askBuyerRule asks what becomes of an order whose buyer may be in the book.
func askBuyerRule(fm *form) *field {
	return fm.ask("buyers", "A buyer who may be in the book").hint("in doubt you are asked on the page of the buyers").of(
		choice{string(order.TakeSame), "the same person, unless in doubt"},
		choice{string(order.ProposeSame), "a new one; you are asked"},
		choice{string(order.AlwaysNew), "a new one, always"}).half()
}

func (f *face) feeds(w http.ResponseWriter, r *http.Request) error {
	return f.showFeeds(w, r, nil, studio.NewFeed{})
}

func (f *face) showFeeds(w http.ResponseWriter, r *http.Request, fail *failure, made studio.NewFeed) error {
	fr, err := f.frame(r, "studio", "Other programs")
	if err != nil {
		return err
	}
	set, err := f.studio.Settings(r.Context())
	if err != nil {
		return err
	}
	outlets, err := f.studio.Outlets(r.Context())
	if err != nil {
		return err
	}
	all, err := f.studio.Feeds(r.Context())
	if err != nil {
		return err
	}
	p := &feedsPage{frame: fr, Token: made.Token, Made: made.Name}
	if p.Mappings, err = f.studio.HookMappings(r.Context()); err != nil {
		return err
	}
	for _, x := range all {
		p.Feeds = append(p.Feeds, feedLine{x, outletName(outlets, x.Outlet), dayIn(x.Used, set)})
	}
	p.Form = p.put(feedForm(outlets), fail)
	return f.show(w, r, statusOf(fail), "feeds", p)
}

// dayIn is the day of an instant in the studio's time zone; no day for none.
func dayIn(t time.Time, set studio.Settings) calendar.Day {
	if t.IsZero() {
		return calendar.Day{}
	}
	return calendar.In(t, set.Place())
}

func outletName(outlets []order.Outlet, id int64) string {
	for _, u := range outlets {
		if u.ID == id {
			return u.Name
		}
	}
	return ""
}

// addFeed makes a feed. Its page is the answer itself: the token stands in no address and is kept nowhere.
func (f *face) addFeed(w http.ResponseWriter, r *http.Request) error {
	outlets, err := f.studio.Outlets(r.Context())
	if err != nil {
		return err
	}
	fm := feedForm(outlets)
	fm.read(r.PostForm)
	rd := fm.reader()
	in := studio.Feed{Name: rd.text("name"), Outlet: rd.id("outlet"), Buyers: order.BuyerRule(rd.text("buyers"))}
	for _, s := range studio.Scopes() {
		if rd.ticked("scopes." + string(s)) {
			in.Scopes = append(in.Scopes, s)
		}
	}
	var made studio.NewFeed
	if err = rd.Err(); err == nil {
		made, err = f.studio.AddFeed(r.Context(), in)
	}
	if err != nil {
		if ours(err) {
			return err
		}
		return f.showFeeds(w, r, failed(fm, r, err), made)
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
