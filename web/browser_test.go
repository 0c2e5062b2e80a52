package web

import (
	"fmt"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"solander/book"
	"solander/internal/browsertest"
	"solander/internal/pgtest"
	"solander/order"
)

// open serves a site and opens its bench in a browser.
func (s *site) open() (p *browsertest.Page, base string) {
	s.t.Helper()
	server := httptest.NewServer(s.handler)
	s.t.Cleanup(server.Close)
	p = browsertest.Open(s.t)
	p.Go(server.URL + "/")
	return p, server.URL
}

// handedOver fails unless the one sale of the story went the whole way.
func (s *site) handedOver() {
	s.t.Helper()
	v, err := book.OrderByMark(s.ctx(), s.studio, "S-1001")
	s.must(err)
	if v.State != order.Closed || !v.Views[0].Sent || v.BuyerData.Name != "Mara Vell" || v.Views[0].Label != "17/250" || !v.Owed.IsZero() {
		s.t.Errorf("the order is %s, %s of %s, owed %s", v.State, v.Views[0].Label, v.BuyerData.Name, v.Owed)
	}
}

// byPointer takes one sale from intake to hand-over by clicking and typing.
func byPointer(t *testing.T, p *browsertest.Page) {
	t.Helper()
	lead := func(selector string, text string) {
		t.Helper()
		if status := p.ClickTo(selector); status != 200 {
			t.Fatalf("%s: status %d: %s", selector, status, p.Text("#matter"))
		}
		if got := p.Text("#matter"); !strings.Contains(got, text) {
			t.Fatalf("%s does not lead to %q but to %s: %.800s", selector, text, p.URL(), got)
		}
	}
	lead(".bar a[href='/orders/new']", "New sale")
	choose(p, "#sale-outlet", "In person")
	choose(p, "#sale-lines-0--edition", "Heron")
	p.Fill("#sale-lines-0--number", "17")
	p.Fill("#sale-buyer", "Mara Vell")
	p.Fill("#sale-ship_to-line1", "7 Mill Road")
	p.Fill("#sale-ship_to-city", "Denver")
	p.Fill("#sale-ship_to-region", "CO")
	p.Fill("#sale-ship_to-postcode", "80202")
	lead("#matter button.main", "The sale stands in the book")
	lead(".house a", "Owes 90.00 USD of 90.00 USD")
	p.Fill("#money input[name=amount]", "30.00")
	lead("#money button", "Owes 60.00 USD of 90.00 USD")
	lead("#money button", "Heron at dusk, 12 × 16 in")
	p.Click("#sign input[type=checkbox]")
	lead("#sign button.main", "stiff envelope")
	lead("#pack button", "Labelled")
	p.Click("#label .other summary") // it cost something else
	p.Fill("#label input[name=paid]", "6.25")
	lead("#label button", "Hand over")
	lead("#hand-over button.main", "The bench is clear")
}

// choose picks an option of a select by the start of its text.
func choose(p *browsertest.Page, selector, text string) {
	browsertest.Eval[bool](p, `(document.querySelector("`+selector+`").focus(), true)`)
	p.Type(text)
}

func TestOneSaleByBrowser(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p, _ := s.open()
	byPointer(t, p)
	s.handedOver()
	if said := p.Messages(); len(said) > 0 {
		t.Errorf("the browser complains: %v", said)
	}
}

func TestOneSaleWithoutJavaScript(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p, base := s.open()
	p.Script(false)
	p.Go(base + "/")
	byPointer(t, p)
	s.handedOver()
}

func TestOneSaleOnAPhone(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p, base := s.open()
	p.Phone()
	p.Go(base + "/")
	byPointer(t, p)
	s.handedOver()
}

// tabTo presses Tab until what has the focus is described so.
func tabTo(t *testing.T, p *browsertest.Page, what string) {
	t.Helper()
	for range 90 {
		if strings.Contains(p.Focused(), what) {
			return
		}
		p.Press("Tab")
	}
	t.Fatalf("Tab never comes to %q on %s; it is at %q", what, p.URL(), p.Focused())
}

// The same sale with no pointer at all: Tab, letters, Space and Enter, and the shortcuts of the help page.
func TestOneSaleByKeyboardAlone(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p, _ := s.open()
	p.Press("Tab")
	if f := p.Focused(); !strings.Contains(f, "Skip to the page") {
		t.Errorf("the first Tab comes to %q, not to the skip link", f)
	}
	p.PressTo("n")
	for _, field := range [][2]string{
		{"select#sale-outlet", "In person"},
		{"#sale-lines-0--edition", "Heron"},
		{"#sale-lines-0--number", "17"},
		{"#sale-buyer", "Mara Vell"},
		{"#sale-ship_to-line1", "7 Mill Road"},
		{"#sale-ship_to-city", "Denver"},
		{"#sale-ship_to-region", "CO"},
		{"#sale-ship_to-postcode", "80202"},
	} {
		tabTo(t, p, field[0])
		p.Type(field[1])
	}
	tabTo(t, p, "Take the sale into the book")
	p.PressTo("Enter")
	if got := p.Text(".said"); !strings.Contains(got, "stands in the book") {
		t.Fatalf("%s: %s", p.URL(), got)
	}
	toBench := func() {
		p.Press("g")
		p.PressTo("b")
	}
	toBench()
	tabTo(t, p, "Paid")
	p.PressTo("Enter")
	tabTo(t, p, "[name=lines]")
	p.Press("Space")
	tabTo(t, p, "The ticked ones are signed")
	p.PressTo("Enter")
	tabTo(t, p, "Packed")
	p.PressTo("Enter")
	tabTo(t, p, "[name=tracking]")
	p.PressTo("Enter") // from within a field; the rest is as planned
	tabTo(t, p, "Hand over the ticked ones")
	p.PressTo("Enter")
	if got := p.Text("#matter"); !strings.Contains(got, "The bench is clear") {
		t.Fatalf("%s: %s", p.URL(), got)
	}
	s.handedOver()
}

func TestShortcuts(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p, base := s.open()
	for key, path := range map[string]string{"b": "/", "o": "/orders", "e": "/editions", "d": "/drawer", "h": "/hand-over", "s": "/studio"} {
		p.Go(base + "/help")
		p.Press("g")
		p.PressTo(key)
		if p.URL() != base+path {
			t.Errorf("g %s leads to %s", key, p.URL())
		}
	}
	p.Press("/")
	if f := p.Focused(); !strings.Contains(f, "input#look") {
		t.Errorf("/ comes to %q", f)
	}
	p.Type("gb n?") // typed into a field they are letters
	p.PressTo("Enter")
	if !strings.Contains(p.URL(), "/search?q=") || !strings.Contains(p.URL(), "gb+n") {
		t.Errorf("typing led to %s", p.URL())
	}
	p.Press("Escape")
	p.Go(base + "/help")
	p.Click("#keys-switch")
	p.Go(base + "/orders")
	p.Press("g", "b", "n")
	p.Wait("h1")
	if p.URL() != base+"/orders" {
		t.Errorf("switched off, the keys lead to %s", p.URL())
	}
}

// After a form could not be done, the summary has the focus and its links lead to the fields.
func TestFaultsAreReadFirst(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p, base := s.open()
	p.Go(base + "/orders/new")
	if status := p.ClickTo("#matter button.main"); status != 422 {
		t.Errorf("status %d", status)
	}
	if f := p.Focused(); !strings.HasPrefix(f, "div#faults") {
		t.Errorf("%q has the focus", f)
	}
	p.Click("#faults a[href='#sale-buyer']")
	if f := p.Focused(); !strings.HasPrefix(f, "input#sale-buyer") {
		t.Errorf("the link leads to %q", f)
	}
	p.MustBeAccessible()
}

// cutList asks for boards of two sizes from one big sheet.
const cutList = "/boards?kerf=1/8+in&sheet1.width=32&sheet1.height=40&board1.width=12&board1.height=16&board1.count=4&board2.width=9&board2.height=12&board2.count=2"

// Every page at the width of a desk and of a phone: no rule of accessibility broken, nothing to scroll
// sideways, no complaint of the browser; and no two texts over one another at any of five widths, for which the page need not be opened
// once more. Pictures go to SOLANDER_SHOTS when it names a folder.
func TestEveryPageInTheBrowser(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	server := httptest.NewServer(s.handler)
	t.Cleanup(server.Close)
	var paths []string
	for _, path := range append(s.paths(), "/orders/3", "/orders/5", "/orders/1/why-not?item=envelope-6x8", "/orders/1/why-not?service=priority", "/nowhere", cutList, "/search?q=1/250+heron") {
		if !readable(path) {
			continue
		}
		paths = append(paths, path)
	}
	const windows = 4
	for n := range windows {
		t.Run(fmt.Sprint("window ", n), func(t *testing.T) {
			t.Parallel()
			p := browsertest.Open(t)
			for i := n; i < len(paths); i += windows {
				p.Go(server.URL + paths[i])
				looked(t, p, fileName.Replace(strings.Trim(paths[i], "/")))
				overlapping(t, p, paths[i])
				p.Desk()
			}
			for _, said := range p.Messages() {
				if !strings.Contains(said, "404") { // the browser notes that /nowhere is not found
					t.Errorf("the browser complains: %s", said)
				}
			}
		})
	}
}

// looked fails when a page breaks a rule of accessibility or must be scrolled sideways, at the width of a desk and of a phone: as it
// comes and with all that opens opened, in the light and in the dark each once, and as it is printed.
// Pictures go to SOLANDER_SHOTS when it names a folder.
func looked(t *testing.T, p *browsertest.Page, name string) {
	t.Helper()
	for _, size := range []string{"phone", "desk"} {
		if p.Desk(); size == "phone" {
			p.Phone()
		}
		for _, whole := range []bool{false, true} {
			p.Dark(whole == (size == "phone"))
			if whole {
				browsertest.Eval[bool](p, `(document.querySelectorAll("details:not([open])").forEach(d => { d.open = true; d.classList.add("was-shut") }), true)`)
			}
			p.MustBeAccessible()
			if p.WiderThanItsWindow() {
				t.Errorf("%s must be scrolled sideways at the width of a %s, all of it open: %v", name, size, whole)
			}
		}
		p.Dark(false)
		if size == "desk" {
			p.Media("print")
			for _, v := range p.Axe() {
				if v.ID != "target-size" { // nothing is touched on paper
					t.Errorf("%s, printed: %s", name, v)
				}
			}
			p.Media("")
		}
		browsertest.Eval[bool](p, `(document.querySelectorAll("details.was-shut").forEach(d => { d.open = false; d.classList.remove("was-shut") }), true)`)
		inPicture(p, name+"-"+size)
	}
}

// fileName makes an address one that may be a file's.
var fileName = strings.NewReplacer("/", "_", "?", "_", "=", "-")

// fits fails when a page as it stands breaks a rule of accessibility or must be scrolled sideways.
// Pictures go to SOLANDER_SHOTS when it names a folder.
func fits(t *testing.T, p *browsertest.Page, name, size string) {
	t.Helper()
	p.MustBeAccessible()
	if p.WiderThanItsWindow() {
		t.Errorf("%s must be scrolled sideways at the width of a %s", name, size)
	}
	inPicture(p, name+"-"+size)
}

// Orders that lack much, and orders that go without a parcel, before and after.
func TestOrdersInPersonInTheBrowser(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	fields := saleFields()
	for _, name := range []string{"ship_to.line1", "ship_to.city", "ship_to.region", "ship_to.postcode"} {
		fields = replaced(fields, name, "")
	}
	s.leads(s.post("/orders", replaced(fields, "in_person", "1")...), "/orders/S-1001")
	p, base := s.open()
	p.Go(base + "/orders/S-1001")
	looked(t, p, "in-person")
	p.ClickTo("form[action='/orders/1/hand-in'] button")
	looked(t, p, "in-person-refused")
	p.Go(base + "/orders/S-1001")
	p.ClickTo("form[action='/orders/1/in-person'] button")
	if got := p.Text(".lacks"); !strings.Contains(got, "the address is missing") {
		t.Errorf("it lacks %q", got)
	}
	looked(t, p, "address-missing")
	p.Go(base + "/")
	looked(t, p, "bench-address-missing")
}

// The database goes away while a sale is taken: the page offers to send it again, and works so with the pointer alone.
func TestSendItAgainInTheBrowser(t *testing.T) {
	t.Parallel()
	line := pgtest.NewLine(t, pgtest.New(t))
	s := siteAt(t, line.DSN)
	s.furnish()
	p, base := s.open()
	p.Go(base + "/orders/new")
	choose(p, "#sale-outlet", "In person")
	choose(p, "#sale-lines-0--edition", "Heron")
	p.Fill("#sale-buyer", "Mara Vell")
	p.Click("#sale-in_person")
	line.CutAtCommit(true)
	if status := p.ClickTo("#matter button.main"); status != 504 {
		t.Fatalf("status %d: %s", status, p.Text("#matter"))
	}
	looked(t, p, "send-again")
	s.must(line.Mend())
	p.ClickTo("form.again button")
	if got := p.Text("h1"); !strings.Contains(got, "S-1001") {
		t.Errorf("sent again it leads to %s, %q", p.URL(), got)
	}
}

func TestSetUpInTheBrowser(t *testing.T) {
	t.Parallel()
	s := emptySite(t)
	p, _ := s.open()
	for _, size := range []func(){p.Desk, p.Phone} {
		size()
		p.MustBeAccessible()
	}
	p.Desk()
	for _, f := range [][2]string{{"studio", "Marsh Lane Press"}, {"artist", "Ines Corrow"}, {"ship_to-name", "Marsh Lane Press"}, {"ship_to-line1", "4 Marsh Lane"}, {"ship_to-city", "Roanoke"}, {"ship_to-region", "VA"}, {"ship_to-postcode", "24011"}} {
		p.Fill("#setup-"+f[0], f[1])
	}
	for range 3 {
		if status := p.ClickTo("button.main"); status != 200 {
			t.Fatalf("status %d: %s", status, p.Text("#matter"))
		}
		p.MustBeAccessible()
		if p.WiderThanItsWindow() {
			t.Error("it must be scrolled sideways")
		}
	}
	p.ClickTo("button.main")
	if got := p.Text(".said"); !strings.Contains(got, "set up") {
		t.Errorf("%s: %s", p.URL(), got)
	}
	p.MustBeAccessible()
}

// The bench prints as a clean list: two pages of Letter hold a day's work, and nothing of the screen is on
// them but words and boxes to tick.
func TestBenchPrintsAsAList(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	p, _ := s.open()
	if pages := len(pageObject.FindAll(p.PDF(), -1)); pages < 1 || pages > 2 {
		t.Errorf("it prints on %d pages", pages)
	}
	p.Media("print")
	for selector, want := range map[string]bool{".rooms": false, "button": false, "input": false, ".foot": false, ".act": false, ".box": true, ".what": true, "h1": true, "#sign .tick": true} {
		shown := browsertest.Eval[bool](p, `[...document.querySelectorAll("`+selector+`")].some(e => e.checkVisibility())`)
		if shown != want {
			t.Errorf("in print, %s is shown: %v", selector, shown)
		}
	}
}

// pageObject finds the page objects of a PDF (ISO 32000-1, 7.7.3.3).
var pageObject = regexp.MustCompile(`/Type\s*/Page[^s]`)

// In the dark, too, everything can be read.
func TestDarkPagesInTheBrowser(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	p, base := s.open()
	p.Dark(true)
	for _, path := range []string{"/", "/orders", "/orders/3", "/orders/new", "/editions/1", "/drawer", "/studio", "/help"} {
		p.Go(base + path)
		p.MustBeAccessible()
	}
}
