package web

import (
	"context"
	"errors"
	"io"
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"solander/banking"
	"solander/fault"
	"solander/movein"
	"solander/picture/header"
)

// policy lets a page load its own style, script, fonts, pictures and drafts, and nothing else from anywhere; no
// script or style stands inside a page.
const policy = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; font-src 'self'; connect-src 'self'; " +
	"form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// What a page may ask of the device that it is shown on (W3C, Permissions Policy): nothing, or to see through its camera.
const (
	asksNothing = "camera=(), microphone=(), geolocation=()"
	asksToSee   = "camera=(self), microphone=(), geolocation=()"
)

// longest is how long one request may take inside the studio; a backup streams and has no such bound.
const longest = 60 * time.Second

// guard stands before every page: who may call, what is said to the browser, how much is read.
func (f *face) guard(next http.Handler) http.Handler {
	cross := http.NewCrossOriginProtection()
	cross.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		f.Away.Note("a form came from another site", r.Pattern, r)
		f.Fail(w, r, http.StatusForbidden, fault.New(fault.Refused, "this request came from another site").
			ToMend("open the page here and send the form again"))
	}))
	inner := cross.Handler(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", asksNothing)
		h.Set("Cache-Control", "no-store")
		if f.gate.Secure() && !f.near { // a phone could not go on past a warning any more when the computer has another authority
			h.Set("Strict-Transport-Security", "max-age=31536000")
		}
		if !f.known(r.Host) {
			// A page of another site whose name was pointed at this machine would come this way.
			f.Away.Note("the studio was asked for by another name", r.Pattern, r)
			http.Error(w, "this studio does not answer to that name; open it as localhost", http.StatusMisdirectedRequest)
			return
		}
		inner.ServeHTTP(w, r)
	})
}

// known reports whether a Host header names this machine: a loopback address, localhost, or one of
// Options.Hosts.
func (f *face) known(host string) bool {
	name := host
	if h, _, err := net.SplitHostPort(host); err == nil {
		name = h
	}
	name = strings.ToLower(strings.TrimSuffix(strings.Trim(name, "[]"), "."))
	if f.near { // the door has looked: it knows the names of its certificate
		return true
	}
	if name == "localhost" || slices.Contains(f.hosts, name) {
		return true
	}
	ip, err := netip.ParseAddr(name)
	return err == nil && ip.IsLoopback()
}

// files are what a route takes beside a form: how large one may be, in bytes, and what to do with a larger one. The zero value is none.
type files struct {
	most int64
	mend string
}

var (
	ofSales    = files{movein.MaxFile, "save the sheet with the sales alone, or save it as CSV in parts"}
	ofBanks    = files{banking.MaxFile, "ask the bank for a shorter span"}
	ofPictures = files{header.MaxFile, "save the picture smaller"}
	ofStudio   = files{64 << 30, "bring it in by: solander restore FILE"}
	ofData     = files{8 << 20, "take one that was downloaded here"}
)

// readForm reads the query and the body of a request, with files when the route takes them. Faults: TooLarge past
// MaxBody, or past the size of a file; Invalid for what is no form or not UTF-8.
func readForm(w http.ResponseWriter, r *http.Request, takes files) error {
	r.Body = http.MaxBytesReader(w, r.Body, MaxBody+takes.most)
	if err := parseForm(r, takes.most > 0); err != nil {
		var big *http.MaxBytesError
		switch {
		case errors.As(err, &big) && takes.most > 0:
			return fault.New(fault.TooLarge, "the file has more than %d MB", takes.most>>20).In("file").ToMend("%s", takes.mend).Because(err)
		case errors.As(err, &big):
			return fault.New(fault.TooLarge, "more than %d MB were sent", MaxBody>>20).ToMend("send less at once").Because(err)
		case fault.Is(err, fault.Invalid):
			return err
		}
		return fault.New(fault.Invalid, "the form could not be read").ToMend("open the page anew and send it again").Because(err)
	}
	if r.Method == http.MethodPost && r.Header.Get("Content-Type") == "" || r.PostForm == nil && r.Method == http.MethodPost {
		return fault.New(fault.Invalid, "this is not a form").ToMend("open the page anew and send it again")
	}
	for name, values := range r.Form {
		for _, v := range values {
			if !utf8.ValidString(name) || !utf8.ValidString(v) {
				return fault.Invalidf(strings.ToValidUTF8(name, "?"), "it is not UTF-8 text").ToMend("type it again")
			}
		}
	}
	return nil
}

// inMemory is how much of the files of one form is held in memory; the rest stands in temporary files until the
// answer is given.
const inMemory = 8 << 20

func parseForm(r *http.Request, files bool) error {
	if !strings.HasPrefix(r.Header.Get("Content-Type"), "multipart/") {
		return r.ParseForm()
	}
	if !files {
		return fault.New(fault.Invalid, "files are not read here").ToMend("paste the text instead")
	}
	return r.ParseMultipartForm(inMemory)
}

// forget removes the temporary files of a form.
func forget(r *http.Request) {
	if r.MultipartForm != nil {
		_ = r.MultipartForm.RemoveAll() // what cannot be removed is removed with the folder of temporary files
	}
}

// drain reads what is left of a body, up to the bound, so that a browser still sees the answer.
func drain(r *http.Request) { _, _ = io.Copy(io.Discard, r.Body) }

// inTime gives a request its bound, and a lower one to what it plans, so that the page has an answer.
func (f *face) inTime(r *http.Request) (*http.Request, context.CancelFunc) {
	ctx, stop := context.WithTimeout(r.Context(), longest)
	ctx, release := f.Searching(ctx)
	return r.WithContext(ctx), func() {
		release()
		stop()
	}
}
