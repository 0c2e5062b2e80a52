package privacy

import (
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"solander/order"
	"solander/studio"
	"solander/upkeep"
)

// who is a person as she is looked for: her ids, and the words by which she is known.
type who struct {
	person  int64
	persons map[int64]bool
	marks   map[string]bool // of her orders
	parcels map[int64]bool
	names   *regexp.Regexp // her names, mail addresses and telephone numbers; nil = none is long enough to be looked for
	facts   []string       // all that is personal in her rows, the longest first
}

// Shortest that is looked for in the words of others: what is shorter stands in too many words. Common practice, no source.
const shortest = 5

func (t *PrivacyRows) who(person int64) (*who, error) {
	if _, err := t.standing(person); err != nil {
		return nil, err
	}
	w := &who{person: person, persons: map[int64]bool{}, marks: map[string]bool{}, parcels: map[int64]bool{}}
	known, facts := map[string]bool{}, map[string]bool{}
	for _, table := range []string{"buyers", "orders", "parcels", "payments"} {
		p := partOf(table)
		rows, err := t.rowsOf(p, person)
		if err != nil {
			return nil, err
		}
		for _, r := range rows {
			w.learn(r, known, facts)
		}
	}
	w.names = among(known)
	for f := range facts {
		w.facts = append(w.facts, f)
	}
	slices.SortFunc(w.facts, func(a, b string) int { return len(b) - len(a) })
	return w, nil
}

func (w *who) learn(r row, known, facts map[string]bool) {
	switch r.part.table {
	case "buyers":
		w.persons[r.at("id").(int64)] = true
	case "orders":
		w.marks[r.text("mark")] = true
	case "parcels":
		w.parcels[r.at("id").(int64)] = true
	}
	for i, c := range r.part.columns {
		text, _ := r.values[i].(string)
		if text = strings.TrimSpace(text); c.class != upkeep.KeptPersonal || c.stays != "" || text == "" || text == c.blank || text == Erased {
			continue
		}
		if utf8.RuneCountInString(text) >= 3 {
			facts[text] = true
		}
		if lookedFor(c.name, text) {
			known[text] = true
		}
	}
}

// lookedFor reports whether a text tells of one person wherever it stands: a whole name, a mail address, a telephone number.
func lookedFor(column, text string) bool {
	if utf8.RuneCountInString(text) < shortest || text == order.ErasedName {
		return false
	}
	switch column {
	case "name", "ship_name", "said_name":
		return strings.ContainsFunc(text, unicode.IsSpace) // of a single word nobody knows whom it means
	case "email", "said_email", "phone", "said_phone", "tracking":
		return true
	}
	return false
}

// among finds any of the texts, without regard to capitals.
func among(texts map[string]bool) *regexp.Regexp {
	var each []string
	for t := range texts {
		each = append(each, regexp.QuoteMeta(t))
	}
	if len(each) == 0 {
		return nil
	}
	slices.SortFunc(each, func(a, b string) int { // the longest first
		if len(a) != len(b) {
			return len(b) - len(a)
		}
		return strings.Compare(a, b)
	})
	return regexp.MustCompile(`(?i)(?:` + strings.Join(each, "|") + `)`)
}

// named replaces her names where they stand as whole words.
func (w *who) named(text string) string {
	if w.names == nil {
		return text
	}
	var out strings.Builder
	last := 0
	for _, at := range w.names.FindAllStringIndex(text, -1) {
		before, _ := utf8.DecodeLastRuneInString(text[:at[0]])
		after, _ := utf8.DecodeRuneInString(text[at[1]:])
		if letter(before) || letter(after) {
			continue
		}
		out.WriteString(text[last:at[0]])
		out.WriteString(Erased)
		last = at[1]
	}
	out.WriteString(text[last:])
	return out.String()
}

func letter(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }

// plain replaces everything personal of hers.
func (w *who) plain(text string) string {
	text = w.named(text)
	for _, f := range w.facts {
		text = strings.ReplaceAll(text, f, Erased)
	}
	return text
}

// within replaces what a function replaces, in a text or in the texts of JSON.
func within(c column, text string, replace func(string) string) string {
	if !c.data || text == "" {
		return replace(text)
	}
	dec := json.NewDecoder(strings.NewReader(text))
	dec.UseNumber()
	var v any
	if dec.Decode(&v) != nil || dec.More() {
		return replace(text)
	}
	changed := false
	v = walked(v, func(s string) string {
		is := replace(s)
		changed = changed || is != s
		return is
	})
	if !changed {
		return text
	}
	var out strings.Builder
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	if enc.Encode(v) != nil {
		return replace(text)
	}
	return strings.TrimSuffix(out.String(), "\n")
}

// walked does something to every text of a value of JSON.
func walked(v any, do func(string) string) any {
	switch x := v.(type) {
	case string:
		return do(x)
	case []any:
		for i := range x {
			x[i] = walked(x[i], do)
		}
	case map[string]any:
		for k := range x {
			x[k] = walked(x[k], do)
		}
	}
	return v
}

// isIn reports whether a row that is not hers names her, or tells of her orders or parcels.
func (w *who) isIn(r row) bool {
	for i, c := range r.part.columns {
		text, _ := r.values[i].(string)
		if c.free && text != "" && w.mayName(text) && within(c, text, w.named) != text {
			return true
		}
	}
	return w.tells(r)
}

// mayName is a quick look: what it denies need not be taken apart.
func (w *who) mayName(text string) bool {
	return w.names != nil && (strings.Contains(text, `\`) || w.names.MatchString(text))
}

// tells reports whether a row tells of her without her name: an answer about an order of hers; an entry of the journal about buyers
// taken as one or parted, or about parcels of several buyers.
func (w *who) tells(r row) bool {
	switch {
	case r.part.table == "feed_answers":
		return w.in("", read(r.text("answer")), func(_ string, v any) bool { text, ok := v.(string); return ok && w.marks[text] })
	case r.part.table != "marks":
		return false
	}
	under, ids := []string{"id", "from", "writings", "pairs"}, w.persons
	switch studio.MarkKind(r.text("kind")) {
	case studio.MarkMerged, studio.MarkParted, studio.MarkToldApart:
	case studio.MarkHandedOver:
		under, ids = []string{"parcels"}, w.parcels
	default:
		return false
	}
	return w.in("", read(r.text("detail")), func(field string, v any) bool {
		n, ok := v.(json.Number)
		if !ok || !slices.Contains(under, field) {
			return false
		}
		id, err := n.Int64()
		return err == nil && ids[id]
	})
}

// read takes JSON apart; what is none is nothing.
func read(text string) any {
	dec := json.NewDecoder(strings.NewReader(text))
	dec.UseNumber()
	var v any
	if dec.Decode(&v) != nil {
		return nil
	}
	return v
}

// in reports whether anything in a value of JSON is what is looked for, told by the field that it stands under.
func (w *who) in(under string, v any, is func(field string, v any) bool) bool {
	switch x := v.(type) {
	case []any:
		return slices.ContainsFunc(x, func(y any) bool { return w.in(under, y, is) })
	case map[string]any:
		for k, y := range x {
			if w.in(k, y, is) {
				return true
			}
		}
		return false
	}
	return is(under, v)
}

func keyText(key []any) string { return fmt.Sprint(key...) }
