// Package mail takes a message apart that was pasted as it is: an address block, or an outlet's whole mail. It says what it
// understood as fields of a sale, each with the words it was taken from and with what is doubtful about it, and keeps what it did not
// understand in sight. It is a proposal: nothing is decided, nothing of the text is lost, and it knows no store.
//
// How addresses are written is asked of package address; the labels of mails are common practice, no source.
package mail

import (
	"slices"
	"strings"
	"unicode/utf8"

	"solander/edition"
	"solander/measure"
)

// Known is what the studio knows that a mail may name.
type Known struct {
	Country  string // the studio's own, for an address that names none
	Currency string
	Units    measure.System // of sizes without a unit
	Editions []Edition      // of which something can be sold
	Outlets  []string
}

// Edition is one of the editions with the title of its work.
type Edition struct {
	edition.Edition
	Title string
}

// Found is one field of a sale, by the name that faults give it: "ship_to.line1", "email", "postage".
type Found struct {
	Field string `json:"field"`
	Value string `json:"value"`
	Words string `json:"words,omitempty"` // the words it was taken from; "" = none: it was assumed, and Doubt says why
	Doubt string `json:"doubt,omitempty"`
}

// Print is a print that the mail names.
type Print struct {
	Edition int64  `json:"edition,omitempty"` // 0 = the mail may mean several
	Number  string `json:"number,omitempty"`
	Price   string `json:"price,omitempty"`
	Words   string `json:"words"`
	Doubt   string `json:"doubt,omitempty"`
}

// Read is a mail taken apart.
type Read struct {
	Fields []Found  `json:"fields"`
	Prints []Print  `json:"prints"`
	Rest   []string `json:"rest"` // lines that were not understood, in their order
}

// Limits of what is looked at.
const (
	MostBytes  = 64 << 10
	mostLines  = 1000
	mostPrints = 40
	mostWords  = 160 // characters of a line shown as what a field was taken from
)

// Value returns what was found for a field; "" when it was not.
func (r Read) Value(field string) string {
	for _, f := range r.Fields {
		if f.Field == field {
			return f.Value
		}
	}
	return ""
}

// Doubts are the doubts of all fields and prints, each once.
func (r Read) Doubts() []string {
	var out []string
	add := func(d string) {
		if d != "" && !slices.Contains(out, d) {
			out = append(out, d)
		}
	}
	for _, f := range r.Fields {
		add(f.Doubt)
	}
	for _, p := range r.Prints {
		add(p.Doubt)
	}
	return out
}

// line is a line of the text, with what its label stands for and what stands behind that; used says that something was taken from it.
type line struct {
	text         string
	field, value string // see label
	used         bool
}

// reader is one reading.
type reader struct {
	known Known
	lines []line
	out   Read
}

// Take takes a text apart. Of a text longer than MostBytes or a thousand lines the rest is not looked at, and is said to be left.
func Take(text string, known Known) Read {
	r := &reader{known: known}
	cut := ""
	if len(text) > MostBytes {
		text, cut = strings.ToValidUTF8(text[:MostBytes], ""), "the text is longer than what is looked at; its end was left out"
	}
	for _, l := range strings.Split(strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u00a0", " ", "\t", " ").Replace(text), "\n") {
		if len(r.lines) == mostLines {
			cut = "the text has more lines than are looked at; its end was left out"
			break
		}
		l = unquoted(l)
		field, value := label(l)
		r.lines = append(r.lines, line{text: l, field: field, value: value})
	}
	r.labelled()
	r.prints()
	r.address()
	r.loose()
	r.outlet()
	r.unused(cut)
	return r.out
}

// unquoted is a line without the marks of a forwarded mail, and with single spaces.
func unquoted(l string) string {
	return strings.Join(strings.Fields(strings.TrimLeft(strings.TrimSpace(l), "> |*•")), " ")
}

// put notes a field once: what was said first stands.
func (r *reader) put(f Found) bool {
	if f.Value == "" || r.out.Value(f.Field) != "" {
		return false
	}
	f.Words = shortened(f.Words)
	r.out.Fields = append(r.out.Fields, f)
	return true
}

// shortened cuts each line of words, as a field joins them; what of it is no UTF-8 stays as it came.
func shortened(s string) string {
	lines := strings.Split(s, joint)
	for n, l := range lines {
		if utf8.RuneCountInString(l) <= mostWords {
			continue
		}
		runes := 0
		for at := range l {
			if runes == mostWords {
				lines[n] = l[:at] + "…"
				break
			}
			runes++
		}
	}
	return strings.Join(lines, joint)
}

// joint stands between lines from which one thing was taken.
const joint = " / "

func (r *reader) unused(cut string) {
	for _, l := range r.lines {
		if !l.used && l.text != "" && strings.Trim(l.text, "-_=~.") != "" {
			r.out.Rest = append(r.out.Rest, shortened(l.text))
		}
	}
	if cut != "" {
		r.out.Rest = append(r.out.Rest, cut)
	}
}
