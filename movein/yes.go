package movein

import (
	"strconv"

	"solander/intake"
)

// YesTo names what can be said yes to at once.
type YesTo string

// The kinds.
const (
	YesToFacts  YesTo = "facts"  // facts of notes that are written plainly and that nothing contradicts
	YesToOffers YesTo = "offers" // questions with an answer that is offered, such as the year of days without one
	YesToLimits YesTo = "limits" // the limits of new editions, where the file or she says them
)

// Yes returns the answers that say yes to all of a kind that is not answered yet.
func (t FileTrial) Yes(to YesTo) intake.Answers {
	out := intake.Answers{}
	switch to {
	case YesToFacts:
		for _, p := range t.Proposals {
			for _, f := range p.Facts {
				if p.Status != intake.Known && !f.Taken && !f.Refused && f.Sure == intake.Plain && len(f.Against) == 0 {
					out[f.ID] = intake.Yes
				}
			}
		}
	case YesToOffers:
		for _, q := range t.Questions {
			if q.Answer == "" && q.Offer != "" {
				out[q.ID] = q.Offer
			}
		}
	case YesToLimits:
		for _, d := range t.Declarations {
			if d.LimitSaid && !d.Confirmed {
				out[d.ID(PartConfirm)] = strconv.Itoa(d.Edition.Limit)
			}
		}
	}
	return out
}
