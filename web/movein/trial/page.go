// Package trial is the page of a file's trial: what bringing it in would do, and the fields that ask what only she can say. It
// is made of the trial alone, without a store.
package trial

import (
	"fmt"

	"solander/intake"
	"solander/intake/kept"
	"solander/movein"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// Page shows what bringing a file in would do, and asks what only she can say.
type Page struct {
	page.Frame
	Arrival   kept.Arrival
	Trial     movein.FileTrial
	Colours   string
	Problems  []problemGroup
	Left      int // problems that are not shown
	Questions []questionView
	Editions  []declarationView
	Same      []*form.Field // of all editions that say none
	Facts     []factView
	FactsLeft int
	All       *form.Field // declares all of several editions
	Plain     int         // of all unanswered facts, those plainly written
	YesTo     *form.Field // says yes to those
	Orders    []proposalView
	More      int
	Known     []proposalView
	KnownMore int
	SetAside  []asideView
	AsideMore int
	Ask       *form.Form
}

// Bounds of what one page shows.
const (
	problemsShown  = 120
	questionsShown = 60
	factsShown     = 60
	ordersShown    = 60
	asideShown     = 40
)

// problemGroup is the problems of one kind.
type problemGroup struct {
	Bars  bool
	Rule  string
	Items []problemView
}

type problemView struct {
	intake.Problem
	Where  string
	Others string
}

// questionView is a question with its field.
type questionView struct {
	intake.Question
	Place string
	Field *form.Field
}

// declarationView is an edition to be declared, with its fields.
type declarationView struct {
	movein.Declaration
	Title  string
	Size   string
	Where  string
	Fields []*form.Field
	Sure   *form.Field
	Of     *form.Field // which answer is its limit
}

// factView is a fact with the words it came from.
type factView struct {
	intake.Fact
	Where                string
	Before, Words, After string
	Field                *form.Field
}

// proposalView is an order that would be made, or is known.
type proposalView struct {
	Where  string
	Class  string
	Word   string
	Buyer  string
	Outlet string
	Placed string
	Prints []string
	Money  string
	State  string
	Mark   string
	Why    string
	Held   bool
}

type asideView struct {
	Where, Why, Text string
}

// New is what is shown of a trial. It is kept for a while, and holds no more of the file than that: a large one takes tens of
// megabytes.
func New(a kept.Arrival, t movein.FileTrial, set studio.Settings) *Page {
	p := &Page{Arrival: a, Trial: t, Ask: form.New("answers", fmt.Sprintf("/intake/%d/answers", a.ID))}
	p.Units = set.Units
	p.problems()
	p.questions()
	p.declarations(set)
	p.facts()
	p.orders()
	p.aside()
	p.Trial = movein.FileTrial{Before: t.Before, Seen: t.Seen}
	p.Trial.Counts, p.Trial.Findings, p.Trial.Mapping = t.Counts, t.Findings, t.Mapping
	p.Trial.NoAddress, p.Trial.Owing = t.NoAddress, t.Owing
	return p
}
