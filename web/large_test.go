package web

import (
	"fmt"
	"testing"

	"solander/edition"
	"solander/measure"
	"solander/money"
	"solander/register"
)

// An edition of more numbers than a page shows is drawn in parts, and every number is in one of them.
func TestLargeEditionIsDrawnInParts(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	e, err := register.Declare(s.ctx(), s.studio, edition.Edition{
		Work: 2, Width: 8 * in, Height: 10 * in, Paper: "matt paper", Grammage: 230 * measure.GSM,
		Caliper: measure.Millimetre * 3 / 10, Grade: "large", Limit: 2500, Proofs: edition.Proofs{AP: 2}, Price: money.Of(3500, "USD"),
	})
	s.must(err)
	path := fmt.Sprintf("/editions/%d", e.ID)
	p := s.get(path).is(200)
	p.has(".stages a", "2001 to 2500")
	seen := map[string]int{}
	for _, to := range partsOf(p.htmlPage, path) {
		part := s.get(to).is(200)
		cells := part.find(".impressions a")
		if len(cells) > 1000+2 {
			t.Errorf("%s draws %d numbers on one page", to, len(cells))
		}
		for _, c := range cells {
			seen[attr(c, "href")]++
		}
	}
	for _, n := range []string{"1", "1000", "1001", "2000", "2001", "2500", "AP-1"} {
		if seen[path+"/numbers/"+n] == 0 {
			t.Errorf("number %s is in no part", n)
		}
	}
	if len(seen) != 2502 {
		t.Errorf("%d numbers are drawn, want 2500 and 2 proofs", len(seen))
	}
	s.get(path + "?from=2501").is(422)
	s.get(path + "?from=x").is(422)
	s.get("/editions/1?from=0").is(422)
}

// partsOf lists the addresses of the parts of an edition, with the page itself.
func partsOf(p htmlPage, path string) []string {
	out := []string{path}
	for _, a := range p.find("a") {
		if to := attr(a, "href"); len(to) > len(path) && to[:len(path)+1] == path+"?" {
			out = append(out, to)
		}
	}
	return out
}
