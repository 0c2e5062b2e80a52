package house

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"

	"solander/fault"
	"solander/internal/strict"
	"solander/pricecards"
	"solander/tariff"
	"solander/tariff/lint"
	"solander/web/form"
	"solander/web/page"
)

// CardPage asks for the file of a price card; what looks like a slip in one that was given is asked back before it is
// loaded.
type CardPage struct {
	page.Frame
	Form   *form.Form
	Card   string // its id, when it is asked back
	Doubts []lint.Finding
	Anyway *form.Form // loads it as it is
}

func cardForm() *form.Form {
	fm := form.New("card", "/studio/cards")
	fm.Ask("card", "The card, a file of JSON").As("file").Must().Wide().WithHint("docs/formats/tariff.md says what stands in it; a card that is loaded can be downloaded to begin with")
	return fm
}

// anywayForm holds the text of a card that is asked back.
func anywayForm(text string) *form.Form {
	fm := form.New("anyway", "/studio/cards")
	fm.Ask("text", "").As("hidden").Is(text)
	return fm
}

// mostCard bounds the file of a price card.
const mostCard = 8 << 20

func (f *House) NewCard(w http.ResponseWriter, r *http.Request) error {
	return f.newCard(w, r, &CardPage{Form: cardForm()}, nil)
}

func (f *House) newCard(w http.ResponseWriter, r *http.Request, p *CardPage, fail *page.Failure) (err error) {
	if p.Frame, err = f.Frame(r, "studio", "Load a price card"); err != nil {
		return err
	}
	p.Tell(fail)
	p.Put(p.Form, fail)
	return f.Show(w, r, page.StatusOf(fail), "card", p)
}

// AddCard loads a card. What looks like a slip in it is shown first, and nothing is loaded until she says so.
func (f *House) AddCard(w http.ResponseWriter, r *http.Request) error {
	text, anyway := r.PostFormValue("text"), true
	var err error
	if text == "" {
		var file []byte
		file, err = page.FileOf(r, "card", mostCard)
		text, anyway = string(strict.AsSaved(file)), false
	}
	var c tariff.Card
	if err == nil {
		c, err = tariff.Read([]byte(text))
	}
	if err == nil && !anyway {
		doubts, fault := pricecards.LookOver(r.Context(), f.Studio, c)
		if err = fault; err == nil && len(doubts) > 0 {
			return f.newCard(w, r, &CardPage{Form: cardForm(), Card: c.ID, Doubts: doubts, Anyway: anywayForm(text)}, nil)
		}
	}
	if err == nil {
		err = pricecards.AddCard(r.Context(), f.Studio, c)
	}
	if err != nil {
		if page.Ours(err) {
			return err
		}
		return f.newCard(w, r, &CardPage{Form: cardForm()}, page.FailedIn("card", r, inCard(err, "card")))
	}
	return f.DoneSaying(w, r, "/studio#cards", "card")
}

// inCard puts faults inside a card beside the field of its file, with their places there.
func inCard(err error, field string) error {
	var l fault.List
	for _, e := range fault.All(err) {
		if e.Field != field {
			e = fault.New(e.Code, "%s", e.What).At("%s", strings.TrimSpace(e.Field+" "+e.Where)).ToMend("%s", e.Mend)
		}
		l.Add(e.In(field))
	}
	return l.Err()
}

// CardFile gives a price card as a file.
func (f *House) CardFile(w http.ResponseWriter, r *http.Request) error {
	c, err := pricecards.Card(r.Context(), f.Seen(r), r.URL.Query().Get("id"))
	if err != nil {
		return err
	}
	text, err := json.MarshalIndent(c, "", "  ")
	if err != nil {
		return fmt.Errorf("price card %s: %w", c.ID, err)
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Content-Disposition", `attachment; filename="price-card.json"`)
	_, err = w.Write(append(text, '\n'))
	return err
}

func (f *House) DropCard(w http.ResponseWriter, r *http.Request) error {
	if err := pricecards.DropCard(r.Context(), f.Studio, r.PostForm.Get("id")); err != nil {
		return err
	}
	return f.DoneSaying(w, r, "/studio#cards", "card-gone")
}
