package web

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func guide(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "docs", "guide.md"))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// The wrap and the house rule that the guide tells of can be made as it says, and the rule reads as it stands there.
func TestExamplesOfTheGuide(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p := s.sendForm(s.get("/studio/wrap"), "#editor", "do", "layers.add", "layers.new", "board").is(200)
	p = s.sendForm(p, "#editor", "do", "layers.up.2").is(200)
	p = s.sendForm(p, "#editor", "do", "show", "layers[0].clearance.sides", "1/16 in", "layers[1].count", "2", "layers[1].clearance.sides", "1/4 in", "layers[2].clearance.sides", "1/8 in", "sample.prints", "2")
	p.has("#trial .build li", "Put the stack between 2 boards")
	s.leads(s.sendForm(p, "#editor", "do", "save", "name", "between boards in one stiff envelope", "most", "2", "minutes", "4"), "/studio/wraps")
	p = s.sendForm(s.get("/studio/rule"), "#editor", "do", "when.add", "when.new", "abroad").is(200)
	p = s.sendForm(p, "#editor", "do", "show", "when[0].value_over", "500", "when[1].abroad", "no", "then[0].what", "signature").is(200)
	sentence := textOf(p.one("#reads .sentence"))
	if !strings.Contains(guide(t), "\n> "+sentence+"\n") {
		t.Errorf("the guide does not show the rule as it reads: %s", sentence)
	}
	s.leads(s.sendForm(p, "#editor", "do", "save"), "/studio/wraps").has("#rules li", sentence)
}

// What the guide says in bold or italics that a page has stands on that page.
func TestWordsOfTheGuide(t *testing.T) {
	t.Parallel()
	text := strings.Join(strings.Fields(guide(t)), " ")
	words := pageWords(t)
	for _, w := range []string{
		"New sale", "Let it leave all the same", "Cancel the order", "Prints came back", "Change a number or a price, or take a print out", "Change the address",
		"Change days, amounts and notes", "Why not another way?", "What looks cheaper, and why it is not allowed", "Packed as planned",
		"Sign numbers ahead of a sale", "Close the edition", "Hand over the ticked ones", "Download a backup", "Check the books", "Wraps and house rules",
		"Bring in a file", "Look at it", "Your colours", "Try it: what would it make?", "Where it came from", "Take the file back", "Files to look at",
		"Other programs", "Make the feed", "Revoke the feed", "New mapping", "Read the message", "Put together", "Try it out", "New wrap", "Add the layer", "Save the wrap", "New house rule", "Only for prints", "What must be, too", "What stands now", "Add a secret",
	} {
		if !strings.Contains(text, w) {
			t.Errorf("the guide no longer says %q", w)
		}
		if !strings.Contains(words, w) {
			t.Errorf("no page says %q, which the guide tells of", w)
		}
	}
}

func pageWords(t *testing.T) string {
	t.Helper()
	files, err := filepath.Glob("templates/*.html")
	if err != nil || len(files) == 0 {
		t.Fatalf("no templates: %v", err)
	}
	shared, err := filepath.Glob("templates/shared/*.html")
	if err != nil || len(shared) == 0 {
		t.Fatalf("no shared templates: %v", err)
	}
	var all strings.Builder
	for _, f := range append(files, shared...) {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		all.Write(b)
	}
	return all.String()
}
