package trial

import (
	"fmt"
	"slices"
	"strings"

	"solander/intake"
	"solander/movein"
	"solander/studio"
	"solander/web/form"
	"solander/web/movein/rows"
)

// kindOf is the kind of a question: what stands before the colon of its id.
func kindOf(id string) string {
	kind, _, _ := strings.Cut(id, ":")
	return kind
}

// forAll makes, for each kind with several open questions, one that answers all of them.
func (p *Page) forAll(except map[string]bool) map[string]questionView {
	open := map[string][]intake.Question{}
	for _, q := range p.Trial.Questions {
		if strings.Contains(q.ID, ":") && !except[q.ID] {
			open[kindOf(q.ID)] = append(open[kindOf(q.ID)], q)
		}
	}
	out := map[string]questionView{}
	for kind, list := range open {
		what, ok := allWords[kind]
		if !ok || len(list) < 2 {
			continue
		}
		id := kind + ":" + intake.ForAll
		fd := p.ask(id, fmt.Sprintf(what, len(list)), p.Arrival.Answers[id]).Half()
		if shared := sharedChoices(list); len(shared) > 0 {
			fd.Of(append([]form.Choice{form.Pick("", "each by itself, as below")}, shared...)...)
		}
		q := intake.Question{ID: id, Where: list[0].Where}
		for _, one := range list {
			q.Rows += one.Rows
		}
		out[kind] = questionView{q, rows.PlaceWords(list[0].Where), fd}
	}
	return out
}

// allWords ask for one answer to all questions of a kind.
var allWords = map[string]string{
	"year": "All %d sheets and years without a year", "prints": "All %d texts that may name several prints", "column": "All %d new columns",
	"fill": "All %d colours", "word": "All %d words", "outlet": "All %d sheets without an outlet were sold at",
}

// sharedChoices are the choices that all questions of a list have, in the words of the first; readings are named in general.
func sharedChoices(list []intake.Question) []form.Choice {
	var out []form.Choice
	for _, c := range list[0].Choices {
		everywhere := !slices.ContainsFunc(list, func(q intake.Question) bool {
			return !slices.ContainsFunc(q.Choices, func(o intake.Choice) bool { return o.Value == c.Value })
		})
		words := c.Words
		if kindOf(list[0].ID) == "prints" {
			words = map[string]string{"whole": "one print each, named by the whole text", "apart": "taken apart as far as can be"}[c.Value]
		}
		if everywhere && words != "" {
			out = append(out, form.Pick(c.Value, words))
		}
	}
	return out
}

// sameParts asks for paper and grade of all new editions at once.
func (p *Page) sameParts(set studio.Settings) {
	if len(p.Trial.Declarations) < 2 {
		return
	}
	all := movein.Declaration{Key: intake.ForAll}
	for _, part := range []struct {
		part, label string
		of          []form.Choice
	}{{movein.PartPaper, "Paper of all that say none", paperChoices(set)}, {movein.PartGrade, "Grade of all that say none", gradesOrNone(set)}} {
		id := all.ID(part.part)
		p.Same = append(p.Same, p.ask(id, part.label, p.Arrival.Answers[id]).Of(part.of...))
	}
}

func paperChoices(set studio.Settings) []form.Choice {
	out := []form.Choice{form.Pick("", "not said")}
	for _, x := range set.Papers {
		out = append(out, form.Pick(x.Name, x.Name))
	}
	return out
}

func gradesOrNone(set studio.Settings) []form.Choice {
	out := []form.Choice{form.Pick("", "not said")}
	for _, g := range set.Grades {
		out = append(out, form.Pick(g, g))
	}
	return out
}
