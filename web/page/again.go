package page

import (
	"fmt"
	"net/http"
)

// Again shows the page that a form was sent from, with the form as typed.
func (f *Kit) Again(w http.ResponseWriter, r *http.Request, fail *Failure, orderID int64) error {
	return f.ShowAgain(w, r, fail.Form, fail.Err, func(w http.ResponseWriter, r *http.Request, fail *Failure) error {
		if r.PostForm.Get("back") == "bench" || orderID == 0 {
			return f.AtBench(w, r, fail)
		}
		return f.AtOrder(w, r, orderID, fail)
	})
}

// BackTo is where a form came from.
func (f *Kit) BackTo(r *http.Request, orderID int64) string {
	if r.PostForm.Get("back") == "bench" || orderID == 0 {
		return "/"
	}
	return fmt.Sprintf("/orders/%d", orderID)
}
