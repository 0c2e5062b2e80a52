package web

import (
	"encoding/json"
	"flag"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"solander/access"
	"solander/api"
	"solander/fault"
	"solander/people"
	"solander/studio"
	"solander/web/gate"
)

var update = flag.Bool("update", false, "write the page of rights anew")

// actor is somebody who asks: by the token of a session; nobody has none.
type actor struct {
	name  string
	role  access.Role
	fresh bool // proved lately who she is
	first bool // came in by a first password
	token string
	id    int64
}

// enter begins the actor's session, unless it stands.
func (a actor) enter(tx studio.Tx) error {
	if a.token == "" {
		return nil
	}
	if _, err := tx.Session(studio.HashOf(a.token)); !fault.Is(err, fault.Missing) {
		return err
	}
	x := access.Session{Person: a.id, Hash: studio.HashOf(a.token), Made: noon.Add(-2 * time.Hour), Seen: noon, Proved: noon.Add(-time.Hour)}
	if a.fresh {
		x.Proved = noon
	}
	_, err := tx.SaveSession(x)
	return err
}

// staffed makes somebody of every role, each signed in twice: once long ago, once just now.
func (s *site) staffed() []actor {
	s.t.Helper()
	actors := []actor{{name: "nobody"}}
	s.must(s.studio.Store.Write(s.ctx(), func(tx studio.Tx) error {
		for _, role := range access.Roles() {
			for _, first := range []bool{false, true} {
				p := access.Person{Name: fmt.Sprintf("%s %t", role, first), Role: role, Made: noon}
				p.Handle = p.Name
				if first {
					p.Until = noon.Add(time.Hour)
				}
				id, err := tx.SavePerson(p)
				if err != nil {
					return err
				}
				for _, fresh := range []bool{false, true} {
					a := actor{fmt.Sprintf("%s, fresh %t, first %t", role, fresh, first), role, fresh, first, fmt.Sprintf("%s-%t-%t", role, fresh, first), id}
					actors = append(actors, a)
					if err := a.enter(tx); err != nil {
						return err
					}
				}
			}
		}
		return nil
	}))
	return actors
}

// enterAgain begins the sessions anew that a route ended.
func (s *site) enterAgain(actors []actor, pattern string) {
	s.t.Helper()
	if pattern != "/sign-out" && pattern != "/account/everywhere" {
		return
	}
	s.must(s.studio.Store.Write(s.ctx(), func(tx studio.Tx) error {
		for _, a := range actors {
			if err := a.enter(tx); err != nil {
				return err
			}
		}
		return nil
	}))
}

// as is a request of an actor.
func as(a actor, method, path string) *http.Request {
	var r *http.Request
	if method == http.MethodPost {
		r = formRequest(path, nil)
	} else {
		r = httptest.NewRequest(method, "http://localhost"+path, nil)
	}
	if a.token != "" {
		r.AddCookie(&http.Cookie{Name: "solander-session", Value: a.token})
	}
	return r
}

var inPath = regexp.MustCompile(`\{[^}]*\}`)

// example is an address of a pattern, about things that are not there: whoever is let in changes nothing.
func example(pattern string) string {
	return inPath.ReplaceAllStringFunc(pattern, func(name string) string {
		switch name {
		case "{$}":
			return ""
		case "{file}":
			return "none.pdf"
		}
		return "987654"
	})
}

// what may come of a request: it passes the gate, or not.
const (
	passes  = "passes"
	signIn  = "is led to sign in"
	denied  = "is denied"
	chooses = "chooses a password first"
	proves  = "proves who it is first"
)

// outcome tells what the gate made of a request.
func outcome(h http.Handler, a actor, method, path string) string {
	w := httptest.NewRecorder()
	h.ServeHTTP(w, as(a, method, path))
	body, to := w.Body.String(), w.Header().Get("Location")
	switch {
	case w.Code == http.StatusSeeOther && strings.HasPrefix(to, "/sign-in?to="), w.Code == http.StatusUnauthorized && strings.Contains(body, "ou are not signed in here"):
		return signIn
	case w.Code == http.StatusForbidden && strings.Contains(body, "may not do this"):
		return denied
	case w.Code == http.StatusSeeOther && to == "/account/password", w.Code == http.StatusForbidden && strings.Contains(body, "ame in by a first password"):
		return chooses
	case w.Code == http.StatusSeeOther && strings.HasPrefix(to, "/account/prove?to="), w.Code == http.StatusForbidden && strings.Contains(body, "<h1>Is it you?</h1>"):
		return proves
	}
	return passes
}

// should is what the table says must come of it.
func should(row gate.Row, a actor) string {
	switch {
	case row.Open():
		return passes
	case a.token == "":
		return signIn
	case !row.May(a.role):
		return denied
	case a.first && !row.First:
		return chooses
	case row.Fresh && !a.fresh:
		return proves
	}
	return passes
}

func split(route string) (method, pattern string) {
	method, pattern, _ = strings.Cut(route, " ")
	return method, pattern
}

// driven is the routes of the pages, with their rows.
func driven(t *testing.T) (out []gate.Row) {
	t.Helper()
	table := gate.NewTable(gate.Rights())
	for _, rt := range (&face{}).routes() {
		row, ok := table[rt.method+" "+rt.path]
		if !ok {
			t.Errorf("%s %s has no row in the table of rights: nobody may ask for it", rt.method, rt.path)
			continue
		}
		out = append(out, row)
	}
	if len(out) < 150 {
		t.Fatalf("only %d routes are there", len(out))
	}
	return out
}

// Every route is asked for as every role, fresh and not, by a first password, and as nobody; what comes of it is what the table says.
func TestEveryRouteAsEveryRole(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	actors := s.staffed()
	count := map[string]int{}
	for _, row := range driven(t) {
		method, pattern := split(row.Route)
		for _, a := range actors {
			want := should(row, a)
			count[want]++
			if got := outcome(s.handler, a, method, example(pattern)); got != want {
				t.Errorf("%s as %s: %s, want: %s", row.Route, a.name, got, want)
			}
			s.enterAgain(actors, pattern)
		}
	}
	for _, what := range []string{passes, signIn, denied, chooses, proves} {
		if count[what] < 30 {
			t.Errorf("only %d requests were such that one %s", count[what], what)
		}
	}
}

// Every row matters: with another set of people, or without the proof, some request comes out otherwise than the true table says.
func TestEveryRowMatters(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	s := newSite(t)
	actors := s.staffed()
	sets := map[string]gate.Row{}
	for _, row := range gate.Rights() {
		sets[row.Who.String()] = row
	}
	mutants := 0
	for _, row := range driven(t) {
		var wrong []gate.Row
		for word, other := range sets {
			if word != row.Who.String() && other.Open() != row.Open() || word != row.Who.String() && !row.Open() {
				m := row
				m.Who = other.Who
				wrong = append(wrong, m)
			}
		}
		if !row.Open() {
			fresh, first := row, row
			fresh.Fresh, first.First = !row.Fresh, !row.First
			wrong = append(wrong, fresh, first)
		}
		if len(wrong) == 0 {
			t.Errorf("%s: no other row was tried", row.Route)
		}
		method, pattern := split(row.Route)
		for _, m := range wrong {
			mutants++
			if !slices.ContainsFunc(actors, func(a actor) bool {
				if should(m, a) == should(row, a) {
					return false
				}
				defer s.enterAgain(actors, pattern)
				f := newFace(s.studio, Options{Patience: patient})
				f.rights[row.Route] = m
				return outcome(f.handler(), a, method, example(pattern)) != should(row, a)
			}) {
				t.Errorf("%s as %s, fresh %t, first %t, is not found", row.Route, m.Who, m.Fresh, m.First)
			}
		}
	}
	if mutants < 800 {
		t.Errorf("only %d rows were tried", mutants)
	}
}

// What is on no list is on it: each call for programs, the web-hooks, the files of style; and each row is of something that is there.
func TestTheTableOfRightsIsWhole(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	there := map[string]bool{"GET /static/": true, "GET /opened": true, "POST /hooks/{feed}": true, "GET " + api.Base + "/openapi.json": true, "GET " + api.Base + "/problems/{code}": true}
	for _, rt := range (&face{}).routes() {
		there[rt.method+" "+rt.path] = true
	}
	w := httptest.NewRecorder()
	programs := api.New(s.studio, api.Options{})
	programs.ServeHTTP(w, httptest.NewRequest("GET", "http://localhost"+api.Base+"/openapi.json", nil))
	var described struct {
		Paths map[string]map[string]json.RawMessage `json:"paths"`
	}
	s.must(json.Unmarshal(w.Body.Bytes(), &described))
	calls := 0
	for path, methods := range described.Paths {
		for method := range methods {
			there[strings.ToUpper(method)+" "+api.Base+strings.TrimPrefix(path, api.Base)] = true
			calls++
		}
	}
	if calls < 10 {
		t.Fatalf("only %d calls are described", calls)
	}
	table := gate.NewTable(gate.Rights())
	for route := range there {
		if _, ok := table[route]; !ok {
			t.Errorf("%s has no row", route)
		}
	}
	for route, row := range table {
		if !there[route] {
			t.Errorf("%s is a row of nothing", route)
		}
		// Without its own key a call answers nothing.
		if method, pattern := split(route); strings.HasPrefix(pattern, api.Base) && row.Who.String() == "its own key" {
			w := httptest.NewRecorder()
			r := httptest.NewRequest(method, "http://localhost"+example(pattern), strings.NewReader("{}"))
			r.Header.Set("Content-Type", "application/json")
			if programs.ServeHTTP(w, r); w.Code != http.StatusUnauthorized {
				t.Errorf("%s without a key answers %d", route, w.Code)
			}
		}
	}
}

// The page of rights is the table, as it stands.
func TestPageOfRights(t *testing.T) {
	var b strings.Builder
	b.WriteString("# Who may ask for what\n\nThe table that stands before every page (`web/gate/rights.go`), as a test writes it. *Proof*: who may, must have shown within the last " +
		fmt.Sprintf("%d", int(people.FreshFor.Minutes())) + " minutes\nwho they are. *Its own key*: the address asks for a secret of its own, whoever asks. Before there is an account, whoever sits at the machine is asked nothing.\n\n" +
		"| address | who may | proof |\n|---|---|---|\n")
	for _, row := range gate.Rights() {
		proof := ""
		if row.Fresh {
			proof = "yes"
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s |\n", row.Route, row.Who, proof)
	}
	b.WriteString("\nWho signs in from another machine by a password alone, while a second factor is demanded of them, reaches of all this only what is open to anyone, and:\n\n")
	for _, row := range gate.Rights() {
		if row.Bare {
			fmt.Fprintf(&b, "- `%s`\n", row.Route)
		}
	}
	const page = "../docs/rights.md"
	if *update {
		if err := os.WriteFile(page, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(page)
	if err != nil || string(got) != b.String() {
		t.Errorf("%s is another table than web/gate/rights.go (%v): write it by go test ./web -run PageOfRights -update", page, err)
	}
}
