package programs

import (
	"fmt"
	"net/http"

	"solander/calendar"
	"solander/feed"
	"solander/feeds"
	"solander/house"
	"solander/order"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// FeedPage is one feed: what it may do, its web-hook, and the way to end it.
type FeedPage struct {
	page.Frame
	Feed    feed.Feed
	Outlet  string
	May     []string
	Made    calendar.Day
	Used    calendar.Day
	Revoked calendar.Day
	Hook    bool // it may send signed messages
	Secrets []secretLine
	Mapping *form.Form
	Buyers  *form.Form
	Add     *form.Form
	Secret  string // just made: it is shown this once
}

// secretLine is a secret in a list, without what it is.
type secretLine struct {
	ID int64
	On calendar.Day
}

func (f *Programs) Feed(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	return f.showFeed(w, r, fail, "")
}

func (f *Programs) showFeed(w http.ResponseWriter, r *http.Request, fail *page.Failure, secret string) error {
	id, err := page.PathID(r, "feed")
	if err != nil {
		return err
	}
	x, err := feeds.Feed(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "studio", x.Name)
	if err != nil {
		return err
	}
	set := page.Settings(r)
	outlets, err := house.Outlets(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	p := &FeedPage{Frame: fr, Feed: x, Outlet: outletName(outlets, x.Outlet), Secret: secret, Made: page.DayIn(x.Made, set), Used: page.DayIn(x.Used, set), Revoked: page.DayIn(x.Revoked, set)}
	p.Tell(fail)
	for _, s := range x.Scopes {
		p.May = append(p.May, scopeWords[s])
	}
	if x.Revoked.IsZero() {
		p.Buyers = form.New("buyers", fmt.Sprintf("/studio/feeds/%d/buyers", x.ID))
		askBuyerRule(p.Buyers, &x.Buyers)
		p.Put(p.Buyers, fail)
	}
	if p.Hook = x.May(feed.HooksWrite) == nil; p.Hook {
		if err := f.askHook(r, p, set); err != nil {
			return err
		}
		p.Put(p.Mapping, fail)
		p.Put(p.Add, fail)
	}
	return f.Show(w, r, page.StatusOf(fail), "feed", p)
}

// askHook adds what a feed with a web-hook is asked.
func (f *Programs) askHook(r *http.Request, p *FeedPage, set studio.Settings) error {
	secrets, err := feeds.FeedSecrets(r.Context(), f.Seen(r), p.Feed.ID)
	if err != nil {
		return err
	}
	for _, s := range secrets {
		p.Secrets = append(p.Secrets, secretLine{s.ID, page.DayIn(s.Made, set)})
	}
	all, err := feeds.HookMappings(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	p.Mapping = feedMappingForm(p.Feed.ID, all, &p.Feed.Mapping)
	p.Add = form.New("secret", fmt.Sprintf("/studio/feeds/%d/secrets", p.Feed.ID))
	p.Add.Ask("secret", "Secret").WithAuto("off").Wide().WithHint("leave it empty to have one made; fill it in when the sender dictates one")
	return nil
}

func feedMappingForm(id int64, all []feed.Mapping, mapping *int64) *form.Form {
	choices := []form.Choice{form.Pick("0", "none: messages are refused")}
	for _, m := range all {
		choices = append(choices, form.PickID(m.ID, m.Name))
	}
	fm := form.New("mapping", fmt.Sprintf("/studio/feeds/%d/mapping", id))
	fm.ID("mapping", "Messages are read by", mapping, choices...).Is(form.Text64(*mapping))
	return fm
}

func (f *Programs) RevokeFeed(w http.ResponseWriter, r *http.Request, id int64) error {
	if err := feeds.RevokeFeed(r.Context(), f.Studio, id); err != nil {
		return f.ShowAgain(w, r, "", err, f.Feed)
	}
	return f.DoneSaying(w, r, "/studio/feeds", "feed-gone")
}

func (f *Programs) AddFeedSecret(w http.ResponseWriter, r *http.Request, id int64) error {
	secret, err := feeds.AddFeedSecret(r.Context(), f.Studio, id, r.PostForm.Get("secret"))
	if err != nil {
		return f.ShowAgain(w, r, "secret", err, f.Feed)
	}
	return f.showFeed(w, r, nil, secret)
}

func (f *Programs) DropFeedSecret(w http.ResponseWriter, r *http.Request, id int64) error {
	secret, err := page.PathID(r, "secret")
	if err != nil {
		return err
	}
	if err := feeds.DropFeedSecret(r.Context(), f.Studio, id, secret); err != nil {
		return err
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/studio/feeds/%d", id), "secret-gone")
}

func (f *Programs) SetFeedBuyers(w http.ResponseWriter, r *http.Request, id int64) error {
	if err := feeds.SetFeedBuyers(r.Context(), f.Studio, id, order.BuyerRule(r.PostForm.Get("buyers"))); err != nil {
		return f.ShowAgain(w, r, "buyers", err, f.Feed)
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/studio/feeds/%d", id), "feed")
}

func (f *Programs) SetFeedMapping(w http.ResponseWriter, r *http.Request, id int64) error {
	var m int64
	fm := feedMappingForm(id, nil, &m)
	err := fm.TakeAnd(r.PostForm, func() error { return feeds.SetFeedMapping(r.Context(), f.Studio, id, m) })
	if err != nil {
		return f.ShowAgain(w, r, fm.Name, err, f.Feed)
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/studio/feeds/%d", id), "feed")
}
