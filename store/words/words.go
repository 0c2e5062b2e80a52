// Package words keeps the words of orders and buyers by which they are found, and takes a search apart. It knows of
// which rows the words are made, and which orders are in no list because their file was taken back.
package words

import (
	"cmp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	plain "solander/internal/fold"
	"solander/store/engine"
)

// Fold takes case and accents away: "Ødegård" gives "odegard".
func Fold(text string) string { return plain.Text(text) }

// longest is how many bytes of a word are kept.
const longest = 60

// wordsOf returns the folded words of a text: runs of letters and digits; each sign of a script that
// is written without spaces is a word. A number of an edition and an e-mail address are words beside
// their parts: "17/250" gives "17", "250" and "17of250", "m.l@post.example" also "mlatpostexample".
func wordsOf(text string) []string {
	var out []string
	for _, field := range strings.Fields(Fold(text)) {
		out = append(out, split(field)...)
		if w, ok := fraction(field); ok {
			out = append(out, w)
		}
		if w, ok := address(field); ok {
			out = append(out, w)
		}
	}
	return out
}

func split(field string) []string {
	var out []string
	for _, run := range strings.FieldsFunc(field, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsNumber(r) }) {
		for run != "" {
			n := strings.IndexFunc(run, unspaced)
			switch {
			case n < 0:
				n = len(run)
			case n == 0:
				_, n = utf8.DecodeRuneInString(run)
			}
			out = append(out, strings.ToValidUTF8(run[:min(n, longest)], ""))
			run = run[n:]
		}
	}
	return out
}

func unspaced(r rune) bool { return unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana) }

func fraction(field string) (string, bool) {
	num, den, ok := strings.Cut(strings.Trim(field, "#.,;:()"), "/")
	if !ok || !digits(num) || !digits(den) {
		return "", false
	}
	return num + "of" + den, true
}

// address makes one word of an e-mail address, or of the beginning of one as far as its @: most share
// the words behind it.
func address(field string) (string, bool) {
	local, domain, ok := strings.Cut(field, "@")
	if !ok {
		return "", false
	}
	local, domain = strings.Join(split(local), ""), strings.Join(split(domain), "")
	w := local + "at" + domain
	return strings.ToValidUTF8(w[:min(len(w), longest)], ""), local != ""
}

func digits(s string) bool {
	return s != "" && strings.Trim(s, "0123456789") == ""
}

// mostTerms bounds what one search asks for; what goes beyond is not looked at.
const mostTerms = 8

// Asked returns the terms of a search. Signs of which nothing is kept ask for nothing.
func Asked(text string) []engine.Term {
	if len(text) > 1000 {
		text = strings.ToValidUTF8(text[:1000], "")
	}
	var out []engine.Term
	for _, field := range strings.Fields(Fold(text)) {
		if w, ok := fraction(field); ok {
			out = append(out, engine.Term{Word: w, Whole: true})
			continue
		}
		if w, ok := address(field); ok {
			out = append(out, engine.Term{Word: w, Whole: false})
			continue
		}
		for _, w := range split(field) {
			out = append(out, engine.Term{Word: w, Whole: false})
		}
	}
	return out[:min(len(out), mostTerms)]
}

// ByName sorts as a person does, by name; those of one name by id.
func ByName[T any](list []T, of func(T) (name string, id int64)) {
	type named struct {
		folded
		id int64
		of T
	}
	all := make([]named, len(list))
	for i, x := range list {
		name, id := of(x)
		all[i] = named{foldedOf(name), id, x}
	}
	slices.SortFunc(all, func(a, b named) int { return cmp.Or(a.compare(b.folded), cmp.Compare(a.id, b.id)) })
	for i, x := range all {
		list[i] = x.of
	}
}
