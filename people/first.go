package people

import (
	"context"

	"solander/access"
	"solander/fault"
	"solander/people/password"
	"solander/studio"
)

// FirstOwner makes the owner's account where there is none, and signs her in: from then on everybody is asked who they are.
// Faults: Invalid; Taken when there is an account already.
func FirstOwner(ctx context.Context, s *studio.Studio, name, word, browser string) (Entered, error) {
	if err := password.Good(word, name); err != nil {
		return Entered{}, err
	}
	kept, err := password.Keep(s.Random, word)
	if err != nil {
		return Entered{}, err
	}
	return studio.Got(ctx, s, write, func(t *Door) (Entered, error) {
		all, err := t.Persons()
		if err != nil {
			return Entered{}, err
		}
		if len(all) > 0 {
			return Entered{}, fault.New(fault.Taken, "there is an account already").ToMend("sign in")
		}
		t.Who = name // nobody else is there to say so
		p, err := t.add(s, access.Person{Name: name, Role: access.Owner, Password: kept})
		if err != nil {
			return Entered{}, err
		}
		return t.enter(s, p, browser)
	})
}

// add keeps a new person, with a handle drawn by chance.
func (t *Door) add(s *studio.Studio, p access.Person) (access.Person, error) {
	if err := p.Validate(); err != nil {
		return p, err
	}
	handle, err := s.Secret()
	if err != nil {
		return p, err
	}
	p.Handle, p.Made = handle, t.Now
	if p.ID, err = t.SavePerson(p); err != nil {
		return p, err
	}
	return p, t.Note(0, "%s may come in as %s", p.Name, p.Role.Word())
}
