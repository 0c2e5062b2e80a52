package web

import (
	"fmt"
	"net/http"

	"solander/calendar"
	"solander/order"
	"solander/studio"
)

// feedPage is one feed: what it may do, its web-hook, and the way to end it.
type feedPage struct {
	frame
	Feed    studio.Feed
	Outlet  string
	May     []string
	Made    calendar.Day
	Used    calendar.Day
	Revoked calendar.Day
	Hook    bool // it may send signed messages
	Secrets []secretLine
	Mapping *form
	Buyers  *form
	Add     *form
	Secret  string // just made: it is shown this once
}

// secretLine is a secret in a list, without what it is.
type secretLine struct {
	ID int64
	On calendar.Day
}

func (f *face) feed(w http.ResponseWriter, r *http.Request) error {
	return f.showFeed(w, r, nil, "")
}

func (f *face) showFeed(w http.ResponseWriter, r *http.Request, fail *failure, secret string) error {
	id, err := pathID(r, "feed")
	if err != nil {
		return err
	}
	x, err := f.studio.Feed(r.Context(), id)
	if err != nil {
		return err
	}
	fr, err := f.frame(r, "studio", x.Name)
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
	p := &feedPage{frame: fr, Feed: x, Outlet: outletName(outlets, x.Outlet), Secret: secret, Made: dayIn(x.Made, set), Used: dayIn(x.Used, set), Revoked: dayIn(x.Revoked, set)}
	p.tell(fail)
	for _, s := range x.Scopes {
		p.May = append(p.May, scopeWords[s])
	}
	if x.Revoked.IsZero() {
		p.Buyers = newForm("buyers", fmt.Sprintf("/studio/feeds/%d/buyers", x.ID))
		askBuyerRule(p.Buyers).is(string(x.Buyers))
		p.put(p.Buyers, fail)
	}
	if p.Hook = x.May(studio.ScopeHooksWrite) == nil; p.Hook {
		if err := f.askHook(r, p, set); err != nil {
			return err
		}
		p.put(p.Mapping, fail)
		p.put(p.Add, fail)
	}
	return f.show(w, r, statusOf(fail), "feed", p)
}

// askHook adds what a feed with a web-hook is asked.
func (f *face) askHook(r *http.Request, p *feedPage, set studio.Settings) error {
	secrets, err := f.studio.FeedSecrets(r.Context(), p.Feed.ID)
	if err != nil {
		return err
	}
	for _, s := range secrets {
		p.Secrets = append(p.Secrets, secretLine{s.ID, dayIn(s.Made, set)})
	}
	all, err := f.studio.HookMappings(r.Context())
	if err != nil {
		return err
	}
	choices := []choice{{"0", "none: messages are refused"}}
	for _, m := range all {
		choices = append(choices, choice{text64(m.ID), m.Name})
	}
	p.Mapping = newForm("mapping", fmt.Sprintf("/studio/feeds/%d/mapping", p.Feed.ID))
	p.Mapping.ask("mapping", "Messages are read by").of(choices...).is(text64(p.Feed.Mapping))
	p.Add = newForm("secret", fmt.Sprintf("/studio/feeds/%d/secrets", p.Feed.ID))
	p.Add.ask("secret", "Secret").auto("off").wide().hint("leave it empty to have one made; fill it in when the sender dictates one")
	return nil
}

func (f *face) revokeFeed(w http.ResponseWriter, r *http.Request) error {
	id, err := pathID(r, "feed")
	if err != nil {
		return err
	}
	if err := f.studio.RevokeFeed(r.Context(), id); err != nil {
		if ours(err) {
			return err
		}
		return f.showFeed(w, r, &failure{err: err}, "")
	}
	return f.doneSaying(w, r, "/studio/feeds", "feed-gone")
}

func (f *face) addFeedSecret(w http.ResponseWriter, r *http.Request) error {
	id, err := pathID(r, "feed")
	if err != nil {
		return err
	}
	secret, err := f.studio.AddFeedSecret(r.Context(), id, r.PostForm.Get("secret"))
	if err != nil {
		if ours(err) {
			return err
		}
		return f.showFeed(w, r, failedIn("secret", r, err), "")
	}
	return f.showFeed(w, r, nil, secret)
}

func (f *face) dropFeedSecret(w http.ResponseWriter, r *http.Request) error {
	id, err := pathID(r, "feed")
	if err != nil {
		return err
	}
	secret, err := pathID(r, "secret")
	if err != nil {
		return err
	}
	if err := f.studio.DropFeedSecret(r.Context(), id, secret); err != nil {
		return err
	}
	return f.doneSaying(w, r, fmt.Sprintf("/studio/feeds/%d", id), "secret-gone")
}

func (f *face) setFeedBuyers(w http.ResponseWriter, r *http.Request) error {
	id, err := pathID(r, "feed")
	if err != nil {
		return err
	}
	if err := f.studio.SetFeedBuyers(r.Context(), id, order.BuyerRule(r.PostForm.Get("buyers"))); err != nil {
		if ours(err) {
			return err
		}
		return f.showFeed(w, r, failedIn("buyers", r, err), "")
	}
	return f.doneSaying(w, r, fmt.Sprintf("/studio/feeds/%d", id), "feed")
}

func (f *face) setFeedMapping(w http.ResponseWriter, r *http.Request) error {
	id, err := pathID(r, "feed")
	if err != nil {
		return err
	}
	fm := newForm("mapping", "")
	fm.ask("mapping", "")
	fm.read(r.PostForm)
	rd := fm.reader()
	m := rd.id("mapping")
	if err = rd.Err(); err == nil {
		err = f.studio.SetFeedMapping(r.Context(), id, m)
	}
	if err != nil {
		if ours(err) {
			return err
		}
		return f.showFeed(w, r, failed(fm, r, err), "")
	}
	return f.doneSaying(w, r, fmt.Sprintf("/studio/feeds/%d", id), "feed")
}
