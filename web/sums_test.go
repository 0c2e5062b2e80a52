package web

import (
	"fmt"
	"math/rand/v2"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"solander/book"
	"solander/dispatch"
	"solander/register"
)

// wander does deeds by chance, as she might in any order, and counts those that were done; what is refused changes nothing.
type wander struct {
	*site
	*rand.Rand
	t    *testing.T
	done map[string]int
}

func (w *wander) did(what string, err error) {
	if err == nil {
		w.done[what]++
	}
}

// one sends one of the forms of a page that go to an address as it stands, with other fields in it.
func (w *wander) one(what, path, to string, fields ...string) {
	forms := slices.DeleteFunc(w.get(path).find("form"), func(fm *html.Node) bool {
		return !strings.HasPrefix(attr(fm, "action"), to) || what == "pack" && !strings.HasSuffix(attr(fm, "action"), "/pack")
	})
	if len(forms) == 0 {
		return
	}
	fm := forms[w.IntN(len(forms))]
	if a := w.post(attr(fm, "action"), merged(fieldsOf(fm), fields...)...); a.status == 303 {
		w.done[what]++
	}
}

func (w *wander) step() {
	ed, order := int64(1+w.IntN(3)), int64(1+w.IntN(12))
	switch w.IntN(10) {
	case 0, 1:
		_, err := w.mayBuy(ed, []int64{0, 9000, 24000}[w.IntN(3)])
		w.did("sale", err)
	case 2:
		w.did("sign", register.Sign(w.ctx(), w.studio, []int64{1 + w.Int64N(12), 1 + w.Int64N(12)}[:1+w.IntN(2)]))
	case 3:
		w.one("pack", "/", "/orders/")
	case 4:
		w.one("label", "/", "/parcels/", "paid", "6.25")
	case 5:
		_, err := dispatch.HandOver(w.ctx(), w.studio, dispatch.HandOverIn{})
		w.did("hand-over", err)
	case 6:
		w.did("cancel", book.Cancel(w.ctx(), w.studio, book.CancelIn{Order: order, Reason: "asked"}))
	case 7:
		w.did("take back", book.TakeBack(w.ctx(), w.studio, book.TakeBackIn{Order: order, Spoilt: w.IntN(2) == 0, Reason: "came back"}))
	case 8:
		w.one("sign ahead", "/editions/1", "/editions/1/sign", "numbers", fmt.Sprint(1+w.IntN(20)))
	default:
		n := fmt.Sprint(1 + w.IntN(12))
		if w.IntN(4) == 0 {
			n = fmt.Sprint("AP-", 1+w.IntN(5))
		}
		w.one("number", "/editions/1/numbers/"+n, "/editions/1/numbers/", "reason", "by chance", "note", "by chance")
	}
}

func figure(t *testing.T, p htmlPage, selector string) int {
	t.Helper()
	return number(t, textOf(p.one(selector)))
}

// number is the number with which a text begins.
func number(t *testing.T, text string) int {
	t.Helper()
	first, _, _ := strings.Cut(strings.TrimSpace(text), " ")
	n, err := strconv.Atoi(first)
	if err != nil {
		t.Fatalf("%q begins with no number: %v", text, err)
	}
	return n
}

// sums adds up what the pages show of every edition.
func (w *wander) sums() {
	w.t.Helper()
	for _, ed := range []int64{1, 2} {
		p := w.get(fmt.Sprintf("/editions/%d", ed)).is(200)
		links := p.find(".sum a")
		if len(links) != 4 {
			w.t.Fatalf("edition %d: %d counts, not three and what they make", ed, len(links))
		}
		var counts []int
		for i, a := range links {
			counts = append(counts, figure(w.t, p.inside(a), ".fig"))
			to, err := url.Parse(attr(a, "href"))
			w.must(err)
			if list := w.get(to.RequestURI()).is(200); i < 3 && counted(w.t, list.htmlPage) != counts[i] {
				w.t.Errorf("edition %d: %s lists %d, the page says %d", ed, to, counted(w.t, list.htmlPage), counts[i])
			}
		}
		if limit := map[int64]int{1: 250, 2: 3}[ed]; counts[0]+counts[1]+counts[2] != counts[3] || counts[3] != limit {
			w.t.Errorf("edition %d: %v do not add up to %d", ed, counts, limit)
		}
		states := 0
		for _, a := range p.find(".legend a") {
			n := figure(w.t, p.inside(a), ".count")
			if states -= n; strings.HasPrefix(textOf(a), "all") {
				states += 2 * n
			}
			to, err := url.Parse(attr(a, "href"))
			w.must(err)
			if list := w.get(to.RequestURI()).is(200); counted(w.t, list.htmlPage) != n {
				w.t.Errorf("edition %d: %s lists %d, the page says %d", ed, to, counted(w.t, list.htmlPage), n)
			}
		}
		if states != 0 {
			w.t.Errorf("edition %d: its states are %d short of all", ed, states)
		}
	}
	drawer := w.get("/drawer").is(200)
	rows := drawer.find("[aria-labelledby=h-drawer] tbody tr")
	if len(rows) != 3 {
		w.t.Fatalf("%d editions in the drawer", len(rows))
	}
	for _, row := range rows {
		w.lies(drawer.inside(row))
	}
}

// lies adds up what lies in the drawer of one edition, on its page too.
func (w *wander) lies(row htmlPage) {
	w.t.Helper()
	cells := map[string]int{}
	for _, td := range row.find("td") {
		head := attr(td, "data-head")
		cells[head] = number(w.t, textOf(td))
		links := row.inside(td).find("a")
		if linked := head == "On hand" || head == "Claimed" || head == "Signed ahead" || head == "Waiting" || head == "Free"; len(links) != 1 && linked && cells[head] > 0 {
			w.t.Errorf("%d %s lead to no list", cells[head], head)
		}
		for _, a := range links {
			to, err := url.Parse(attr(a, "href"))
			w.must(err)
			if n := w.listed(head, w.get(to.RequestURI()).is(200).htmlPage); n != cells[head] {
				w.t.Errorf("%s lists %d, the drawer says %d %s", to, n, cells[head], head)
			}
			w.done["look at "+head]++
		}
	}
	of := func(head string) int {
		n, is := cells[head]
		if !is {
			w.t.Fatalf("the drawer has no %q", head)
		}
		return n
	}
	to := attr(row.one("th a"), "href")
	if hand, parts := of("On hand"), of("Claimed")+of("Signed ahead")+of("Free"); hand != parts {
		w.t.Errorf("%s: %d sheets on hand, claimed, signed ahead and free ones are %d", to, hand, parts)
	}
	page := w.get(to).is(200)
	facts := map[string]*html.Node{}
	for i, dt := range page.find(".facts dt") {
		facts[textOf(dt)] = page.find(".facts dd")[i]
	}
	for name, head := range map[string]string{
		"In the drawer": "On hand", "Claimed by orders": "Claimed", "Signed, of numbers nobody has": "Signed ahead",
		"Orders that wait for money or a sheet": "Waiting", "On the way from a lab": "From a lab",
	} {
		dd, is := facts[name]
		if !is {
			w.t.Fatalf("%s does not say %q", to, name)
		}
		if n := number(w.t, textOf(dd)); n != of(head) {
			w.t.Errorf("%s: %s %d, the drawer says %d", to, name, n, of(head))
		}
	}
}

// listed counts what a list that the drawer leads to is of: sheets moved, sheets that orders want, numbers.
func (w *wander) listed(head string, list htmlPage) int {
	w.t.Helper()
	n := 0
	switch head {
	case "On hand":
		for _, td := range list.find(".moves td[data-head=Change]") {
			n += number(w.t, strings.TrimPrefix(textOf(td), "+"))
		}
	case "Claimed", "Waiting":
		for _, said := range list.find("td[data-head=Prints] span.soft") {
			n += number(w.t, textOf(said))
		}
		if rows := list.find(".book tbody tr"); len(rows) > 50 {
			w.t.Fatalf("%d rows: the list has a second page, which nobody turned", len(rows))
		}
	case "Free": // of sheets that are alike there is no list: the edition's page of the drawer says how many they are, and of what
		for i, dt := range list.find(".facts dt") {
			if strings.HasPrefix(textOf(dt), "Free: ") {
				n = number(w.t, textOf(list.find(".facts dd")[i]))
			}
		}
	default:
		n = counted(w.t, list)
	}
	return n
}

// Whatever happens, the counts of an edition and of the drawer add up as they are shown, and each leads to as many.
func TestShownSumsAddUp(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("it takes seconds: make test does")
	}
	all := map[string]int{}
	for seed := range uint64(3) {
		w := &wander{site: newSite(t), Rand: rand.New(rand.NewPCG(seed, 11)), t: t, done: map[string]int{}}
		for i := range 120 {
			if w.step(); i%20 == 19 {
				w.sums()
			}
		}
		for what, n := range w.done {
			all[what] += n
		}
		if t.Failed() {
			t.Fatalf("with seed %d, after %v", seed, w.done)
		}
	}
	if len(all) != 9+5 {
		t.Errorf("%v were done, not each of nine deeds, and of the drawer five kinds of list looked at", all)
	}
}
