package web

import (
	"regexp"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"solander/internal/testpdf"
	"solander/register"
)

// onPaper is a number beside a drawing of a wrap sheet: it stands alone at its right, before the words.
var onPaper = regexp.MustCompile(`(?m)^ {30,}(\d+)(?: {2,}|$)`)

// The drawings of a parcel bear the same numbers on the screen, in the same order, as on its wrap sheet, which poppler reads; and
// each is a step of the list beside them, in the words of the sheet.
func TestNumbersOfADrawingAreThoseOfItsWrapSheet(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.run(1, 20)
	v := s.sale(1, 9000)
	s.must(register.Sign(s.ctx(), s.studio, []int64{1}))
	p := s.get("/orders/" + v.Mark).is(200)
	steps := p.find(".planned .build li")
	var drawn []htmlPage
	for _, fig := range p.find(".planned figure") {
		drawn = append(drawn, p.inside(fig))
	}
	paper := testpdf.Text(t, s.get("/papers/wrap/"+strings.TrimPrefix(s.orderPath(v), "/orders/")+".pdf").is(200).body)
	paper = strings.ReplaceAll(paper, "\f", "\n")
	seen := 0
	for _, fig := range drawn {
		name, _, _ := strings.Cut(textOf(fig.one("figcaption")), ";")
		name, _, _ = strings.Cut(name, " (")
		_, after, is := strings.Cut(paper, "\n"+name+"\n")
		if !is {
			t.Fatalf("the wrap sheet has no drawing %q: %s", name, paper)
		}
		for _, other := range drawn { // up to the next drawing
			next, _, _ := strings.Cut(textOf(other.one("figcaption")), " (")
			after, _, _ = strings.Cut(after, "\n"+next+"\n")
		}
		var want, got []string
		for _, m := range onPaper.FindAllStringSubmatch(after, -1) {
			want = append(want, m[1])
		}
		numbers := fig.find("text.number")
		for _, n := range numbers {
			got = append(got, textOf(n))
			if at := number(t, textOf(n)); at < 1 || at > len(steps) {
				t.Errorf("%s: %d is no step of the list beside it", name, at)
			}
		}
		if lines := len(fig.find("line.callout")); lines != len(numbers) {
			t.Errorf("%s: %d lines lead from %d numbers", name, lines, len(numbers))
		}
		if strings.Join(got, " ") != strings.Join(want, " ") {
			t.Errorf("%s: the screen has %v, the wrap sheet %v", name, got, want)
		}
		seen += len(got)
	}
	if len(drawn) < 2 || seen < 6 {
		t.Errorf("%d drawings with %d numbers: too few to compare", len(drawn), seen)
	}
	for _, li := range steps {
		if words := firstWords(li); !strings.Contains(strings.Join(strings.Fields(paper), " "), words) {
			t.Errorf("the wrap sheet does not say %q", words)
		}
	}
}

// firstWords is what a step says before its sizes.
func firstWords(li *html.Node) string {
	return strings.Join(strings.Fields(li.FirstChild.Data), " ")
}
