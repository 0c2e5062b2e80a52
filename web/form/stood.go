package form

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"net/http"
	"net/url"
	"strings"

	"solander/fault"
)

// Sealed notes what stands in a form that changes something, so that its sender is told when another window changed
// the same meanwhile. It is the last thing that is asked. Fields that say nothing do not count: a list that may be chosen from may
// grow.
func (f *Form) Sealed() *Form {
	var all strings.Builder
	for _, fd := range f.fields {
		if fd.Value != "" {
			all.WriteString(fd.Name + "\x00" + fd.Value + "\x00")
		}
	}
	sum := sha256.Sum256([]byte(all.String()))
	f.Ask("stood", "").As("hidden").Is(hex.EncodeToString(sum[:12]))
	return f
}

// MovedOn is the error of a form that was made when something else stood in it than stands now.
type MovedOn struct {
	error
	stands string // the seal of what stands now
}

func (m *MovedOn) Unwrap() error { return m.error }

// Failed takes over what was typed into a form that could not be done, and says what is wrong with it. She was told when
// something else stands now: sent again, it stands.
func (f *Form) Failed(typed url.Values, err error) []Line {
	now := map[*Field]string{} // the fields that say what stood
	for _, fd := range f.fields {
		if fd.Name == "stood" || strings.HasPrefix(fd.Name, "stood_") {
			now[fd] = fd.Value
		}
	}
	f.Read(typed)
	var m *MovedOn
	switch {
	case errors.As(err, &m):
		f.Find("stood").Value = m.stands
	case fault.Is(err, fault.Changed): // a rule saw it, and the form is made of what stands now
		for fd, value := range now {
			fd.Value = value
		}
	}
	return f.Blame(err)
}

// mostTold is how many characters of what stands in a field are told beside it.
const mostTold = 80

// StillAs refuses what was typed into a form that was made when something else stood in it than stands now in f, and
// says of each field what stands there. What was sent without a seal is taken for what it says. Faults: Taken.
func (f *Form) StillAs(typed url.Values) error {
	return f.still(typed, true, func(*Field) bool { return true })
}

// StillAsRows does so for a form whose rows may have moved: of their fields nothing is told, for another one may stand in the same
// place. Its page shows what stands now.
func (f *Form) StillAsRows(typed url.Values) error {
	same := true
	for name := range typed {
		same = same && (!strings.Contains(name, "[") || typed.Get(name) == "" || f.Find(name) != nil) // a row that stands no more
	}
	return f.still(typed, same, func(fd *Field) bool { return !strings.Contains(fd.Name, "[") })
}

func (f *Form) still(typed url.Values, same bool, told func(*Field) bool) error {
	seal, then := f.Find("stood"), typed.Get("stood")
	if seal == nil || then == "" || then == seal.Value {
		return nil
	}
	var l fault.List
	for _, fd := range f.fields {
		if fd.Kind == "hidden" || strings.TrimSpace(strings.ReplaceAll(typed.Get(fd.Name), "\r\n", "\n")) == strings.TrimSpace(fd.Value) {
			continue
		}
		if same = false; told(fd) {
			l.Add(fault.New(fault.Taken, "%s", standsNow(fd)).In(fd.Name))
		}
	}
	if same {
		return nil // both windows say the same
	}
	first := fault.New(fault.Taken, "this was changed in another window since the page was opened").
		ToMend("take over what should stay, and save again: then this stands")
	return &MovedOn{errors.Join(first, l.Err()), seal.Value}
}

func standsNow(fd *Field) string {
	switch {
	case fd.Kind == "check" && fd.Checked():
		return "it is ticked now"
	case fd.Kind == "check":
		return "it is not ticked now"
	case fd.Value == "":
		return "it is empty now"
	case len([]rune(fd.Value)) > mostTold || strings.Contains(fd.Value, "\n"):
		return "something else stands here now; open the page in another window to read it"
	}
	for _, o := range fd.Options {
		if o.Value == fd.Value {
			return "it is “" + o.Text + "” now"
		}
	}
	return "it is “" + fd.Value + "” now"
}

// Changing changes what stands by a form: the form is made of what stands, and what was typed is taken over it.
func Changing[T any](r *http.Request, build func(*T) *Form) func(*T) error {
	return func(v *T) error {
		now := *v
		fm := build(&now)
		if err := fm.StillAs(r.PostForm); err != nil {
			return err
		}
		if err := fm.Take(r.PostForm); err != nil {
			return err
		}
		*v = now
		return nil
	}
}
