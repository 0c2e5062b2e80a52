package movein

import (
	"maps"
	"strings"

	"solander/cli/desk"
	"solander/fault"
	"solander/intake"
	"solander/movein"
)

// answers adds those given one by one, each as ID=ANSWER: what stands behind the first equals sign is the answer.
func (c *intakeTryCmd) answers(to intake.Answers) error {
	for _, a := range c.Answer {
		id, value, ok := strings.Cut(a, "=")
		if !ok || strings.TrimSpace(id) == "" {
			return fault.Invalidf("answer", "%q is no answer", fault.Clip(a)).ToMend("write it like year:*=yes")
		}
		to[strings.TrimSpace(id)] = strings.TrimSpace(value)
	}
	return nil
}

// mostRounds bounds how often a yes may bring up further things to say yes to.
const mostRounds = 5

// yes says yes to all that she named, and to what comes up by it.
func (c *intakeTryCmd) yes(d *desk.Open, in *movein.FileTrialIn) error {
	for range mostRounds {
		if len(c.Yes) == 0 {
			return nil
		}
		tr, err := movein.TryFile(d.Ctx, d.Studio, *in, nil)
		if err != nil {
			return err
		}
		before := len(in.Answers)
		for _, kind := range c.Yes {
			maps.Copy(in.Answers, tr.Yes(movein.YesTo(kind)))
		}
		if len(in.Answers) == before {
			return nil
		}
	}
	return nil
}
