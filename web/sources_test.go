package web

import (
	"fmt"
	"html"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"
)

// Every part of what an order of the invented studio earned leads to where it came from: the page answers, has the place that the link names, and says
// the figure: of postage the card's page what the card says of the parcel, of any part one of its pages at least the part's.
func TestPartsLeadToTheirSources(t *testing.T) {
	face := New(pictured(t), Options{})
	known := map[string]string{}
	get := func(path string) string {
		path, _, _ = strings.Cut(path, "#")
		if _, ok := known[path]; !ok {
			w := httptest.NewRecorder()
			face.ServeHTTP(w, httptest.NewRequest(http.MethodGet, "http://localhost"+path, nil))
			if w.Code != http.StatusOK {
				t.Fatalf("%s answers %d", path, w.Code)
			}
			known[path] = w.Body.String()
		}
		return known[path]
	}
	led := map[string]int{}
	follow := func(from, page string) {
		for _, row := range partRow.FindAllString(page, -1) {
			amount := partAmount.FindStringSubmatch(row)
			if amount == nil || strings.Contains(row, `data-head="Part">Left<`) {
				continue
			}
			said, byCard, _ := strings.Cut(row, "The card says")
			names := false
			for _, m := range partLink.FindAllStringSubmatch(said, -1) {
				to := html.UnescapeString(m[1])
				there := get(to)
				if _, place, ok := strings.Cut(to, "#"); ok && !strings.Contains(there, fmt.Sprintf("id=%q", place)) {
					t.Errorf("%s leads to %s, which has no such place", from, to)
				}
				led[sourceWord.FindString(to)]++
				names = names || strings.Contains(there, amount[1])
				if strings.HasPrefix(to, "/studio/cards/") {
					for _, x := range cardAmount.FindAllStringSubmatch(byCard, -1) {
						if !strings.Contains(there, x[1]) {
							t.Errorf("%s leads to %s, which does not say %s: %s", from, to, x[1], byCard)
						}
					}
				}
			}
			if !names && !strings.Contains(row, "estimated") {
				t.Errorf("%s: no page that it leads to says %s: %s", from, amount[1], said)
			}
		}
	}
	for id := 1; id <= 600; id += 7 {
		path := fmt.Sprintf("/orders/%d/earned", id)
		follow(path, get(path))
	}
	for _, m := range outletRow.FindAllStringSubmatch(get("/earnings?span=all&by=outlet"), -1) {
		path := html.UnescapeString(m[1])
		follow(path, get(path))
	}
	for _, kind := range []string{"/orders", "/runs", "/studio/cards", "/studio/outlets", "/earnings/galleries", "/earnings/year"} {
		if led[kind] == 0 {
			t.Errorf("no part leads to %s: %v", kind, led)
		}
	}
	t.Logf("links that were followed: %v", led)
}

var (
	partRow    = regexp.MustCompile(`(?s)<tr><th scope="row" data-head="Part">.*?</tr>`)
	partAmount = regexp.MustCompile(`data-head="Amount"><span>-?([0-9.,]+)`)
	partLink   = regexp.MustCompile(`<a href="([^"]+)"`)
	cardAmount = regexp.MustCompile(`class="fig">(-?[0-9.,]+)<`)
	sourceWord = regexp.MustCompile(`^/(studio/|earnings/)?[a-z]+`)
	outletRow  = regexp.MustCompile(`<a href="(/earnings/parts[^"]+)"`)
)
