// Package house is the studio's own choices in a browser: the first set-up, settings, outlets, price cards,
// lists, what if, backup and check. Each exported method of House answers one route of package web.
package house

import (
	"cmp"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"solander/charging"
	"solander/fault"
	"solander/house"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/pricecards"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// House is the handlers of this room.
type House struct {
	*page.Kit
	Opened string // what IsOpen answers; "" = nothing
	End    func() // ends the program; nil = that is not offered
	// Invented opens the invented studio beside this one; nil = that is not offered.
	Invented func() (address string, err error)
}

// HousePage is the room of the studio itself: its settings and where the rest of its choices are.
type HousePage struct {
	page.Frame
	Settings *form.Form
	Outlets  []outletLine
	Cards    []pricecards.CardInfo // for this studio
	Others   []pricecards.CardInfo // of other countries and currencies
	Wraps    int
	Rules    int
	Papers   int
	Closable bool
	Lookable bool
	Leaving  int // ways by which parcels leave
}

// outletLine is an outlet in a list.
type outletLine struct {
	order.Outlet
	Now string // what its fee table says today
}

func (f *House) House(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	fr, err := f.Frame(r, "studio", "Studio")
	if err != nil {
		return err
	}
	set := page.Settings(r)
	p := &HousePage{Frame: fr, Wraps: len(set.Wraps), Rules: len(set.Rules), Papers: len(set.Papers), Closable: f.End != nil, Lookable: f.Invented != nil}
	p.Tell(fail)
	p.Settings = p.Put(settingsForm(&set), fail)
	outlets, err := house.Outlets(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	for _, u := range outlets {
		p.Outlets = append(p.Outlets, outletLine{u, u.Fees.Tells(fr.Today)})
	}
	cards, err := pricecards.Cards(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	for _, c := range cards {
		if c.Here || c.Own {
			p.Cards = append(p.Cards, c)
		} else {
			p.Others = append(p.Others, c)
		}
	}
	return f.Show(w, r, page.StatusOf(fail), "house", p)
}

// parsePercent reads a percentage with at most one decimal into thousandths; "" is none.
func parsePercent(typed string) (int64, error) {
	s := strings.TrimSpace(strings.TrimSuffix(strings.ReplaceAll(typed, ",", "."), "%"))
	if s == "" {
		return 0, nil
	}
	whole, part, _ := strings.Cut(s, ".")
	n, err := strconv.ParseUint(whole+(part + "0")[:1], 10, 31)
	if err != nil || len(part) > 1 {
		return 0, fault.New(fault.Invalid, "%.20q is not a percentage", s).ToMend("write it like 6.5")
	}
	return int64(n), nil
}

// percent asks for a share in per cent, with at most one decimal.
func percent(fm *form.Form, name, label string, thousandths *int) *form.Field {
	return fm.Bind(name, label, money.PerCent(int64(*thousandths)), func(typed string) error {
		n, err := parsePercent(typed)
		*thousandths = int(n)
		return err
	}).WithMode("decimal")
}

func settingsForm(set *studio.Settings) *form.Form {
	fm := form.New("settings", "/studio")
	askSettings(fm, set)
	return fm.Sealed()
}

// askSettings asks for a part of the settings; the rest stays.
func askSettings(fm *form.Form, set *studio.Settings) {
	fm.Text("studio", "Name of the studio", &set.Studio).Must().Half()
	fm.Text("artist", "Artist", &set.Artist).Must().Half()
	fm.Address("ship_to.", &set.Address)
	fm.Find("ship_to.name").Label = "Name on the return address"
	fm.Find("ship_to.country").Of(countryChoices()...).WithHint("")
	fm.Text("currency", "Currency", &set.Currency).Upper().Must().Of(currencyChoices(set.Currency)...).WithHint("fixed once something is sold")
	form.Select(fm, "units", "Units", &set.Units, form.Pick(string(measure.Imperial), "inches and ounces"), form.Pick(string(measure.Metric), "millimetres and grams"))
	fm.Text("time_zone", "Time zone", &set.TimeZone).Must().Of(zoneChoices(set.TimeZone)...)
	form.Select(fm, "holidays", "Working days", &set.Holidays, form.Pick("us-federal", "without US federal holidays"), form.Pick("none", "Monday to Friday"))
	askClosed(fm, set)
	before := len(fm.Fields())
	fm.Text("mark_prefix", "Orders' marks begin with", &set.MarkPrefix).Upper().WithHint("S makes S-1001, S-1002")
	askClasses(fm, set)
	set.FeedsAMinute = cmp.Or(set.FeedsAMinute, studio.DefaultFeedsAMinute)
	fm.Whole("feeds_a_minute", "Requests a feed may make", &set.FeedsAMinute).WithHint("in a minute")
	fm.Bind("minute_wage", "A minute of packing costs", money.Of(set.MinuteWage, set.Currency).Plain(), func(typed string) error {
		if set.MinuteWage = 0; typed == "" || !money.Known(set.Currency) {
			return nil
		}
		a, err := money.Parse(typed, set.Currency)
		set.MinuteWage = a.Minor
		return err
	}).WithMode("decimal").WithHint("0: not counted")
	percent(fm, "margin.grammage", "Paper may be heavier, in per cent", &set.Margin.Grammage).WithHint("plans hold with it; mills allow themselves about 5")
	percent(fm, "margin.caliper", "and thicker, in per cent", &set.Margin.Caliper).WithHint("0: as measured")
	fm.Mass("margin.parcel", "A step of your scale", &set.Margin.Parcel, set.Units).OrEmpty().WithHint("a parcel may weigh so much more than planned")
	reserve := set.ReserveDays()
	fm.Whole("reserve", "Working days in reserve", &reserve).Small().WithHint("an order that waits goes so long before its promise")
	fm.Then(func(*fault.List) { set.Reserve = &reserve })
	fm.Tick("combine", "Send orders of one buyer to one address in one parcel", &set.Combine).Wide().WithHint("when that is cheaper; the same name and the same whole address")
	for _, fd := range fm.Fields()[before:] {
		fd.Apart = true
	}
}

func (f *House) SaveSettings(w http.ResponseWriter, r *http.Request) error {
	if err := house.ChangeSettings(r.Context(), f.Studio, form.Changing(r, settingsForm)); err != nil {
		return f.ShowAgain(w, r, "settings", err, f.House)
	}
	return f.DoneSaying(w, r, "/studio", "settings")
}

// Outlets.

// askOutlet asks for an outlet; for its fee by two figures while they say all of its fee table.
func askOutlet(fm *form.Form, at string, u *order.Outlet, cur string) {
	fm.Text(at+"name", "Name", &u.Name).Must().Class = "first"
	if share, fixed, simple := u.Fees.IsSimple(); simple {
		fm.Bind(at+"fee", "Fee in per cent", charging.PerCent(share), func(typed string) (err error) {
			share, err = charging.ParseShare(typed)
			return err
		}).WithMode("decimal").WithHint("of goods and postage").Class = "start"
		fm.Amount(at+"fee_fixed", "and per order", &fixed, cur)
		fm.Then(func(*fault.List) {
			if u.Fees = nil; share != 0 || !fixed.IsZero() {
				u.Fees = charging.Simple(share, fixed)
			}
		})
	}
	fm.Whole(at+"promise_days", "Hand over within", &u.PromiseDays).WithHint("working days")
	fm.Tick(at+"collects_tax", "It collects and pays the tax itself", &u.CollectsTax).Half()
	fm.Tick(at+"price_includes_postage", "Its prices include postage", &u.PriceIncPost).Half()
}

func outletForm(u *order.Outlet, cur string) *form.Form {
	if u.ID == 0 {
		fm := form.New("outlet", "/studio/outlets")
		askOutlet(fm, "", u, cur)
		return fm
	}
	fm := form.New("outlet", fmt.Sprintf("/studio/outlets/%d", u.ID))
	askOutlet(fm, "", u, cur)
	fm.Tick("closed", "Nothing is sold there any more", &u.Closed).Wide()
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
	outlets, err := house.Outlets(r.Context(), f.Seen(r))
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
	return f.ShowForm(w, r, page.OneForm{
		Room: "studio", Title: cmp.Or(u.Name, "New outlet"), Under: "Where sales are made.",
		Button: "Save the outlet", Back: toStudio, Form: outletForm(&u, set.Currency),
	}, fail)
}

func (f *House) SaveOutlet(w http.ResponseWriter, r *http.Request) error {
	was, err := f.outletOf(r)
	if err != nil {
		return err
	}
	set := page.Settings(r)
	build := func(u *order.Outlet) *form.Form { return outletForm(u, set.Currency) }
	if _, err := house.ChangeOutlet(r.Context(), f.Studio, was.ID, form.Changing(r, build)); err != nil {
		return f.ShowAgain(w, r, "outlet", err, f.Outlet)
	}
	return f.DoneSaying(w, r, "/studio#outlets", "outlet")
}
