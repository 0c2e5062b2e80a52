package front

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"solander/packing"
	"solander/tariff"
)

// Packaging says how stiff the packaging of a parcel is. It is read off the wrap, not off the pieces that were taken for it: a wrap
// whose envelopes may be soft counts as soft, whatever is on the shelf today.
type Packaging string

// The classes of packaging. Soft is anything; in Stiff packaging one layer at least is always a stiff board or a stiff envelope;
// Boxed is a carton or a tube. From one class to the next is common practice, no source.
const (
	Soft  Packaging = ""
	Stiff Packaging = "stiff"
	Boxed Packaging = "boxed"
)

// Care says how a service answers for a parcel. Each step has all that the steps before it have.
type Care string

// The steps of care. Covered is tracked, and covered for the worth of the parcel, be it by what the service includes; Signed is covered,
// and handed over against a signature.
const (
	Untracked Care = ""
	Tracked   Care = "tracked"
	Covered   Care = "covered"
	Signed    Care = "signed"
)

// Packagings lists the classes of packaging, the least first.
func Packagings() []Packaging { return []Packaging{Soft, Stiff, Boxed} }

// Cares lists the steps of care, the least first.
func Cares() []Care { return []Care{Untracked, Tracked, Covered, Signed} }

func rank[T comparable](list []T, x T) int { return slices.Index(list, x) }

// Words say the class as one reads it.
func (p Packaging) Words() string {
	return map[Packaging]string{Soft: "soft", Stiff: "stiff", Boxed: "carton or tube"}[p]
}

// Words say the step as one reads it.
func (c Care) Words() string {
	return map[Care]string{Untracked: "not tracked", Tracked: "tracked", Covered: "tracked and covered", Signed: "covered and signed for"}[c]
}

// Name is the class by one word, also that which is written as nothing.
func (p Packaging) Name() string { return cmp.Or(string(p), "soft") }

// Name is the step by one word, also that which is written as nothing.
func (c Care) Name() string { return cmp.Or(string(c), "untracked") }

// Protection is how well parcels are protected: by what they are packed in, and by who carries them. Of two, one is better only when it
// is worse in neither: a carton that nobody tracks and an envelope that is signed for are not compared.
type Protection struct {
	Packaging Packaging `json:"packaging,omitempty"`
	Care      Care      `json:"care,omitempty"`
}

// AtLeast reports whether a protection is worse in nothing than another.
func (p Protection) AtLeast(q Protection) bool {
	return rank(Packagings(), p.Packaging) >= rank(Packagings(), q.Packaging) && rank(Cares(), p.Care) >= rank(Cares(), q.Care)
}

// Steps is how many classes and steps a protection is above none: 0 to 5. It orders what is drawn; it does not decide what is better.
func (p Protection) Steps() int { return rank(Packagings(), p.Packaging) + rank(Cares(), p.Care) }

// Against says how a protection differs from another: "a class stiffer, 2 steps better covered"; "" when it does not.
func (p Protection) Against(q Protection) string {
	var out []string
	say := func(by int, one, several, better, worse string) {
		switch {
		case by == 0:
			return
		case by < 0:
			by, better = -by, worse
		}
		n := one
		if by > 1 {
			n = fmt.Sprintf("%d %s", by, several)
		}
		out = append(out, n+" "+better)
	}
	say(rank(Packagings(), p.Packaging)-rank(Packagings(), q.Packaging), "a class", "classes", "stiffer", "softer")
	say(rank(Cares(), p.Care)-rank(Cares(), q.Care), "a step", "steps", "better covered", "less covered")
	return strings.Join(out, ", ")
}

// Known reports whether both parts are among those above.
func (p Protection) Known() bool {
	return rank(Packagings(), p.Packaging) >= 0 && rank(Cares(), p.Care) >= 0
}

// worse is what neither of two falls below.
func (p Protection) worse(q Protection) Protection {
	return Protection{
		Packagings()[min(rank(Packagings(), p.Packaging), rank(Packagings(), q.Packaging))],
		Cares()[min(rank(Cares(), p.Care), rank(Cares(), q.Care))],
	}
}

// packagingOf is the class of a wrap, by its layers and what of a shelf may stand in them.
func packagingOf(w *packing.Wrap, shelf []packing.Item) Packaging {
	if outer := w.Layers[len(w.Layers)-1].Kind; outer == packing.Carton || outer == packing.Tube {
		return Boxed
	}
	for i := range w.Layers {
		l := &w.Layers[i]
		if l.Of != "" || l.Takes() == packing.PerGap || l.Kind != packing.Board && l.Kind != packing.Envelope {
			continue // it does not go round all of them; nothing lies in the gaps of one sheet
		}
		some, soft := false, false
		for j := range shelf {
			if it := &shelf[j]; it.Kind == l.Kind && (len(l.Items) == 0 || slices.Contains(l.Items, it.ID)) {
				some, soft = true, soft || !it.Stiff
			}
		}
		if some && !soft {
			return Stiff
		}
	}
	return Soft
}

// careOf is the step of care that a planned parcel has.
func careOf(pc *packing.Parcel, s *tariff.Service) Care {
	price, _, covered := s.Cover.Price(pc.Value)
	switch {
	case !s.Tracking:
		return Untracked
	case !covered || price > 0 && pc.Cover < pc.Value:
		return Tracked
	case !pc.Signature:
		return Covered
	}
	return Signed
}

// protectionOf is the protection of a planned parcel.
func protectionOf(p *packing.Problem, pc *packing.Parcel) Protection {
	var out Protection
	for i := range p.Wraps {
		if p.Wraps[i].ID == pc.Wrap {
			out.Packaging = packagingOf(&p.Wraps[i], p.Shelf)
		}
	}
	for i := range p.Cards {
		if s := p.Cards[i].Service(pc.Service); s != nil && p.Cards[i].ID == pc.Card {
			out.Care = careOf(pc, s)
		}
	}
	return out
}
