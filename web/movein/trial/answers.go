package trial

import (
	"net/url"
	"strings"

	"solander/intake"
	"solander/movein"
	"solander/web/form"
)

// Names of the fields. A trial asks as many as it has questions, and is not made again to read them: an answer stands under
// the id of its question, and beside each edition which answer is its limit.
const (
	answerTo   = "a."
	limitOf    = "limit-of."
	confirmAll = "confirm-all"
	yesToPlain = "plain"
)

// ask asks what answers a question, a fact, or a part of a declaration.
func (p *Page) ask(id, label, value string) *form.Field {
	return p.Ask.Ask(answerTo+id, label).Is(value)
}

// Said reads what was answered; plain says yes to every fact that is plainly written.
func Said(sent url.Values) (said intake.Answers, plain bool) {
	said = intake.Answers{}
	for name := range sent {
		if id, ok := strings.CutPrefix(name, answerTo); ok {
			said[id] = strings.TrimSpace(sent.Get(name))
		}
	}
	confirmed(sent, said)
	return said, sent.Get(yesToPlain) != ""
}

// confirmed turns the ticks under editions into the limits that they confirm: one that was changed in the same form is confirmed
// as it stands there, and a form without the tick takes it back.
func confirmed(sent url.Values, said intake.Answers) {
	for name := range sent {
		key, ok := strings.CutPrefix(name, limitOf)
		if !ok {
			continue
		}
		tick := movein.Declaration{Key: key}.ID(movein.PartConfirm)
		if said[tick] == "1" || sent.Get(confirmAll) != "" {
			said[tick] = said[sent.Get(name)]
		} else {
			said[tick] = ""
		}
	}
}
