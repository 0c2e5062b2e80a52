package web

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/house"
	"solander/internal/browsertest"
	"solander/packing"
	"solander/stockroom"
	"solander/studio"
)

// A wrap is made layer by layer as a browser without JavaScript sends it: every deed shows the draft anew, and nothing is kept before
// it is saved.
func TestAWrapIsMadeLayerByLayer(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	before := s.sum()
	press := func(p answer, do string, fields ...string) answer {
		t.Helper()
		return s.sendForm(p, "#editor", append([]string{"do", do}, fields...)...)
	}
	p := s.get("/studio/wrap").is(200)
	p.has("h1", "New wrap")
	p.has("#trial figcaption", "From above")
	p = press(p, "layers.add", "name", "between boards", "layers.new", "board").is(200)
	p.has("#trial", "Not drawn yet")
	p.has("#trial li", "does not end in an envelope")
	p.one("#wrap-layers-2--kind[autofocus]")
	p = press(p, "layers.up.2", "layers[2].count", "2", "layers[2].clearance.sides", "a little").is(200)
	if got := attr(p.one("#wrap-layers-1--clearance-sides"), "value"); got != "a little" {
		t.Errorf("moved, it says %q", got)
	}
	p.has("#trial li", "a little")
	p.one("button[value='layers.up.1'][autofocus]")
	p = press(p, "show", "layers[1].clearance.sides", "1/4 in", "sample.prints", "3").is(200)
	p.has("#trial li", "Put the stack between 2 boards")
	p.has("#trial li", "3 prints")
	p.has("#trial", "To send it at home costs")
	if rects := len(p.find("#trial svg rect")); rects < 6 {
		t.Errorf("the drawing has %d shapes", rects)
	}
	p = press(p, "layers.drop.1").is(200)
	p.hasNot("#wrap-layers-2--kind")
	p = press(p, "layers.add", "layers.new", "carton").is(200)
	p.has("#layer-2", "Most empty height")
	if s.sum() != before {
		t.Error("something was kept before it was saved")
	}
	s.leads(press(p, "save", "layers[2].empty", "1/2 in", "minutes", "7"), "/studio/wraps?said=wrap").has(".said", "The wrap was saved")
	half := packing.Wrap{
		ID: "between-boards", Name: "between boards", Shape: packing.Flat, Minutes: 7,
		Layers: []packing.Layer{{Kind: packing.Sleeve, Per: packing.PerSheet}, {Kind: packing.Envelope}, {Kind: packing.Carton, Empty: new(in / 2)}},
	}
	if diff := cmp.Diff(half, s.settings().Wraps[3]); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	p = s.get("/studio/wrap?id=between-boards").is(200)
	p = press(p, "layers.add", "layers.new", "tube").is(200)
	press(p, "save").is(422).has("#wrap-layers-3--kind-wrong", "does not stand here")
	s.leads(press(s.get("/studio/wrap?id=between-boards"), "take-out"), "/studio/wraps?said=wrap-gone").hasNot("a[href='/studio/wrap?id=between-boards']")
	press(s.get("/studio/wrap?id=double-envelope"), "take-out").is(409).has("#faults", "house rule “an order of two or more prints is not sent in envelopes” names this wrap")
	s.get("/studio/wrap?id=nobody").is(404)
}

// Two windows edit one wrap: the second is shown both, loses nothing, and may save all the same.
func TestOneWrapInTwoWindows(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	press := func(p answer, do string, fields ...string) answer {
		t.Helper()
		return s.sendForm(p, "#editor", append([]string{"do", do}, fields...)...)
	}
	const page = "/studio/wrap?id=carton"
	one, two := s.get(page), s.get(page)
	one = press(one, "layers.drop.1") // the tissue
	press(one, "save", "name", "without tissue").is(303)
	two = press(two, "layers.add", "layers.new", "carton")
	before := s.sum()
	again := press(two, "save", "note", "for the long way").is(409)
	if s.sum() != before {
		t.Error("something was written")
	}
	again.has("#faults", "changed in another window")
	again.has(".stands h3", "without tissue")
	again.has(".stands p", "flat, 15 minutes for a parcel, 2 minutes for each print")
	again.has("#wrap-name-wrong", "It is “without tissue” now")
	if n := len(again.find(".stands li")); n != 3 {
		t.Errorf("%d layers are told to stand now, want 3", n)
	}
	if n := len(again.find(".layerrows .row")); n != 5 || attr(again.one("#wrap-note"), "value") != "for the long way" {
		t.Errorf("of her own draft %d layers stand, want 5", n)
	}
	press(again, "save", "note", "for the long way").is(303)
	if w := s.settings().Wraps[1]; len(w.Layers) != 5 || w.Note != "for the long way" {
		t.Errorf("it is %+v", w)
	}
	// A layer that another window took out at the end is not put back unseen.
	one, two = s.get(page), s.get(page)
	press(one, "save", "layers[0].clearance.thickness", "").is(303)
	one = press(s.get(page), "layers.drop.4")
	press(one, "save").is(303)
	press(two, "save").is(409).one(".stands")
	// Taken out in one window, it is not put back by another one.
	one, two = s.get(page), s.get(page)
	press(one, "take-out").is(303)
	press(two, "save").is(409).has("#faults", "taken out in another window")
	// Another wrap is no matter of this one.
	one, two = s.get("/studio/wrap?id=tube"), s.get("/studio/wrap?id=double-envelope")
	press(one, "save", "note", "first").is(303)
	press(two, "save", "note", "second").is(303)
}

// A house rule is made of choices, and reads as the sentence that it makes; one that cannot be kept is told before it is saved.
func TestARuleIsMadeOfChoices(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	press := func(p answer, do string, fields ...string) answer {
		t.Helper()
		return s.sendForm(p, "#editor", append([]string{"do", do}, fields...)...)
	}
	before := s.sum()
	p := s.get("/studio/rule").is(200)
	p = press(p, "when.add", "when[0].value_over", "120.00", "when.new", "abroad").is(200)
	p.one("#rule-when-1--what[autofocus]")
	p = press(p, "show", "then[0].what", "signature").is(200)
	p.has(".sentence", "Prints worth more than 120.00 USD in one parcel, going abroad: signed for.")
	p = press(p, "when.up.1").is(200)
	p = press(p, "then.add", "then.new", "shape").is(200)
	rolled := press(p, "show", "then[1].shape", "rolled").is(200)
	rolled.has("#reads .doubt", "What both “prints up to 19 in go flat, not rolled” and “")
	if s.sum() != before {
		t.Error("something was kept before it was saved")
	}
	p = press(rolled, "then.drop.1").is(200)
	s.leads(press(p, "save"), "/studio/wraps?said=rule").has("#rules li", "Prints worth more than 120.00 USD in one parcel, going abroad: signed for.")
	made := s.settings().Rules[7]
	if made.ID != "prints-worth-more-than-120-00" || *made.When.ValueOver != 12000 || !*made.When.Abroad || !made.Then.Signature || made.Then.Tracking {
		t.Errorf("the rule is %+v", made)
	}
	never := press(s.get("/studio/rule"), "when.drop.0")
	never = press(never, "show", "then[0].what", "shape", "then[0].shape", "rolled")
	never.has("#reads .doubt", "can never both be kept: one says flat, the other rolled")
	press(never, "save").is(422).has("#rule-then-0--shape-wrong", "“prints up to 19 in go flat, not rolled” and “all prints: rolled” can never both be kept")

	list, later := s.get("/studio/wraps"), s.get("/studio/wraps")
	s.leads(s.sendForm(list, "form[action='/studio/rules/order']", "do", "rules.up.7"), "/studio/wraps?said=settings")
	if got := s.settings().Rules[6].ID; got != made.ID {
		t.Errorf("moved up, the seventh rule is %s", got)
	}
	s.sendForm(later, "form[action='/studio/rules/order']", "do", "rules.up.7").is(409).has("#faults", "changed in another window")
	s.leads(press(s.get("/studio/rule?id="+made.ID), "take-out"), "/studio/wraps?said=rule-gone")
	if n := len(s.settings().Rules); n != 7 {
		t.Errorf("%d rules stand", n)
	}
	s.get("/studio/rule?id=nobody").is(404)
}

// What if asks for a rule by the same choices.
func TestWhatIfARuleWereAnother(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	press := func(p answer, do string, fields ...string) answer {
		t.Helper()
		return s.sendForm(p, "#editor", append([]string{"do", do}, fields...)...)
	}
	p := press(s.get("/studio/what-if"), "show", "rule", "=heavy-better").is(200)
	if got := attr(p.one("#whatif-when-0--mass_over"), "value"); got != "10 lb" {
		t.Errorf("the rule is for %q", got)
	}
	p = press(p, "show", "when[0].mass_over", "2 lb").is(200)
	if got := attr(p.one("#whatif-when-0--mass_over"), "value"); got != "2 lb" {
		t.Errorf("changed, it is for %q", got)
	}
	s.leads(press(p, "ask", "open", "1"), "/reckoning/").has("#answer", "prints heavier than 2 lb when packed, staying in the country: not by ground")
	p = press(s.get("/studio/what-if"), "show", "rule", "a new one").is(200)
	p = press(p, "then.add", "then.new", "only_classes").is(200)
	press(p, "ask", "open", "1").is(422).has("#faults", "None is ticked")
	s.leads(press(p, "ask", "open", "1", "then[0].only_classes.priority", "1"), "/reckoning/").has("#answer", "all prints: only by priority")
	press(s.get("/studio/what-if"), "ask").is(422).has("#faults", "Nothing is changed")
	if set := s.settings(); len(set.Rules) != 7 {
		t.Errorf("%d rules stand: something was kept", len(set.Rules))
	}
}

// What if asks for a wrap by the rows of its editor, and keeps nothing of it.
func TestWhatIfAWrapWereAnother(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	before := s.settings()
	press := func(p answer, do string, fields ...string) answer {
		t.Helper()
		return s.sendForm(p, "#editor", append([]string{"do", do}, fields...)...)
	}
	p := press(s.get("/studio/what-if"), "show", "wrap", "=double-envelope").is(200)
	if got := len(p.find(".layerrows .row")); got != 3 {
		t.Fatalf("%d layers stand there, want those of the wrap", got)
	}
	if got := attr(p.one("#whatif-minutes"), "value"); got != "5" {
		t.Errorf("it takes %q minutes", got)
	}
	p = press(p, "layers.add", "layers.new", "envelope", "minutes", "25").is(200)
	if got := len(p.find(".layerrows .row")); got != 4 {
		t.Errorf("%d layers after one was added", got)
	}
	if got := attr(p.one("#whatif-minutes"), "value"); got != "25" {
		t.Errorf("what was typed became %q", got)
	}
	press(p, "ask", "open", "1", "minutes", "soon").is(422).has("#whatif-minutes-wrong", "whole number")
	asked := s.leads(press(p, "ask", "open", "1"), "/reckoning/")
	asked.has("#answer", "with another way of the wrap “flat in two stiff envelopes”")
	if bars := asked.find("#answer svg.plot rect"); len(bars) == 0 || len(bars)%2 != 0 {
		t.Errorf("%d bars are no pairs", len(bars))
	}
	if n := len(asked.find("#answer svg.plot text.small")); n == 0 {
		t.Error("no value stands at the bars")
	}
	if got := len(asked.find(".layerrows .row")); got != 4 {
		t.Errorf("below the answer stand %d layers", got)
	}

	// another one chosen takes the place of what was typed; a new one begins small; none is none
	p = press(p, "show", "wrap", "=tube").is(200)
	if got := len(p.find(".layerrows .row")); got != 2 {
		t.Errorf("the tube has %d layers", got)
	}
	p = press(p, "show", "wrap", "a new one").is(200)
	press(p, "ask", "open", "1").is(422).has("#faults", "Name")
	p = press(p, "layers.drop.0", "name", "mine").is(200)
	press(p, "ask", "open", "1").is(422)
	p = press(p, "layers.add", "layers.new", "tube").is(200) // a tube round flat prints
	press(p, "ask", "open", "1").is(422).has("#faults", "Layer: Kind does not stand here")
	p = press(p, "show", "wrap", "").is(200)
	p.hasNot(".layerrows")
	press(p, "ask", "open", "1").is(422).has("#faults", "Nothing is changed")
	if d := cmp.Diff(before, s.settings()); d != "" {
		t.Errorf("something was kept: %s", d)
	}
}

// Wraps, rules and price cards go out as files and come back as they were; a file that is wrong changes nothing and is told where.
func TestRecipesAndCardsAsFiles(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	file := s.get("/studio/wraps.json").is(200).body
	was := s.settings()
	s.must(house.ChangeSettings(s.ctx(), s.studio, func(set *studio.Settings) error { set.Rules, set.Wraps = nil, set.Wraps[:2]; return nil }))
	s.leads(s.sendFile("/studio/wraps", "file", "recipes.json", file), "/studio/wraps?said=wraps").has(".said", "taken over from the file")
	if diff := cmp.Diff(was.Wraps, s.settings().Wraps) + cmp.Diff(was.Rules, s.settings().Rules); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	stood := attr(s.get("/studio/wraps").one(".upload input[name=stood]"), "value")
	before := s.sum()
	for name, text := range map[string]string{
		"no JSON": `[{`, "an unknown key": `{"wraps": [{"id": "x", "shap": "flat"}]}`, "of a wrong kind": `{"rules": {"id": 3}}`, "empty": "", "not text": "\xff\xfe\x00",
		"a wrap of nothing": `{"wraps": [{"id": "x", "shape": "flat", "layers": []}]}`, "more after its end": `{"wraps": []} {}`,
		"rules that clash": `{"wraps": [], "rules": [{"id": "a", "then": {"shape": "flat"}}, {"id": "b", "then": {"shape": "rolled"}}]}`,
	} {
		if a := s.sendFile("/studio/wraps", "file", "x.json", []byte(text), "stood", stood); a.status != 422 || textOf(a.one("#file-file-wrong")) == "" {
			t.Errorf("%s: %d: %s", name, a.status, faultsOf(a))
		}
	}
	for name, text := range map[string]string{"no JSON": "operator = post", "an unknown key": `{"colour": "red"}`, "an empty card": `{}`, "an empty file": "\n"} {
		if a := s.sendFile("/studio/cards", "card", "x.json", []byte(text)); a.status != 422 || textOf(a.one("#card-card-wrong")) == "" {
			t.Errorf("%s: %d: %s", name, a.status, faultsOf(a))
		}
	}
	if s.sum() != before {
		t.Error("something was written")
	}
	s.leads(s.post("/studio/rule", ruleFields("text", "dear ones are signed for")...), "/studio/wraps")
	s.sendFile("/studio/wraps", "file", "x.json", file, "stood", stood).is(409).has("#file-file-wrong", "changed in another window")

	card := s.get("/studio/card.json?id=us-usps-commercial-2025-10-05").is(200).body
	own := strings.ReplaceAll(string(card), `"us-usps-commercial-2025-10-05"`, `"own-card"`)
	own = strings.Replace(own, `"series": "`, `"series": "own-`, 1)
	s.leads(s.sendFile("/studio/cards", "card", "own.json", []byte(own)), "/studio?said=card")
	if back := s.get("/studio/card.json?id=own-card").is(200).body; string(back) != own {
		t.Errorf("the card comes back as another one")
	}
	s.get("/studio/card.json?id=nobody").is(404)
}

// What looks like a slip in a card is shown with its cell, and nothing is loaded until she says so; what it must not hold is
// a fault with its cell.
func TestACardIsLookedOver(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	card := string(s.get("/studio/card.json?id=us-usps-retail-2025-10-05").is(200).body)
	own := strings.Replace(strings.Replace(card, `"us-usps-retail-2025-10-05"`, `"own-card"`, 1), `"series": "`, `"series": "own-`, 1)
	spoilt := strings.Replace(own, "            720,", "            null,", 1)
	if spoilt == own {
		t.Fatal("the card has no cell of 7.20")
	}
	before := s.sum()
	asked := s.sendFile("/studio/cards", "card", "own.json", []byte(spoilt)).is(200)
	asked.has("#h-doubts", "Not loaded yet")
	if got := textOf(asked.one("main table tbody tr")); !strings.Contains(got, "ground-retail, zone 1, up to 4 oz") || !strings.Contains(got, "no price at 4 oz but one at 8 oz") {
		t.Errorf("it says %q", got)
	}
	if s.sum() != before {
		t.Error("it was loaded unasked")
	}
	kept := attr(asked.one("form input[name=text]"), "value")
	s.leads(s.post("/studio/cards", "text", kept), "/studio?said=card")
	if got := string(s.get("/studio/card.json?id=own-card").is(200).body); got != spoilt {
		t.Error("another card was loaded")
	}
	before = s.sum()
	for name, c := range map[string]struct{ old, wrong, says string }{
		"a comma in an amount":   {"            720,", `            "7,20",`, "450 for 4.50"},
		"a comma parts one":      {"            720,", "            7,20,", "a comma parts them"},
		"money of another place": {`"currency": "USD"`, `"currency": "EUR"`, "the studio's money is USD"},
		"the same first day":     {`"own-card"`, `"another"`, "holds from the same day"},
	} {
		bad := strings.Replace(own, c.old, c.wrong, 1)
		if a := s.sendFile("/studio/cards", "card", "own.json", []byte(bad)); a.status < 400 || bad == own || !strings.Contains(textOf(a.one("#card-card-wrong")), c.says) {
			t.Errorf("%s: %s", name, faultsOf(a))
		}
	}
	if s.sum() != before {
		t.Error("something was written")
	}
}

// No page that is reached from the studio's asks for data in a text box.
func TestNoBoxHoldsData(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	s.fed()
	seen := 0
	for _, path := range s.paths() {
		if !strings.HasPrefix(path, "/studio") || strings.Contains(path, ".") && !strings.Contains(path, "?") || strings.HasSuffix(path, "backup") || strings.HasSuffix(path, "export") || strings.Contains(path, ".json") {
			continue
		}
		p := s.get(path).is(200)
		seen++
		for _, box := range p.find("textarea") {
			if text := strings.TrimSpace(textOf(box)); strings.HasPrefix(text, "{") || strings.HasPrefix(text, "[") {
				t.Errorf("%s has data in a box: %.80s", path, text)
			}
		}
	}
	if seen < 12 {
		t.Errorf("only %d pages were looked at", seen)
	}
}

// The same by hand in a browser, by the keyboard where the script would have to mind the focus.
func TestAWrapByBrowser(t *testing.T) {
	for name, script := range map[string]bool{"with script": true, "without script": false} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := newSite(t)
			p, base := s.open()
			p.Script(script)
			p.Go(base + "/studio/wrap?id=double-envelope")
			press := func(selector string) {
				t.Helper()
				if script {
					browsertest.Eval[bool](p, `(window.was = document.body, true)`)
					p.Click(selector)
					return
				}
				if status := p.ClickTo(selector); status != 200 {
					t.Fatalf("%s: %d", selector, status)
				}
			}
			choose(p, "#layers-new", "board")
			press("button[value='layers.add']")
			p.Wait("#wrap-layers-3--kind")
			if f := p.Focused(); !strings.Contains(f, "wrap-layers-3--kind") {
				t.Errorf("a layer was added, and the focus is at %q", f)
			}
			press("button[value='layers.up.3']")
			p.Wait("button[value='layers.up.2'][autofocus]")
			press("button[value='layers.up.2']")
			p.Wait("button[value='layers.up.1'][autofocus]")
			p.Fill("#wrap-layers-1--count", "2")
			p.Press("Tab")
			if !script {
				press("#trial button[value=show]")
			}
			p.Wait("#trial .build li:nth-child(5)")
			waitFor(t, p, "#trial .build", "Put the stack between 2 boards")
			if script && !browsertest.Eval[bool](p, `window.was === document.body`) {
				t.Error("the page was loaded anew")
			}
			if status := p.ClickTo("button[value=save]"); status != 200 || !strings.Contains(p.Text(".said"), "The wrap was saved") {
				t.Fatalf("%d: %s", status, p.Text("#matter"))
			}
			if l := s.settings().Wraps[0].Layers; len(l) != 4 || l[1].Kind != packing.Board || l[1].Count != 2 {
				t.Errorf("the layers are %+v", l)
			}
			if said := p.Messages(); len(said) > 0 {
				t.Errorf("the browser complains: %v", said)
			}
		})
	}
}

// A rule by the keyboard alone, with the sentence that follows each choice.
func TestARuleByKeyboard(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p, base := s.open()
	p.Go(base + "/studio/rule")
	tabTo(t, p, "rule-when-0--value_over")
	p.Type("120")
	tabTo(t, p, "when-new")
	p.Type("going")
	tabTo(t, p, "Add")
	p.Press("Enter")
	p.Wait("#rule-when-1--what")
	waitFor(t, p, "#reads", "going abroad: tracked.")
	tabTo(t, p, "rule-then-0--what")
	p.Type("be signed")
	p.Press("Tab")
	waitFor(t, p, "#reads", "Prints worth more than 120.00 USD in one parcel, going abroad: signed for.")
	tabTo(t, p, "Save the house rule")
	p.PressTo("Enter")
	if got := p.Text(".said"); !strings.Contains(got, "The house rule was saved") {
		t.Fatalf("%s: %s", p.URL(), p.Text("#matter"))
	}
}

// The editors while they are at work break no rule of accessibility, light and dark, at the width of a phone and of a desk, and no
// two of their texts lie over one another.
func TestEditorsAtWorkInTheBrowser(t *testing.T) {
	t.Parallel()
	lead := func(t *testing.T, p *browsertest.Page, selector string, status int) {
		t.Helper()
		if got := p.ClickTo(selector); got != status {
			t.Fatalf("%s: status %d: %s", selector, got, p.Text("#matter"))
		}
	}
	for name, work := range map[string]func(*testing.T, *site, *browsertest.Page, string){
		"wrap": func(_ *testing.T, _ *site, p *browsertest.Page, base string) {
			p.Go(base + "/studio/wrap?id=carton")
			p.Click(".which summary")
		},
		"wrap-in-two-windows": func(t *testing.T, s *site, p *browsertest.Page, base string) {
			p.Go(base + "/studio/wrap?id=carton")
			s.sendForm(s.get("/studio/wrap?id=carton"), "#editor", "do", "save", "note", "first").is(303)
			p.Fill("#wrap-note", "second")
			lead(t, p, "button[value='layers.drop.1']", 200)
			lead(t, p, "button[value=save]", 409)
		},
		"wrap-not-drawn": func(t *testing.T, _ *site, p *browsertest.Page, base string) {
			p.Go(base + "/studio/wrap?id=carton")
			lead(t, p, "button[value='layers.drop.3']", 200)
		},
		"rule-lacks-a-country": func(t *testing.T, _ *site, p *browsertest.Page, base string) {
			p.Go(base + "/studio/rule?id=small-flat")
			choose(p, "#when-new", "going to")
			lead(t, p, "button[value='when.add']", 200)
			lead(t, p, "button[value=save]", 422)
		},
		"rule-in-doubt": func(t *testing.T, _ *site, p *browsertest.Page, base string) {
			p.Go(base + "/studio/rule?id=fine-better")
			choose(p, "#rule-then-0--what", "lie")
			lead(t, p, "#reads button", 200)
			choose(p, "#rule-then-0--shape", "rolled")
			lead(t, p, "#reads button", 200)
			if got := p.Text("#reads"); !strings.Contains(got, "apply to cannot go") {
				t.Errorf("it reads %q", got)
			}
		},
		"what-if-a-rule": func(t *testing.T, _ *site, p *browsertest.Page, base string) {
			p.Go(base + "/studio/what-if")
			choose(p, "#whatif-rule", "the fine")
			lead(t, p, "button[data-deed][value=show]", 200)
		},
		"what-if-a-wrap": func(t *testing.T, _ *site, p *browsertest.Page, base string) {
			p.Go(base + "/studio/what-if")
			choose(p, "#whatif-wrap", "flat between")
			lead(t, p, "button[data-deed][value=show]", 200)
			lead(t, p, "button[value='layers.add']", 200)
			p.Click(".which summary")
		},
		"mapping": func(t *testing.T, _ *site, p *browsertest.Page, base string) {
			p.Go(base + "/studio/hook-mappings/new")
			paste(p, "#message-paste", sample)
			lead(t, p, "button[value=read]", 200)
			choose(p, "#map-lines", "/items")
			choose(p, "#map-order-ref-at", "/id")
			lead(t, p, "button[value='editions.add']", 200)
			lead(t, p, "button[value='only.add']", 200)
			p.Click(".seen summary")
		},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSite(t)
			p, base := s.open()
			p.Script(false)
			work(t, s, p, base)
			p.Script(true) // what looks at the page needs it
			looked(t, p, "editor-"+name)
			overlapping(t, p, name)
			p.Dark(true)
			looked(t, p, "editor-"+name+"-dark")
		})
	}
}

// paste puts a text of several lines into a box.
func paste(p *browsertest.Page, selector, text string) {
	browsertest.Eval[bool](p, fmt.Sprintf("(document.querySelector(%q).value = %q, true)", selector, text))
}

// With script, a mapping follows each choice: the fields of a print are offered once the list is chosen.
func TestAMappingByBrowser(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p, base := s.open()
	p.Go(base + "/studio/hook-mappings/new")
	paste(p, "#message-paste", sample)
	if status := p.ClickTo("button[value=read]"); status != 200 {
		t.Fatalf("status %d", status)
	}
	choose(p, "#map-lines", "/items")
	p.Press("Tab")
	waitFor(t, p, "#in-each", "/sku: “HERON-12x16”")
	choose(p, "#map-line-edition-at", "/sku")
	p.Press("Tab")
	waitFor(t, p, "#names", "HERON-12x16")
	waitFor(t, p, "#trial", "Number of the order there (needed)")
	p.Click("button[value='editions.add']")
	p.Wait("#map-editions-0--id")
	if f := p.Focused(); !strings.Contains(f, "map-editions-0--name") {
		t.Errorf("a name was added, and the focus is at %q", f)
	}
	if said := p.Messages(); len(said) > 0 {
		t.Errorf("the browser complains: %v", said)
	}
}

// waitFor waits until a text stands in an element.
func waitFor(t *testing.T, p *browsertest.Page, selector, text string) {
	t.Helper()
	if !browsertest.Eval[bool](p, `new Promise(r => { let n = 0; const look = () => {
		const e = document.querySelector("`+selector+`");
		if (e && e.textContent.replace(/\s+/g, " ").includes("`+text+`")) { r(true) } else if (++n > 200) { r(false) } else { setTimeout(look, 50) }
	}; look() })`) {
		t.Fatalf("%s never says %q: %s", selector, text, p.Text(selector))
	}
}

// A wrap of both shapes: the layers say what they go round, and the tube is drawn with what lies flat.
func TestAWrapThatRollsSomeAndLaysTheOthersFlat(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	press := func(p answer, do string, fields ...string) answer {
		t.Helper()
		return s.sendForm(p, "#editor", append([]string{"do", do}, fields...)...)
	}
	for _, it := range []packing.Item{
		{ID: "tube-of-4", Kind: packing.Tube, Name: "tube of 4 in", Length: 13 * in, Diameter: 4 * in, Wall: in / 8},
		{ID: "carton-for-a-tube", Kind: packing.Carton, Name: "carton for a tube", Length: 18 * in, Width: 14 * in, Height: 6 * in, Wall: in / 8},
	} {
		_, err := stockroom.SaveShelfItem(s.ctx(), s.studio, studio.ShelfItem{Spec: it})
		s.must(err)
	}
	p := s.get("/studio/wrap").is(200)
	p.hasNot("#wrap-flat_to")
	p.hasNot("#wrap-layers-0--of")
	p = press(p, "show", "name", "tube and boards", "shape", "both", "layers[0].kind", "tube", "layers[1].kind", "carton").is(200)
	p.has("#trial li", "does not stand here") // nothing says yet that the tube goes round the rolled alone
	p.hasNot("#wrap-beside")
	p = press(p, "layers.add", "layers[0].of", "rolled", "layers.new", "board").is(200)
	p = press(p, "layers.up.2", "layers[2].of", "flat", "layers[2].count", "2", "flat_to", "12 in", "core", "3 in").is(200)
	p.has("#trial figcaption", "Along the tube")
	p.has("#trial li", "a matted print")
	p.has("#trial li", "Lay the tube")
	s.leads(press(p, "save"), "/studio/wraps?said=wrap").has(".recipe p", "some rolled, the others flat, rolled no tighter than 3 in, flat up to 12 in")
	want := packing.Wrap{
		ID: "tube-and-boards", Name: "tube and boards", Shape: packing.Both, Core: 3 * in, FlatTo: 12 * in,
		Layers: []packing.Layer{{Kind: packing.Tube, Of: packing.Rolled}, {Kind: packing.Board, Of: packing.Flat, Count: 2}, {Kind: packing.Carton}},
	}
	if diff := cmp.Diff(want, s.settings().Wraps[3]); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
