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
	if f.Opened == "" {
		return fault.New(fault.Missing, "nothing is said here").ToMend("start from the bench")
	}
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	_, err := w.Write([]byte(f.Opened))
	return err
}

// ClosedPage is the last page of a program that ends.
type ClosedPage struct{ page.Frame }

// Close ends the program on her word, once its last page is out. What runs may finish; nothing that was saved is lost.
func (f *House) Close(w http.ResponseWriter, r *http.Request) error {
	if f.End == nil {
		return fault.New(fault.Refused, "this program was not started by a double click").ToMend("end it where it was started, by Ctrl+C")
	}
	fr, err := f.Frame(r, "studio", "Closed")
	if err != nil {
		return err
	}
	if err := f.Show(w, r, http.StatusOK, "closed", &ClosedPage{fr}); err != nil {
		return err
	}
	time.AfterFunc(lastPage, f.End)
	return nil
}
