package web

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"testing"
	"time"

	"solander/calendar"
	"solander/dayplan"
	"solander/planning"
	"solander/register"
	"solander/stockroom"
	"solander/suppose"
	"solander/tariff"
	"solander/tariff/cards"
	"solander/web/page"
)

// count sets the stock of the shelf item of a key.
func (s *site) count(key string, pieces int) {
	s.t.Helper()
	items, err := stockroom.Shelf(s.ctx(), s.studio)
	s.must(err)
	for _, it := range items {
		if it.Spec.ID == key {
			s.must(stockroom.CountShelf(s.ctx(), s.studio, it.ID, pieces, "few are left"))
			return
		}
	}
	s.t.Fatalf("%s is not on the shelf", key)
}

// rivals are two paid and signed orders of one heron each that would both take the last envelope of the
// kind that the planner gives one of them.
func (s *site) rivals() (key string) {
	s.t.Helper()
	s.sale(1, 9000)
	s.sale(1, 9000)
	s.must(register.Sign(s.ctx(), s.studio, []int64{1, 2}))
	v, err := planning.Plan(s.ctx(), s.studio, 1, calendar.Day{})
	s.must(err)
	layers := v.Plan.Parcels[0].Layers
	key = layers[len(layers)-1].Item
	s.count(key, 1)
	return key
}

func TestOrderSaysWhatItSharesWithOthers(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.rivals()
	said := 0
	for _, mark := range []string{"S-1001", "S-1002"} {
		if p := s.get("/orders/" + mark).is(200); len(p.find(".shared li")) > 0 {
			p.has(".shared li", "others need it more")
			said++
		}
	}
	if said != 1 {
		t.Errorf("%d orders say that they gave the envelope up, want 1", said)
	}
}

func TestOneMorePieceIsTold(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	key := s.rivals()
	found, err := suppose.AskOneMore(s.ctx(), s.studio, calendar.Day{}, nil)
	s.must(err)
	if len(found.Items) == 0 || found.Items[0].Item != key {
		t.Fatalf("one more %s saves nothing: %+v", key, found)
	}
	p := s.get("/shelf-savings").is(200)
	p.has("tbody tr", found.Items[0].Name)
	p.has("tbody tr", "one more would save "+found.Items[0].Saves.String()+" today")
	s.count(key, 40)
	s.get("/shelf-savings").is(200).has(".matter", "No single piece more would save anything.")
}

// By hand: four boards of 16 × 20 in are one sheet of 32 × 40 in without offcut, by three cuts.
func TestBoardsPage(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.get("/boards").is(200).hasNot("#list")
	asked := url.Values{
		"kerf": {"0"}, "sheet1.width": {"32"}, "sheet1.height": {"40"}, "sheet1.cost": {"6.50"},
		"board1.width": {"16"}, "board1.height": {"20"}, "board1.count": {"4"},
	}
	p := s.get("/boards?" + asked.Encode()).is(200)
	p.has("#list header", "6.50 USD")
	p.has("#list header", "fewer")
	if n := len(p.find("#list ol.build li")); n != 3 {
		t.Errorf("%d cuts, want 3", n)
	}
	if n := len(p.find("#list svg")); n != 1 {
		t.Errorf("%d drawings, want 1", n)
	}
	p.has("#list", "Cut away from you")
	asked.Set("kerf", "1/8 in")
	s.get("/boards?"+asked.Encode()).is(200).has("#list header", "13.00 USD") // the blade costs a second sheet
	asked.Set("board1.width", "60")
	s.get("/boards?"+asked.Encode()).is(409).has("#matter", "fits on no sheet")
	asked.Set("board1.width", "wide")
	s.get("/boards?" + asked.Encode()).is(422).one("#boards-board1-width-wrong")
}

// dearerCard is the bundled commercial card as JSON, with every price by mass a dollar
// higher.
func dearerCard(t *testing.T) string {
	t.Helper()
	all, err := cards.All()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range all {
		if c.ID == "us-usps-commercial-2025-10-05" {
			text, err := json.Marshal(c) // the bundled cards are shared: another is changed
			if err != nil {
				t.Fatal(err)
			}
			c = tariff.Card{}
			if err := json.Unmarshal(text, &c); err != nil {
				t.Fatal(err)
			}
			c.ID += "-dearer"
			for i := range c.Services {
				for _, r := range c.Services[i].Prices.Rows {
					for j, cell := range r.Prices {
						if cell != tariff.NotCarried {
							r.Prices[j] = cell + 100
						}
					}
				}
			}
			if text, err = json.Marshal(c); err != nil {
				t.Fatal(err)
			}
			return string(text)
		}
	}
	t.Fatal("the commercial card is not bundled")
	return ""
}

func TestWhatIfACardComesAsAFile(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	p := s.leads(s.sendFile("/studio/what-if", "cards", "card.json", []byte(dearerCard(t)), "past", "1", "open", "1"), "/reckoning/")
	p.has("#answer tbody tr", "It saves")
	p.has("#answer tbody tr", "-")
	if len(p.find("#answer svg.plot rect")) == 0 {
		t.Error("nothing is plotted")
	}
	if n := len(p.find("section td[data-head='Saves']")); n != 7 {
		t.Errorf("%d sendings, want 7", n)
	}
	for text, told := range map[string]string{`{"id": "half`: "near line 1", `{"id": "empty"}`: "series", "": "empty", "\xff\xfe": "UTF-8"} {
		s.sendFile("/studio/what-if", "cards", "card.json", []byte(text), "past", "1").is(422).has("#whatif-cards-wrong", told)
	}
	// The card of the file goes on being asked about, until it is left out.
	kept := s.sendFile("/studio/what-if", "cards", "card.json", []byte(dearerCard(t)), "past", "1", "do", "show").is(200)
	kept.has("label", "Without the card of the file sent before")
	s.leads(s.sendForm(kept, "#editor", "do", "ask"), "/reckoning/").has("#answer", "-dearer")
	s.sendForm(kept, "#editor", "do", "ask", "leave_card", "1").is(422).has("#faults", "Nothing is changed")
}

// slow is a reckoning that gets two of ten done and then waits until it is stopped.
func slow(ctx context.Context, tell dayplan.Tell) (any, error) {
	tell(2, 10)
	<-ctx.Done()
	return "two are done", nil
}

func TestAReckoningTellsHowFarItIsAndStops(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	f := newFace(s.studio, Options{Patience: page.Patience{Moment: 50 * time.Millisecond}})
	s.handler = f.handler()
	x := &page.Reckoning{Title: "Something long", Room: "studio"}
	x.Show = func(w http.ResponseWriter, _ *http.Request, result any) error {
		_, err := fmt.Fprint(w, result)
		return err
	}
	f.Reckon(httptest.NewRequest(http.MethodGet, "/", nil), x, slow)
	p := s.get(x.Path()).is(200)
	p.has("h1", "Something long")
	p.has("[role=status]", "2 of 10")
	if p.header.Get("Refresh") != "1" || attr(p.one("rect.full"), "width") != "200" {
		t.Errorf("the page does not look again, or its bar is wrong: %q, %q", p.header.Get("Refresh"), attr(p.one("rect.full"), "width"))
	}
	form := p.one("form[action='" + x.Path() + "/stop']")
	a := s.post(attr(form, "action"), fieldsOf(form)...)
	if a.status != 303 || a.location != x.Path() {
		t.Fatalf("stopping answers %d to %q", a.status, a.location)
	}
	if a = s.get(x.Path()); a.status != 200 || string(a.body) != "two are done" || a.header.Get("Refresh") != "" {
		t.Errorf("after the stop: %d %q", a.status, a.body)
	}
	s.get("/reckoning/none").is(404)
}

// A computation that breaks down is told as our own fault, and the program goes on.
func TestAReckoningThatBreaksDown(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	f := newFace(s.studio, Options{Patience: patient})
	s.handler = f.handler()
	x := &page.Reckoning{Title: "Something wrong", Room: "studio"}
	x.Show = func(http.ResponseWriter, *http.Request, any) error { return nil }
	f.Reckon(httptest.NewRequest(http.MethodGet, "/", nil), x, func(context.Context, dayplan.Tell) (any, error) { panic("a slip") })
	s.get(x.Path()).is(500)
	s.get("/").is(200)
}
