package edition

import (
	"strings"
	"testing"

	"solander/fault"
)

// Where a number can stand, by names of this test. Lines are 7 and, of others, 8.
var places = map[string]Standing{
	"free":                  {State: Free},
	"struck, free":          {State: Free, Struck: 1},
	"promised":              {State: Promised, Line: 7},
	"struck, promised":      {State: Promised, Line: 7, Struck: 1},
	"signed":                {State: Signed, Signed: true},
	"signed for 7":          {State: Signed, Signed: true, Line: 7},
	"sent":                  {State: Sent, Signed: true, Line: 7},
	"sent unsigned":         {State: Sent, Line: 7},
	"returned":              {State: Returned, Signed: true},
	"returned unsigned":     {State: Returned},
	"spoilt":                {State: Spoilt},
	"spoilt for 7":          {State: Spoilt, Line: 7},
	"spoilt again":          {State: Spoilt, Struck: 1},
	"spoilt again for 7":    {State: Spoilt, Line: 7, Struck: 1},
	"consigned":             {State: Consigned, Signed: true},
	"sold by a gallery":     {State: SoldThere, Signed: true},
	"kept":                  {State: Kept},
	"kept signed":           {State: Kept, Signed: true},
	"withdrawn":             {State: Withdrawn},
	"withdrawn signed":      {State: Withdrawn, Signed: true},
	"struck, withdrawn":     {State: Withdrawn, Struck: 1},
	"sent, returned, ended": {State: Withdrawn, Signed: true, Struck: 1},
}

// allowed says which steps a number takes and where it stands then; the last three places are an end.
// Written down from the rules of the house, not from the code: free → promised → signed → sent; returned,
// spoilt and struck again once, kept, withdrawn; or signed → consigned → sold or returned; what is signed never becomes free but by way of spoilt.
var allowed = map[string]map[Step]string{
	"free":               {Promise: "promised", Sign: "signed", Spoil: "spoilt", Keep: "kept", Withdraw: "withdrawn"},
	"struck, free":       {Promise: "struck, promised", Sign: "struck, signed", Spoil: "spoilt again", Keep: "struck, kept", Withdraw: "struck, withdrawn"},
	"promised":           {Release: "free", Sign: "signed for 7", Send: "sent unsigned", Spoil: "spoilt for 7"},
	"struck, promised":   {Release: "struck, free", Sign: "struck, signed for 7", Send: "struck, sent unsigned", Spoil: "spoilt again for 7"},
	"signed":             {Promise: "signed for 7", Consign: "consigned", Spoil: "spoilt", Keep: "kept signed", Withdraw: "withdrawn signed"},
	"signed for 7":       {Release: "signed", Send: "sent", Spoil: "spoilt for 7"},
	"sent":               {Return: "returned", Spoil: "spoilt for 7"},
	"sent unsigned":      {Return: "returned unsigned", Spoil: "spoilt for 7"},
	"returned":           {Promise: "signed for 7", Consign: "consigned", Spoil: "spoilt", Keep: "kept signed", Withdraw: "withdrawn signed"},
	"returned unsigned":  {Promise: "promised", Sign: "signed", Spoil: "spoilt", Keep: "kept", Withdraw: "withdrawn"},
	"consigned":          {Sell: "sold by a gallery", Return: "returned", Spoil: "spoilt"},
	"sold by a gallery":  {Return: "returned", Spoil: "spoilt"},
	"spoilt":             {Restrike: "struck, free", Withdraw: "withdrawn"},
	"spoilt for 7":       {Release: "spoilt", Restrike: "struck, promised"},
	"spoilt again":       {Withdraw: "struck, withdrawn"},
	"spoilt again for 7": {Release: "spoilt again"},
	"kept":               {Release: "free", Sign: "kept signed", Spoil: "spoilt", Withdraw: "withdrawn"},
	"kept signed":        {Release: "signed", Spoil: "spoilt", Withdraw: "withdrawn signed"},
}

func placed(name string) Standing {
	s, ok := places[name]
	if rest, struck := strings.CutPrefix(name, "struck, "); struck && !ok {
		s, ok = places[rest]
		s.Struck = 1
	}
	if !ok {
		panic("no place is called " + name)
	}
	return s
}

func TestSteps(t *testing.T) {
	for name, from := range places {
		from.Turn = 4
		for _, step := range allSteps() {
			after, err := from.After(step, 7, "a reason")
			to, ok := allowed[name][step]
			if !ok {
				if err == nil || !fault.Is(err, fault.Refused) && !fault.Is(err, fault.Taken) && step != Correct || after != from {
					t.Errorf("%s: %s gives %+v, %v; want a refusal and no move", name, step, after, err)
				}
				continue
			}
			want := placed(to)
			want.Turn = 5
			if err != nil || after != want {
				t.Errorf("%s: %s gives %+v, %v; want %+v (%s)", name, step, after, err, want, to)
			}
		}
	}
}

func TestStepFaults(t *testing.T) {
	for _, tc := range []struct {
		from   string
		step   Step
		line   int64
		reason string
		code   fault.Code
		says   string
	}{
		{"promised", Promise, 8, "", fault.Taken, "promised already"},
		{"signed for 7", Promise, 8, "", fault.Taken, "signed for an order already"},
		{"sent", Promise, 8, "", fault.Taken, "sent already"},
		{"consigned", Promise, 8, "", fault.Taken, "consigned already"},
		{"sold by a gallery", Promise, 8, "", fault.Taken, "sold by a gallery already"},
		{"signed for 7", Consign, 0, "", fault.Taken, "an order holds it"},
		{"returned unsigned", Consign, 0, "", fault.Refused, "not signed"},
		{"free", Consign, 0, "", fault.Refused, "not signed"},
		{"signed", Sell, 0, "", fault.Refused, "cannot take"},
		{"kept", Promise, 8, "", fault.Refused, "kept"},
		{"free", Promise, 0, "", fault.Invalid, "order line is missing"},
		{"free", Promise, -1, "", fault.Invalid, "order line is missing"},
		{"free", Send, 7, "", fault.Refused, "cannot take"},
		{"signed", Send, 7, "", fault.Refused, "no order holds it"},
		{"signed", Release, 0, "", fault.Refused, "no order holds it"},
		{"spoilt", Release, 0, "", fault.Refused, "no order holds it"},
		{"kept signed", Sign, 0, "", fault.Refused, "signed already"},
		{"signed for 7", Keep, 0, "", fault.Taken, "an order holds it"},
		{"spoilt for 7", Withdraw, 0, "why", fault.Taken, "an order holds it"},
		{"signed", Spoil, 0, "", fault.Invalid, "reason"},
		{"signed", Spoil, 0, " \t", fault.Invalid, "reason"},
		{"signed", Withdraw, 0, "", fault.Invalid, "reason"},
		{"spoilt again", Restrike, 0, "", fault.Refused, "only once"},
		{"free", "jump", 0, "", fault.Invalid, "not a step"},
		{"free", Correct, 0, "", fault.Invalid, "not a step"},
	} {
		from := placed(tc.from)
		got, err := from.After(tc.step, tc.line, tc.reason)
		if !fault.Is(err, tc.code) || !strings.Contains(err.Error(), tc.says) || got != from {
			t.Errorf("%s, %s: %+v, %v; want %s that says %q", tc.from, tc.step, got, err, tc.code, tc.says)
		}
	}
}

// log keeps the entries of one number as a store would.
type log []Entry

func (l log) now() Standing {
	if len(l) == 0 {
		return FreshStanding()
	}
	return l[len(l)-1].After
}

// take adds the entry of a step, or of a correction, if the rules allow it.
func (l *log) take(step Step, line int64, reason string) error {
	e := Entry{Seq: int64(3*len(*l) + 1), Edition: 2, Number: Number{Numbered, 17}, Step: step, Note: reason}
	var err error
	if step == Correct {
		e.After, err = Corrected(*l)
		if valid := InForce(*l); len(valid) > 0 {
			e.Undoes = valid[len(valid)-1].Turn
		}
	} else {
		e.After, err = l.now().After(step, line, reason)
	}
	if err != nil {
		return err
	}
	e.Turn = e.After.Turn
	*l = append(*l, e)
	return nil
}

func logOf(t *testing.T, steps ...Step) log {
	t.Helper()
	var l log
	for _, s := range steps {
		if err := l.take(s, 7, "a reason"); err != nil {
			t.Fatalf("%s after %v: %v", s, steps, err)
		}
	}
	return l
}

func TestCorrected(t *testing.T) {
	for _, tc := range []struct {
		steps  []Step
		stands string
		force  int // entries in force
	}{
		{[]Step{Sign, Correct}, "free", 0},
		{[]Step{Promise, Sign, Correct}, "promised", 1},
		{[]Step{Promise, Sign, Correct, Correct}, "free", 0},
		{[]Step{Promise, Sign, Correct, Sign}, "signed for 7", 2},
		{[]Step{Promise, Sign, Correct, Sign, Correct, Correct}, "free", 0},
		{[]Step{Promise, Sign, Send, Correct, Correct}, "promised", 1},
		{[]Step{Promise, Sign, Release, Correct}, "signed for 7", 2},
		{[]Step{Promise, Sign, Spoil, Correct}, "signed for 7", 2},
		{[]Step{Promise, Sign, Spoil, Restrike, Correct, Correct}, "signed for 7", 2},
		{[]Step{Promise, Spoil, Restrike, Correct, Restrike}, "struck, promised", 3},
		{[]Step{Sign, Withdraw, Correct}, "signed", 1},
	} {
		l := logOf(t, tc.steps...)
		want := placed(tc.stands)
		want.Turn = len(tc.steps)
		if got := l.now(); got != want {
			t.Errorf("%v: it stands %+v, want %+v (%s)", tc.steps, got, want, tc.stands)
		}
		if n := len(InForce(l)); n != tc.force {
			t.Errorf("%v: %d entries are in force, want %d", tc.steps, n, tc.force)
		}
		if err := Verify(l); err != nil {
			t.Errorf("%v: %v", tc.steps, err)
		}
	}
	for _, steps := range [][]Step{nil, {Sign, Correct}, {Promise, Sign, Correct, Correct}} {
		if s, err := Corrected(logOf(t, steps...)); !fault.Is(err, fault.Refused) {
			t.Errorf("after %v a correction gives %+v, %v", steps, s, err)
		}
	}
}

func TestVerifyNothing(t *testing.T) {
	if err := Verify(nil); err != nil {
		t.Error(err)
	}
	// A correction cannot come first.
	if err := Verify([]Entry{{Seq: 1, Step: Correct, Turn: 1, After: Standing{State: Free, Turn: 1}}}); !fault.Is(err, fault.Refused) {
		t.Errorf("a lone correction: %v", err)
	}
}

// Source: article on replacement prints, sculpture-centre journal, and a handbook of lithography: a
// spoilt sheet is destroyed, and its number may go to another sheet; so at most one valid sheet a number
// (worked out from there). Once a replacement too is spoilt, the number ends.
func TestOneValidSheetANumber(t *testing.T) {
	l := logOf(t, Promise, Sign, Spoil, Restrike, Sign, Send)
	if s := l.now(); s.Struck != 1 || !s.Signed || s.Line != 7 {
		t.Errorf("the replacement stands %+v", s)
	}
	l = logOf(t, Promise, Sign, Spoil, Restrike, Sign, Spoil)
	if err := l.take(Restrike, 7, "once more"); !fault.Is(err, fault.Refused) {
		t.Errorf("a third sheet: %v", err)
	}
	if err := l.take(Release, 7, ""); err != nil {
		t.Fatal(err)
	}
	if err := l.take(Withdraw, 7, "twice spoilt"); err != nil || l.now().State != Withdrawn {
		t.Errorf("it stands %+v, %v", l.now(), err)
	}
}

func allSteps() []Step {
	return []Step{Promise, Release, Sign, Send, Return, Spoil, Restrike, Keep, Withdraw, Correct}
}
