package today

import (
	"fmt"

	"solander/house"
)

// nextStep is a thing to do next, with the page where it is done.
type nextStep struct {
	house.NextStep
	To string
}

func nextSteps(all []house.NextStep) []nextStep {
	var out []nextStep
	for _, n := range all {
		out = append(out, nextStep{n, pageOf(n)})
	}
	return out
}

func pageOf(n house.NextStep) string {
	switch n.Do {
	case house.AddWork:
		return "/works/new"
	case house.Declare:
		return fmt.Sprintf("/editions/new?work=%d", n.ID)
	case house.CountSheets:
		return fmt.Sprintf("/drawer/%d", n.ID)
	case house.CountShelf:
		return "/drawer"
	case house.HangPicture:
		return fmt.Sprintf("/works/%d", n.ID)
	case house.AddOutlet:
		return "/studio"
	case house.Copy:
		return "/studio"
	}
	return "/orders/new"
}
