package house

import (
	"net/http"
	"time"

	"solander/fault"
	"solander/web/page"
)

// lastPage is how long the program stays after its last page, so that the browser gets style and type for it.
const lastPage = time.Second

// IsOpen answers to a second start of the program, which shows these pages instead of opening its own.
func (f *House) IsOpen(w http.ResponseWriter, _ *http.Request) error {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	_, err := w.Write([]byte(f.Opened))
	return err
}

// SaidPage says one thing, and where to go on.
type SaidPage struct {
	page.Frame
	Text string
	To   page.Link
}

// Close ends the program on her word, once its last page is out. What runs may finish; nothing that was saved is lost.
func (f *House) Close(w http.ResponseWriter, r *http.Request) error {
	if f.End == nil {
		return fault.New(fault.Refused, "this program was not started with your browser").ToMend("end it where it was started, by Ctrl+C")
	}
	fr, err := f.Frame(r, "studio", "Solander is closed")
	if err != nil {
		return err
	}
	if err := f.Show(w, r, http.StatusOK, "said", &SaidPage{Frame: fr, Text: "All that you saved is kept. You may close this window; to go on, start Solander again."}); err != nil {
		return err
	}
	time.AfterFunc(lastPage, f.End)
	return nil
}

// LookAround opens the invented studio beside hers, and leads there.
func (f *House) LookAround(w http.ResponseWriter, r *http.Request) error {
	if f.Invented == nil {
		return fault.New(fault.Refused, "this program does not open the invented studio").ToMend("start it with: solander demo")
	}
	address, err := f.Invented()
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "", "The invented studio is open")
	if err != nil {
		return err
	}
	return f.Show(w, r, http.StatusOK, "said", &SaidPage{
		Frame: fr, To: page.Link{To: address, Text: "Look around in it"},
		Text: "It has two years of sales in it, all of them invented. Try whatever you like there: it never touches your own studio.",
	})
}
