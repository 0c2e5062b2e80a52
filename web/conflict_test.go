package web

import (
	"testing"

	"solander/house"
	"solander/packing"
	"solander/register"
	"solander/studio"
)

// House rules that contradict each other stand on the page of the order that they hold, and on the bench.
func TestRulesInConflictStandOnThePage(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.sale(1, 9000)
	s.must(register.Sign(s.ctx(), s.studio, []int64{1}))
	s.get("/orders/S-1001").is(200).hasNot(".conflict")
	dear, one := int64(5000), 1 // neither rule applies to all that the other one does: they may stand side by side
	s.must(house.ChangeSettings(s.ctx(), s.studio, func(set *studio.Settings) error {
		set.Rules = append(set.Rules,
			packing.Rule{ID: "flat", Text: "herons lie flat", When: packing.When{ValueOver: &dear}, Then: packing.Then{Shape: packing.Flat}},
			packing.Rule{ID: "rolled", Text: "herons are rolled", When: packing.When{OrderSheetsTo: &one}, Then: packing.Then{Shape: packing.Rolled}})
		return nil
	}))
	p := s.get("/orders/S-1001").is(200)
	p.has("#plan .caution", "It cannot go")
	p.has(".conflict li", "herons are rolled")
	if n := len(p.find(".conflict li")); n != 2 {
		t.Errorf("%d rules are named, want 2", n)
	}
	s.get("/").is(200).has("#pack", "herons are rolled")
}

// A rule that contradicts itself is told in its editor, and is not kept.
func TestARuleThatContradictsItself(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	before := len(s.settings().Rules)
	press := func(p answer, do string, fields ...string) answer {
		t.Helper()
		return s.sendForm(p, "#editor", append([]string{"do", do}, fields...)...)
	}
	p := press(s.get("/studio/rule"), "then.add", "then.new", "only_classes").is(200)
	p = press(p, "then.add", "then.new", "not_classes").is(200)
	p = press(p, "show", "when[0].value_over", "50", "then[1].only_classes.priority", "1", "then[2].not_classes.priority", "1").is(200)
	p.has("#reads", "contradicts itself: no class of post is left")
	press(p, "save").is(422).has("#faults", "contradicts itself")
	if n := len(s.settings().Rules); n != before {
		t.Errorf("%d rules stand, there were %d", n, before)
	}
}
