package web

import (
	"cmp"
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/tariff"
)

// housePage is the room of the studio itself: its settings and where the rest of its choices are.
type housePage struct {
	frame
	Settings *form
	Outlets  []outletLine
	Cards    []studio.CardInfo
	Wraps    int
	Rules    int
	Papers   int
}

// outletLine is an outlet in a list.
type outletLine struct {
	order.Outlet
	Fee string
}

func (f *face) house(w http.ResponseWriter, r *http.Request) error { return f.showHouse(w, r, nil) }

func (f *face) showHouse(w http.ResponseWriter, r *http.Request, fail *failure) error {
	fr, err := f.frame(r, "studio", "Studio")
	if err != nil {
		return err
	}
	set, err := f.studio.Settings(r.Context())
	if err != nil {
		return err
	}
	p := &housePage{frame: fr, Wraps: len(set.Wraps), Rules: len(set.Rules), Papers: len(set.Papers)}
	p.tell(fail)
	p.Settings = p.put(settingsForm(set), fail)
	outlets, err := f.studio.Outlets(r.Context())
	if err != nil {
		return err
	}
	for _, u := range outlets {
		p.Outlets = append(p.Outlets, outletLine{u, feeText(u)})
	}
	if p.Cards, err = f.studio.Cards(r.Context()); err != nil {
		return err
	}
	return f.show(w, r, statusOf(fail), "house", p)
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
func readPercent(rd *reader, name string) int64 {
	s := strings.TrimSuffix(strings.ReplaceAll(rd.text(name), ",", "."), "%")
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

func settingsForm(set studio.Settings) *form {
	fm := newForm("settings", "/studio")
	askSettings(fm, set)
	return fm.sealed()
}

func askSettings(fm *form, set studio.Settings) {
	fm.ask("studio", "Name of the studio").is(set.Studio).must().half()
	fm.ask("artist", "Artist").is(set.Artist).must().half()
	askAddress(fm, "ship_to.", set.Address)
	fm.find("ship_to.name").Label = "Name on the return address"
	fm.ask("currency", "Currency").is(set.Currency).must().hint("three letters, such as USD; fixed once something is sold")
	fm.ask("units", "Units").of(choice{string(measure.Imperial), "inches and ounces"}, choice{string(measure.Metric), "millimetres and grams"}).is(string(set.Units))
	fm.ask("time_zone", "Time zone").is(set.TimeZone).must().hint("such as America/New_York")
	fm.ask("holidays", "Working days").of(choice{"us-federal", "without US federal holidays"}, choice{"none", "Monday to Friday"}).is(set.Holidays)
	var closed []string
	for _, d := range set.ClosedDays {
		closed = append(closed, d.String())
	}
	fm.ask("closed_days", "Days closed").is(strings.Join(closed, ", ")).hint("such as 2026-12-28, 2026-12-29").half()
	fm.ask("mark_prefix", "Orders' marks begin with").is(set.MarkPrefix).hint("S makes S-1001, S-1002")
	fm.ask("price_classes", "Postage is bought as").is(strings.Join(set.PriceClasses, ", ")).hint("commercial: online; single-piece: at the counter")
	fm.ask("feeds_a_minute", "Requests a feed may make").whole(cmp.Or(set.FeedsAMinute, studio.DefaultFeedsAMinute)).hint("in a minute")
	fm.ask("minute_wage", "A minute of packing costs").money(minor(set.MinuteWage, set.Currency)).hint("0: not counted")
	combine := fm.ask("combine", "Send orders of one buyer to one address in one parcel").as("check").wide().hint("when that is cheaper; the same name and the same whole address")
	if set.Combine {
		combine.is("1")
	}
}

// readSettings takes over what the form asks for; the rest of the settings stays.
func readSettings(rd *reader, set studio.Settings) studio.Settings {
	set.Studio, set.Artist, set.Address = rd.text("studio"), rd.text("artist"), readAddress(rd, "ship_to.")
	set.Currency = strings.ToUpper(rd.text("currency"))
	set.Units, set.TimeZone, set.Holidays = measure.System(rd.text("units")), rd.text("time_zone"), rd.text("holidays")
	set.MarkPrefix = strings.ToUpper(rd.text("mark_prefix"))
	set.PriceClasses = words(rd.text("price_classes"))
	set.ClosedDays = nil
	for _, s := range words(rd.text("closed_days")) {
		d, err := calendar.ParseDay(s)
		rd.in("closed_days", err)
		set.ClosedDays = append(set.ClosedDays, d)
	}
	set.FeedsAMinute = rd.whole("feeds_a_minute")
	set.Combine = rd.ticked("combine")
	set.MinuteWage = 0
	if s := rd.text("minute_wage"); s != "" && money.Known(set.Currency) {
		set.MinuteWage = rd.amount("minute_wage", set.Currency).Minor
	}
	return set
}

// words splits a list typed with commas or on lines of its own.
func words(text string) []string {
	var out []string
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == '\n' || r == ';' }) {
		if w = strings.TrimSpace(w); w != "" {
			out = append(out, w)
		}
	}
	return out
}

func (f *face) saveSettings(w http.ResponseWriter, r *http.Request) error {
	if err := f.studio.ChangeSettings(r.Context(), changing(r, settingsForm, readSettings)); err != nil {
		if ours(err) {
			return err
		}
		return f.showHouse(w, r, failedIn("settings", r, err))
	}
	return f.doneSaying(w, r, "/studio", "settings")
}

// Outlets.

func askOutlet(fm *form, at string, u order.Outlet, cur string) {
	fm.ask(at+"name", "Name").is(u.Name).must().half()
	fm.ask(at+"fee", "Fee in per cent").is(permille(u.FeePermille)).mode("decimal").hint("of goods and postage")
	fm.ask(at+"fee_fixed", "and per order").money(zeroIf(u.FeeFixed, cur))
	fm.ask(at+"promise_days", "Hand over within").whole(u.PromiseDays).hint("working days")
	tax := fm.ask(at+"collects_tax", "It collects and pays the tax itself").as("check").half()
	if u.CollectsTax {
		tax.is("1")
	}
	post := fm.ask(at+"price_includes_postage", "Its prices include postage").as("check").half()
	if u.PriceIncPost {
		post.is("1")
	}
}

func zeroIf(a money.Amount, cur string) money.Amount {
	if a.Currency == "" {
		return zero(cur)
	}
	return a
}

func readOutlet(rd *reader, at string, u order.Outlet, cur string) order.Outlet {
	u.Name, u.FeePermille, u.FeeFixed = rd.text(at+"name"), readPercent(rd, at+"fee"), rd.amount(at+"fee_fixed", cur)
	u.PromiseDays, u.CollectsTax, u.PriceIncPost = rd.whole(at+"promise_days"), rd.ticked(at+"collects_tax"), rd.ticked(at+"price_includes_postage")
	return u
}

func outletForm(u order.Outlet, cur string) *form {
	if u.ID == 0 {
		fm := newForm("outlet", "/studio/outlets")
		askOutlet(fm, "", u, cur)
		return fm
	}
	fm := newForm("outlet", fmt.Sprintf("/studio/outlets/%d", u.ID))
	askOutlet(fm, "", u, cur)
	fm.ask("closed", "Nothing is sold there any more").as("check").wide().is(ticked(u.Closed))
	return fm.sealed()
}

func (f *face) outletOf(r *http.Request) (order.Outlet, error) {
	if r.PathValue("outlet") == "" {
		return order.Outlet{PromiseDays: 3}, nil
	}
	id, err := pathID(r, "outlet")
	if err != nil {
		return order.Outlet{}, err
	}
	outlets, err := f.studio.Outlets(r.Context())
	if err != nil {
		return order.Outlet{}, err
	}
	for _, u := range outlets {
		if u.ID == id {
			return u, nil
		}
	}
	return order.Outlet{}, missing("outlet", id)
}

var toStudio = link{"/studio", "Studio"}

func (f *face) outlet(w http.ResponseWriter, r *http.Request) error { return f.showOutlet(w, r, nil) }

func (f *face) showOutlet(w http.ResponseWriter, r *http.Request, fail *failure) error {
	u, err := f.outletOf(r)
	if err != nil {
		return err
	}
	set, err := f.studio.Settings(r.Context())
	if err != nil {
		return err
	}
	return f.showForm(w, r, "studio", cmp.Or(u.Name, "New outlet"), "Where sales are made.", "Save the outlet", toStudio, outletForm(u, set.Currency), fail)
}

func (f *face) saveOutlet(w http.ResponseWriter, r *http.Request) error {
	was, err := f.outletOf(r)
	if err != nil {
		return err
	}
	set, err := f.studio.Settings(r.Context())
	if err != nil {
		return err
	}
	build := func(u order.Outlet) *form { return outletForm(u, set.Currency) }
	read := func(rd *reader, u order.Outlet) order.Outlet {
		u = readOutlet(rd, "", u, set.Currency)
		u.Closed = rd.ticked("closed")
		return u
	}
	if _, err := f.studio.ChangeOutlet(r.Context(), was.ID, changing(r, build, read)); err != nil {
		if ours(err) {
			return err
		}
		return f.showOutlet(w, r, failedIn("outlet", r, err))
	}
	return f.doneSaying(w, r, "/studio#outlets", "outlet")
}

// Price cards.

func cardForm() *form {
	fm := newForm("card", "/studio/cards")
	fm.ask("card", "The card as JSON").as("code").must().wide().hint("see docs/formats/tariff.md")
	return fm
}

const cardWords = "Paste a price card. It is checked whole before it is loaded; one with the id of a card of your own replaces it."

func (f *face) newCard(w http.ResponseWriter, r *http.Request) error {
	return f.showForm(w, r, "studio", "Load a price card", cardWords, "Load the card", toStudio, cardForm(), nil)
}

func (f *face) addCard(w http.ResponseWriter, r *http.Request) error {
	fm := cardForm()
	fm.read(r.PostForm)
	rd := fm.reader()
	var c tariff.Card
	text := rd.text("card")
	if text != "" {
		rd.Add(fromJSON("card", text, &c))
	}
	err := rd.Err()
	if err == nil {
		err = f.studio.AddCard(r.Context(), c)
	}
	if err != nil {
		if ours(err) {
			return err
		}
		for _, e := range fault.All(err) { // a fault inside the card belongs to the one field there is
			if e.Field != "card" {
				err = fault.New(e.Code, "%s", e.What).At("%s", strings.TrimSpace(e.Field+" "+e.Where)).ToMend("%s", e.Mend).In("card")
			}
		}
		return f.showForm(w, r, "studio", "Load a price card", cardWords, "Load the card", toStudio, fm, failed(fm, r, err))
	}
	return f.doneSaying(w, r, "/studio#cards", "card")
}

func (f *face) dropCard(w http.ResponseWriter, r *http.Request) error {
	if err := f.studio.DropCard(r.Context(), r.PostForm.Get("id")); err != nil {
		return err
	}
	return f.doneSaying(w, r, "/studio#cards", "card-gone")
}

// fromJSON reads one JSON value strictly. Faults: Invalid in field, saying where.
func fromJSON(field, text string, to any) error {
	d := json.NewDecoder(strings.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(to); err != nil {
		if all := fault.All(err); all[0].Code != fault.Internal {
			return all[0].In(field)
		}
		what := strings.TrimPrefix(err.Error(), "json: ")
		line := 1 + strings.Count(text[:min(int(d.InputOffset()), len(text))], "\n")
		return fault.Invalidf(field, "it cannot be read near line %d: %.120s", line, what).ToMend("mend the JSON there").Because(err)
	}
	if d.More() {
		return fault.Invalidf(field, "something follows after its end").ToMend("give one value")
	}
	return nil
}
