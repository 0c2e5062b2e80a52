package web

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
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

// The wrap and the house rule that the guide shows can be saved as they stand there.
func TestExamplesOfTheGuide(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	set, err := s.studio.Settings(s.ctx())
	s.must(err)
	blocks := regexp.MustCompile("(?s)```json\n(.*?)```").FindAllStringSubmatch(guide(t), -1)
	if len(blocks) != 2 {
		t.Fatalf("the guide has %d examples, want a wrap and a rule", len(blocks))
	}
	with := func(list any, example string) string {
		var all []json.RawMessage
		raw, err := json.Marshal(list)
		s.must(err)
		s.must(json.Unmarshal(raw, &all))
		raw, err = json.Marshal(append(all, json.RawMessage(example)))
		s.must(err)
		return string(raw)
	}
	s.leads(s.post("/studio/wraps", "wraps", with(set.Wraps, blocks[0][1]), "rules", with(set.Rules, blocks[1][1])), "/studio")
	now, err := s.studio.Settings(s.ctx())
	s.must(err)
	if len(now.Wraps) != len(set.Wraps)+1 || len(now.Rules) != len(set.Rules)+1 {
		t.Errorf("%d wraps and %d rules were kept, before %d and %d", len(now.Wraps), len(now.Rules), len(set.Wraps), len(set.Rules))
	}
}

// What the guide says in bold or italics that a page has stands on that page.
func TestWordsOfTheGuide(t *testing.T) {
	t.Parallel()
	text := strings.Join(strings.Fields(guide(t)), " ")
	words := pageWords(t)
	for _, w := range []string{
		"New sale", "Let it leave all the same", "Cancel the order", "Prints came back", "Change a number or take a print out", "Change the address",
		"Change days, amounts and notes", "Why not another way?", "What looks cheaper, and why it is not allowed", "Packed as planned",
		"Sign numbers ahead of a sale", "Close the edition", "Hand over the ticked ones", "Download a backup", "Check the books", "Wraps and house rules",
		"Bring in a file", "Look at it", "Your colours", "Try it: what would it make?", "Where it came from", "Take the file back", "Files to look at",
		"Other programs", "Make the feed", "Revoke the feed", "New mapping", "Try it out", "Add a secret",
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
	var all strings.Builder
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		all.Write(b)
	}
	return all.String()
}
