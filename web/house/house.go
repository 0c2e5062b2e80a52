// Package house is the studio's own choices in a browser: the first set-up, settings, outlets, price cards, wraps and house
// rules, lists, what if, backup and check. Each exported method of House answers one route of package web.
package house

import (
	"cmp"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/house"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/tariff"
	"solander/web/form"
	"solander/web/page"
)

// House is the handlers of this room.
type House struct {
	*page.Kit
}

// HousePage is the room of the studio itself: its settings and where the rest of its choices are.
type HousePage struct {
	page.Frame
	Settings *form.Form
	Outlets  []outletLine
	Cards    []house.CardInfo
	Wraps    int
	Rules    int
	Papers   int
}

// outletLine is an outlet in a list.
type outletLine struct {
	order.Outlet
	Fee string
}

func (f *House) House(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	fr, err := f.Frame(r, "studio", "Studio")
	if err != nil {
		return err
	}
	set := page.Settings(r)
	p := &HousePage{Frame: fr, Wraps: len(set.Wraps), Rules: len(set.Rules), Papers: len(set.Papers)}
	p.Tell(fail)
	p.Settings = p.Put(settingsForm(set), fail)
	outlets, err := house.Outlets(r.Context(), f.Studio)
	if err != nil {
		return err
	}
	for _, u := range outlets {
		p.Outlets = append(p.Outlets, outletLine{u, feeText(u)})
	}
	if p.Cards, err = house.Cards(r.Context(), f.Studio); err != nil {
		return err
	}
	return f.Show(w, r, page.StatusOf(fail), "house", p)
}

func feeText(u order.Outlet) string {
	s := permille(u.FeePermille) + " %"
	if !u.FeeFixed.IsZero() {
		s += " + " + u.FeeFixed.String()
	}
	return s
}

// permille prints thousandths as a percentage: 65 is "6.5".
func permille(n int64) string {
	if n%10 == 0 {
		return strconv.FormatInt(n/10, 10)
	}
	return fmt.Sprintf("%d.%d", n/10, n%10)
}

// readPercent reads a percentage with at most one decimal into thousandths.
func readPercent(rd *form.Reader, name string) int64 {
	s := strings.TrimSuffix(strings.ReplaceAll(rd.Text(name), ",", "."), "%")
	s = strings.TrimSpace(s)
	if s == "" {
		return 0
	}
	whole, part, _ := strings.Cut(s, ".")
	n, err := strconv.ParseUint(whole+(part + "0")[:1], 10, 31)
	if err != nil || len(part) > 1 {
		rd.Add(fault.Invalidf(name, "%.20q is not a percentage", s).ToMend("write it like 6.5"))
		return 0
	}
	return int64(n)
}

func settingsForm(set studio.Settings) *form.Form {
	fm := form.New("settings", "/studio")
	askSettings(fm, set)
	return fm.Sealed()
}

func askSettings(fm *form.Form, set studio.Settings) {
	fm.Ask("studio", "Name of the studio").Is(set.Studio).Must().Half()
	fm.Ask("artist", "Artist").Is(set.Artist).Must().Half()
	form.AskAddress(fm, "ship_to.", set.Address)
	fm.Find("ship_to.name").Label = "Name on the return address"
	fm.Ask("currency", "Currency").Is(set.Currency).Must().WithHint("three letters, such as USD; fixed once something is sold")
	fm.Ask("units", "Units").Of(form.Pick(string(measure.Imperial), "inches and ounces"), form.Pick(string(measure.Metric), "millimetres and grams")).Is(string(set.Units))
	fm.Ask("time_zone", "Time zone").Is(set.TimeZone).Must().WithHint("such as America/New_York")
	fm.Ask("holidays", "Working days").Of(form.Pick("us-federal", "without US federal holidays"), form.Pick("none", "Monday to Friday")).Is(set.Holidays)
	var closed []string
	for _, d := range set.ClosedDays {
		closed = append(closed, d.String())
	}
	fm.Ask("closed_days", "Days closed").Is(strings.Join(closed, ", ")).WithHint("such as 2026-12-28, 2026-12-29").Half()
	fm.Ask("mark_prefix", "Orders' marks begin with").Is(set.MarkPrefix).WithHint("S makes S-1001, S-1002")
	fm.Ask("price_classes", "Postage is bought as").Is(strings.Join(set.PriceClasses, ", ")).WithHint("commercial: online; single-piece: at the counter")
	fm.Ask("feeds_a_minute", "Requests a feed may make").Whole(cmp.Or(set.FeedsAMinute, studio.DefaultFeedsAMinute)).WithHint("in a minute")
	fm.Ask("minute_wage", "A minute of packing costs").Money(money.Of(set.MinuteWage, set.Currency)).WithHint("0: not counted")
	combine := fm.Ask("combine", "Send orders of one buyer to one address in one parcel").As("check").Wide().WithHint("when that is cheaper; the same name and the same whole address")
	if set.Combine {
		combine.Is("1")
	}
}

// readSettings takes over what the form asks for; the rest of the settings stays.
func readSettings(rd *form.Reader, set studio.Settings) studio.Settings {
	set.Studio, set.Artist, set.Address = rd.Text("studio"), rd.Text("artist"), form.ReadAddress(rd, "ship_to.")
	set.Currency = strings.ToUpper(rd.Text("currency"))
	set.Units, set.TimeZone, set.Holidays = measure.System(rd.Text("units")), rd.Text("time_zone"), rd.Text("holidays")
	set.MarkPrefix = strings.ToUpper(rd.Text("mark_prefix"))
	set.PriceClasses = form.Words(rd.Text("price_classes"))
	set.ClosedDays = nil
	for _, s := range form.Words(rd.Text("closed_days")) {
		d, err := calendar.ParseDay(s)
		rd.In("closed_days", err)
		set.ClosedDays = append(set.ClosedDays, d)
	}
	set.FeedsAMinute = rd.Whole("feeds_a_minute")
	set.Combine = rd.Ticked("combine")
	set.MinuteWage = 0
	if s := rd.Text("minute_wage"); s != "" && money.Known(set.Currency) {
		set.MinuteWage = rd.Amount("minute_wage", set.Currency).Minor
	}
	return set
}

func (f *House) SaveSettings(w http.ResponseWriter, r *http.Request) error {
	if err := house.ChangeSettings(r.Context(), f.Studio, form.Changing(r, settingsForm, readSettings)); err != nil {
		return page.ShowAgain(w, r, "settings", err, f.House)
	}
	return f.DoneSaying(w, r, "/studio", "settings")
}

// Outlets.

func askOutlet(fm *form.Form, at string, u order.Outlet, cur string) {
	fm.Ask(at+"name", "Name").Is(u.Name).Must().Half()
	fm.Ask(at+"fee", "Fee in per cent").Is(permille(u.FeePermille)).WithMode("decimal").WithHint("of goods and postage")
	fm.Ask(at+"fee_fixed", "and per order").Money(zeroIf(u.FeeFixed, cur))
	fm.Ask(at+"promise_days", "Hand over within").Whole(u.PromiseDays).WithHint("working days")
	tax := fm.Ask(at+"collects_tax", "It collects and pays the tax itself").As("check").Half()
	if u.CollectsTax {
		tax.Is("1")
	}
	post := fm.Ask(at+"price_includes_postage", "Its prices include postage").As("check").Half()
	if u.PriceIncPost {
		post.Is("1")
	}
}

func zeroIf(a money.Amount, cur string) money.Amount {
	if a.Currency == "" {
		return money.Of(0, cur)
	}
	return a
}

func readOutlet(rd *form.Reader, at string, u order.Outlet, cur string) order.Outlet {
	u.Name, u.FeePermille, u.FeeFixed = rd.Text(at+"name"), readPercent(rd, at+"fee"), rd.Amount(at+"fee_fixed", cur)
	u.PromiseDays, u.CollectsTax, u.PriceIncPost = rd.Whole(at+"promise_days"), rd.Ticked(at+"collects_tax"), rd.Ticked(at+"price_includes_postage")
	return u
}

func outletForm(u order.Outlet, cur string) *form.Form {
	if u.ID == 0 {
		fm := form.New("outlet", "/studio/outlets")
		askOutlet(fm, "", u, cur)
		return fm
	}
	fm := form.New("outlet", fmt.Sprintf("/studio/outlets/%d", u.ID))
	askOutlet(fm, "", u, cur)
	fm.Ask("closed", "Nothing is sold there any more").As("check").Wide().Is(form.Ticked(u.Closed))
	return fm.Sealed()
}

func (f *House) outletOf(r *http.Request) (order.Outlet, error) {
	if r.PathValue("outlet") == "" {
		return order.Outlet{PromiseDays: 3}, nil
	}
	id, err := page.PathID(r, "outlet")
	if err != nil {
		return order.Outlet{}, err
	}
	outlets, err := house.Outlets(r.Context(), f.Studio)
	if err != nil {
		return order.Outlet{}, err
	}
	for _, u := range outlets {
		if u.ID == id {
			return u, nil
		}
	}
	return order.Outlet{}, page.Missing("outlet", id)
}

var toStudio = page.LinkTo("/studio", "Studio")

func (f *House) Outlet(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	u, err := f.outletOf(r)
	if err != nil {
		return err
	}
	set := page.Settings(r)
	return f.ShowForm(w, r, "studio", cmp.Or(u.Name, "New outlet"), "Where sales are made.", "Save the outlet", toStudio, outletForm(u, set.Currency), fail)
}

func (f *House) SaveOutlet(w http.ResponseWriter, r *http.Request) error {
	was, err := f.outletOf(r)
	if err != nil {
		return err
	}
	set := page.Settings(r)
	build := func(u order.Outlet) *form.Form { return outletForm(u, set.Currency) }
	read := func(rd *form.Reader, u order.Outlet) order.Outlet {
		u = readOutlet(rd, "", u, set.Currency)
		u.Closed = rd.Ticked("closed")
		return u
	}
	if _, err := house.ChangeOutlet(r.Context(), f.Studio, was.ID, form.Changing(r, build, read)); err != nil {
		return page.ShowAgain(w, r, "outlet", err, f.Outlet)
	}
	return f.DoneSaying(w, r, "/studio#outlets", "outlet")
}

// Price cards.

func cardForm() *form.Form {
	fm := form.New("card", "/studio/cards")
	fm.Ask("card", "The card as JSON").As("code").Must().Wide().WithHint("see docs/formats/tariff.md")
	return fm
}

const cardWords = "Paste a price card. It is checked whole before it is loaded; one with the id of a card of your own replaces it."

func (f *House) NewCard(w http.ResponseWriter, r *http.Request) error {
	return f.ShowForm(w, r, "studio", "Load a price card", cardWords, "Load the card", toStudio, cardForm(), nil)
}

func (f *House) AddCard(w http.ResponseWriter, r *http.Request) error {
	fm := cardForm()
	fm.Read(r.PostForm)
	rd := fm.Reader()
	var c tariff.Card
	text := rd.Text("card")
	if text != "" {
		rd.Add(form.FromJSON("card", text, &c))
	}
	err := rd.Err()
	if err == nil {
		err = house.AddCard(r.Context(), f.Studio, c)
	}
	if err != nil {
		if page.Ours(err) {
			return err
		}
		for _, e := range fault.All(err) { // a fault inside the card belongs to the one field there is
			if e.Field != "card" {
				err = fault.New(e.Code, "%s", e.What).At("%s", strings.TrimSpace(e.Field+" "+e.Where)).ToMend("%s", e.Mend).In("card")
			}
		}
		return f.ShowForm(w, r, "studio", "Load a price card", cardWords, "Load the card", toStudio, fm, page.Failed(fm, r, err))
	}
	return f.DoneSaying(w, r, "/studio#cards", "card")
}

func (f *House) DropCard(w http.ResponseWriter, r *http.Request) error {
	if err := house.DropCard(r.Context(), f.Studio, r.PostForm.Get("id")); err != nil {
		return err
	}
	return f.DoneSaying(w, r, "/studio#cards", "card-gone")
}
