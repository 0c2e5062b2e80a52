package form

import (
	"fmt"
	"maps"
	"net/url"
	"strconv"
	"strings"
)

// mostRows bounds the rows of a list that is edited; more were typed by no one.
const mostRows = 400

// Deed is what a button beside a row asks, before anything is saved: "layers.up.2", "layers.down.0", "layers.drop.1", "layers.add".
// The draft is what was typed; it is kept nowhere else.
type Deed struct {
	List string
	Do   string // "up", "down", "drop", "add"
	At   int    // the row, from 0
}

// DeedOf reads a deed; ok is false for another button.
func DeedOf(text string) (d Deed, ok bool) {
	parts := strings.Split(text, ".")
	if len(parts) == 2 && parts[1] == "add" {
		return Deed{List: parts[0], Do: "add"}, true
	}
	if len(parts) != 3 {
		return d, false
	}
	at, err := strconv.Atoi(parts[2])
	d = Deed{parts[0], parts[1], at}
	return d, err == nil && at >= 0 && (d.Do == "up" || d.Do == "down" || d.Do == "drop")
}

// Focus is the button or row that the deed leaves under her hands, by name, of so many rows: where the row went, or what took its
// place. The first row has no button to go up, the last none to go down.
func (d Deed) Focus(rows int) string {
	at, do := d.At, d.Do
	switch do {
	case "add":
		return fmt.Sprintf("%s[%d]", d.List, rows-1)
	case "drop":
		if at >= rows {
			return d.List + ".add"
		}
	case "up":
		if at = max(0, at-1); at == 0 {
			do = "down"
		}
	case "down":
		if at = min(rows-1, at+1); at == rows-1 {
			do = "up"
		}
	}
	return fmt.Sprintf("%s.%s.%d", d.List, do, at)
}

// On does the deed to what was typed, whatever stands in the fields. A new row begins with what stands under "list.new", in
// its field key.
func (d Deed) On(typed url.Values, key string) url.Values {
	n := Rows(typed, d.List)
	order := make([]int, 0, n+1) // which row stands where
	for i := range n {
		order = append(order, i)
	}
	switch {
	case d.Do == "drop" && d.At < n:
		order = append(order[:d.At], order[d.At+1:]...)
	case d.Do == "up" && d.At > 0 && d.At < n:
		order[d.At-1], order[d.At] = d.At, d.At-1
	case d.Do == "down" && d.At < n-1:
		order[d.At], order[d.At+1] = d.At+1, d.At
	}
	out := url.Values{}
	for name, v := range typed {
		at, rest, ok := rowOf(name, d.List)
		if !ok {
			out[name] = v
			continue
		}
		for to, from := range order {
			if from == at {
				out[fmt.Sprintf("%s[%d]%s", d.List, to, rest)] = v
			}
		}
	}
	if d.Do == "add" && n < mostRows {
		out.Set(fmt.Sprintf("%s[%d].%s", d.List, n, key), typed.Get(d.List+".new"))
	}
	return out
}

// Rows counts the rows of a list that were typed.
func Rows(typed url.Values, list string) int {
	n := 0
	for name := range maps.Keys(typed) {
		if at, _, ok := rowOf(name, list); ok {
			n = max(n, at+1)
		}
	}
	return n
}

// rowOf takes "layers[2].kind" apart: row 2, ".kind".
func rowOf(name, list string) (at int, rest string, ok bool) {
	inside, ok := strings.CutPrefix(name, list+"[")
	if !ok {
		return 0, "", false
	}
	number, rest, ok := strings.Cut(inside, "]")
	at, err := strconv.Atoi(number)
	return at, rest, ok && err == nil && at >= 0 && at < mostRows
}
