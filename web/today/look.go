package today

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"solander/bench"
	"solander/fault"
	"solander/web/page"
)

// How much of a group is shown. What is not shown is not sent either.
const (
	foldedRows = 12 // of each, on the whole bench
	openRows   = 36 // of one that is opened, on a page of its own
)

// look is what part of the bench is looked at.
type look struct {
	Open  bench.Group // this group alone; "" = all of them
	From  int         // of its rows, from 1
	Turn  bench.Group // the ticks of this group are turned: all, where none is usual, or none
	query string      // as the page's own address has it; "" = the bench as it opens
}

// lookOf reads what is looked at from the address, or from where a form says that it stood.
func lookOf(r *http.Request) (look, error) {
	q := r.URL.Query()
	if r.Method == http.MethodPost {
		_, text, _ := strings.Cut(page.BackToBench(r), "?")
		q, _ = url.ParseQuery(text) // looked at there
	}
	l := look{Open: bench.Group(q.Get("open")), From: 1, Turn: bench.Group(q.Get("turn"))}
	for _, g := range []bench.Group{l.Open, l.Turn} {
		if g != "" && !slices.Contains(bench.Groups(), g) {
			return l, fault.Invalidf("open", "the bench has no group %.20q", string(g)).ToMend("choose one of its bar")
		}
	}
	if text := q.Get("from"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 {
			return l, fault.Invalidf("from", "%.20q is no row", text).ToMend("count rows from 1")
		}
		l.From = n
	}
	if l.Open != "" {
		l.query = "?open=" + string(l.Open)
		if l.From > 1 {
			l.query += fmt.Sprint("&from=", l.From)
		}
	}
	return l, nil
}

// Back is where a form of the page leads back to, as it stands hidden in it.
func (l look) Back() string { return "bench" + l.query }

// with is the address of the page with one thing more asked of it.
func (l look) with(key, value string) string { return page.With("/"+l.query, key, value) }

// window is which rows of a group are shown: those of the page, or the first ones. A row whose form could not be done is
// among them.
func (l look) window(g bench.Group, tasks []bench.Task, fail *page.Failure) []int {
	most := foldedRows
	from := 0
	failed := slices.IndexFunc(tasks, func(t bench.Task) bool { return fail != nil && fail.Form != "" && formOf(g, t) == fail.Form })
	if l.Open == g {
		if most, from = openRows, l.From-1; failed >= 0 && (failed < from || failed >= from+most) {
			from = failed / most * most
		}
	}
	var rows []int
	for i := min(from, len(tasks)); i < min(from+most, len(tasks)); i++ {
		rows = append(rows, i)
	}
	if failed >= 0 && !slices.Contains(rows, failed) {
		rows = append(rows, failed)
	}
	return rows
}
