// Package programs is the ways in and out for other programs, in a browser: feeds with their web-hooks and mappings, layouts of postage, calendar,
// cards and the export of everything. Each exported method of Programs answers one route of package web.
package programs

import (
	"net/http"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/feed"
	"solander/feeds"
	"solander/house"
	"solander/order"
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
	Mappings []feed.Mapping
	Form     *form.Form
	Token    string // of the feed just made: it is shown this once
	Made     string // its name
}

// feedLine is a feed in a list.
type feedLine struct {
	feed.Feed
	Outlet string
	UsedOn calendar.Day // no day: never
}

// scopeWords say what each scope lets a feed do.
var scopeWords = map[feed.Scope]string{
	feed.OrdersRead:     "read the outlet's orders",
	feed.OrdersWrite:    "take orders and change them",
	feed.PaymentsWrite:  "record payments and refunds",
	feed.BuyersWrite:    "correct who a buyer is",
	feed.BuyersRead:     "read every buyer of the studio, whatever the outlet",
	feed.BuyersMerge:    "say which buyers are the same person",
	feed.AddressesWrite: "correct where an order goes",
	feed.EditionsRead:   "read editions and prices",
	feed.PapersRead:     "print the slips, labels and wrap sheets of the day, whatever the outlet; read the days ahead",
	feed.QuotesRead:     "ask what sending prints would cost, and what you would keep of the price",
	feed.FairsRead:      "read the outlet's days at a table",
	feed.ClaimsRead:     "read the claims for the outlet's parcels",
	feed.ClaimsWrite:    "note that a claim was filed, answered or paid",
	feed.HooksWrite:     "send signed messages to a web-hook",
}

func feedForm(outlets []order.Outlet, in *feed.Feed) *form.Form {
	fm := form.New("feed", "/studio/feeds")
	fm.Text("name", "Name", &in.Name).Must().Half().WithHint("what you call the other program")
	fm.ID("outlet", "It writes for", &in.Outlet, openOutlets(outlets)...).Half()
	askBuyerRule(fm, &in.Buyers)
	for _, s := range feed.Scopes() {
		var may bool
		fm.Tick("scopes."+string(s), "It may "+scopeWords[s], &may).Half().WithHint(string(s))
		fm.Then(func(*fault.List) {
			if may {
				in.Scopes = append(in.Scopes, s)
			}
		})
	}
	return fm
}

func openOutlets(outlets []order.Outlet) []form.Choice {
	var open []form.Choice
	for _, u := range outlets {
		if !u.Closed {
			open = append(open, form.PickID(u.ID, u.Name))
		}
	}
	return open
}

// askBuyerRule asks what becomes of an order whose buyer may be in the book.
func askBuyerRule(fm *form.Form, rule *order.BuyerRule) {
	form.Select(fm, "buyers", "A buyer who may be in the book", rule,
		form.Pick(string(order.TakeSame), "the same person, unless in doubt"),
		form.Pick(string(order.ProposeSame), "a new one; you are asked"),
		form.Pick(string(order.AlwaysNew), "a new one, always")).Half().WithHint("in doubt you are asked on the page of the buyers")
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
	outlets, err := house.Outlets(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	all, err := feeds.Feeds(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	p := &FeedsPage{Frame: fr, Token: made.Token, Made: made.Name}
	if p.Mappings, err = feeds.HookMappings(r.Context(), f.Seen(r)); err != nil {
		return err
	}
	for _, x := range all {
		p.Feeds = append(p.Feeds, feedLine{x, outletName(outlets, x.Outlet), page.DayIn(x.Used, set)})
	}
	p.Form = p.Put(feedForm(outlets, new(feed.Feed)), fail)
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
	outlets, err := house.Outlets(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	var in feed.Feed
	fm := feedForm(outlets, &in)
	var made feeds.NewFeed
	if err = fm.Take(r.PostForm); err == nil {
		made, err = feeds.AddFeed(r.Context(), f.Studio, in)
	}
	if err != nil {
		return f.ShowAgain(w, r, fm.Name, err, func(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
			return f.showFeeds(w, r, fail, made)
		})
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
