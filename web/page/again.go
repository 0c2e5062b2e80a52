package page

import (
	"cmp"
	"fmt"
	"net/http"
	"regexp"
	"strings"
)

// Again shows the page that a form was sent from, with the form as typed.
func (f *Kit) Again(w http.ResponseWriter, r *http.Request, fail *Failure, orderID int64) error {
	return f.ShowAgain(w, r, fail.Form, fail.Err, func(w http.ResponseWriter, r *http.Request, fail *Failure) error {
		if BackToBench(r) != "" || orderID == 0 {
			return f.AtBench(w, r, fail)
		}
		return f.AtOrder(w, r, orderID, fail)
	})
}

// BackTo is where a form came from.
func (f *Kit) BackTo(r *http.Request, orderID int64) string {
	if to := BackToBench(r); to != "" || orderID == 0 {
		return cmp.Or(to, "/")
	}
	return fmt.Sprintf("/orders/%d", orderID)
}

// ofBench is how a form says that it stood on the bench, and which part of it was looked at.
var ofBench = regexp.MustCompile(`^bench(\?open=[a-z-]{1,20}(&from=[0-9]{1,6})?)?$`)

// BackToBench is the address of the bench as it was when a form was sent from there; "" when it stood elsewhere.
func BackToBench(r *http.Request) string {
	back := r.PostForm.Get("back")
	if !ofBench.MatchString(back) {
		return ""
	}
	return "/" + strings.TrimPrefix(back, "bench")
}
