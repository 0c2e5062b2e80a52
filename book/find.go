package book

import (
	"context"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/planning"
	"solander/register"
	"solander/studio"
)

// mostFound bounds each kind of thing found; mostNumbers the numbers, which every edition may have.
const (
	mostFound   = 20
	mostNumbers = 500
)

// Find searches numbers ("17/250 of heron", "heron 17", "who has AP 2 of heron"; "number 17" or "17" alone in
// every edition), orders by mark, reference, buyer, city or tracking number, buyers, and works by title. Case,
// accents and the form of UTF-8 do not count. Faults: Invalid for a text that is too long or no UTF-8; finding nothing is none.
func Find(ctx context.Context, s *studio.Studio, text string) (studio.Found, error) {
	if err := order.Text("q", text, 200, false); err != nil {
		return studio.Found{}, err
	}
	text = strings.Join(strings.Fields(text), " ")
	out := studio.Found{Text: text}
	if text == "" {
		return out, nil
	}
	err := read(ctx, s, func(t *Book) error {
		found, err := t.find(text)
		out = found
		return err
	})
	return out, err
}

// Example is a text that Find finds something by in this studio: a number of its first numbered edition, else the
// title of a work; "" when it has none.
func Example(ctx context.Context, s *studio.Studio) (string, error) {
	var out string
	err := read(ctx, s, func(t *Book) error {
		eds, err := t.Editions()
		if err != nil {
			return err
		}
		for _, e := range eds {
			if !e.Open() {
				out = edition.Number{Kind: edition.Numbered, N: min(17, e.Limit)}.Of(e) + " " + e.Title
				return nil
			}
		}
		if works, err := t.Works(); err != nil {
			return err
		} else if len(works) > 0 {
			out = works[0].Title
		}
		return nil
	})
	return out, err
}

func (t *Book) find(text string) (studio.Found, error) {
	out := studio.Found{Text: text}
	var err error
	if out.Numbers, err = t.findNumbers(text); err != nil {
		return out, err
	}
	if out.Orders, err = t.findOrders(text); err != nil {
		return out, err
	}
	if out.Buyers, err = t.Buyers(text, mostFound); err != nil {
		return out, err
	}
	works, err := t.Works()
	if err != nil {
		return out, err
	}
	for _, w := range works {
		if containsWords(w.Title, text) && len(out.Works) < mostFound {
			out.Works = append(out.Works, w)
		}
	}
	return out, nil
}

// folded makes texts comparable: composed forms, case and accents do not count.
func folded(s string) string {
	plain := strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, norm.NFD.String(s))
	return cases.Fold().String(norm.NFC.String(plain))
}

// containsWords reports whether every word of want occurs in text.
func containsWords(text, want string) bool {
	text = folded(text)
	for _, w := range strings.Fields(folded(want)) {
		if bare := strings.Trim(w, ".,;:!?“”\""); !strings.Contains(text, w) && (bare == "" || !strings.Contains(text, bare)) {
			return false
		}
	}
	return true
}

// Forms of a question for a number: before the title, after it, or alone with its limit.
var (
	asking      = regexp.MustCompile(`(?i)^(who has|who holds|who bought|where is|whose is)\s+|\?\s*$`)
	numberForm  = `(?:(AP|PP|HC|BAT)\s*)?(?:#\s*|№\s*|n[º°]\s*|n[or]\.?\s*|number\s+)?(\d{1,6})(?:\s*/\s*(\d{1,6}))?`
	numberFirst = regexp.MustCompile(`(?i)^` + numberForm + `(?:\s+of)?\s+(\S.*)$`)
	numberLast  = regexp.MustCompile(`(?i)^(.*?)\s+` + numberForm + `$`)
	numberAlone = regexp.MustCompile(`(?i)^` + numberForm + `$`)
)

// askedNumber is a number asked for with words of a title; Of is its denominator, 0 = not said.
type askedNumber struct {
	edition.Number
	of    int
	title string
}

func newAsked(kind, n, of, title string) askedNumber {
	a := askedNumber{title: title}
	a.Kind = edition.Numbered
	if kind != "" {
		a.Kind = edition.Kind(strings.ToUpper(kind))
	}
	a.N, _ = strconv.Atoi(n) // up to six digits: see numberForm
	a.of, _ = strconv.Atoi(of)
	return a
}

// questions reads a text as questions for a number; none when it asks for none.
func questions(text string) []askedNumber {
	text = strings.TrimSpace(asking.ReplaceAllString(text, ""))
	var out []askedNumber
	if m := numberAlone.FindStringSubmatch(text); m != nil {
		return append(out, newAsked(m[1], m[2], m[3], ""))
	}
	if m := numberFirst.FindStringSubmatch(text); m != nil {
		out = append(out, newAsked(m[1], m[2], m[3], m[4]))
	}
	if m := numberLast.FindStringSubmatch(text); m != nil {
		out = append(out, newAsked(m[2], m[3], m[4], m[1]))
	}
	return out
}

func (t *Book) findNumbers(text string) ([]studio.NumberView, error) {
	asked := questions(text)
	if len(asked) == 0 {
		return nil, nil
	}
	eds, err := t.Editions()
	if err != nil {
		return nil, err
	}
	var out []studio.NumberView
	for _, a := range asked {
		for _, e := range eds {
			if !a.in(e) || len(out) >= mostNumbers {
				continue
			}
			v, err := register.In(t.Turn).NumberView(e, a.Number)
			if err != nil {
				return nil, err
			}
			out = append(out, v)
		}
	}
	return out, nil
}

// in reports whether an edition has the number asked for: title or grade, limit, range.
func (a askedNumber) in(e edition.Edition) bool {
	if a.Number.In(e) != nil || a.of != 0 && a.of != e.Count(a.Kind) {
		return false
	}
	return containsWords(e.Title+" "+e.Grade, strings.TrimPrefix(a.title, "of "))
}

// findOrders finds orders by their words, and by the tracking number of a parcel.
func (t *Book) findOrders(text string) ([]studio.OrderRow, error) {
	orders, err := t.Orders(studio.OrderQuery{Text: text, Limit: mostFound})
	if err != nil {
		return nil, err
	}
	if o, err := t.OrderByMark(strings.ToUpper(text)); err == nil {
		orders = append([]order.Order{o}, orders...)
	} else if !fault.Is(err, fault.Missing) {
		return nil, err
	}
	tracked, err := t.findTracked(text)
	if err != nil {
		return nil, err
	}
	orders = append(tracked, orders...)
	d, err := t.Drawer()
	if err != nil {
		return nil, err
	}
	var out []studio.OrderRow
	for _, o := range orders {
		if slices.ContainsFunc(out, func(r studio.OrderRow) bool { return r.ID == o.ID }) {
			continue
		}
		row, err := t.OrderRow(o, d)
		if err != nil {
			return nil, err
		}
		out = append(out, row)
	}
	return out, nil
}

func (t *Book) findTracked(text string) ([]order.Order, error) {
	n, err := order.ParseTracking(text)
	if err != nil {
		return nil, nil // it is no tracking number
	}
	parcels, err := t.ParcelsTracked(n.Number)
	if err != nil {
		return nil, err
	}
	var out []order.Order
	for _, p := range parcels {
		all, err := planning.In(t.Turn).Sharing(p)
		if err != nil {
			return nil, err
		}
		out = append(out, all...)
	}
	return out, nil
}
