package web

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"sync"

	"solander/studio"
	"solander/web/page"
)

// onceBook remembers the forms that were sent, by the key that stood hidden in them, so that the second sender of a
// double click waits for the first and gets its very answer. That a thing is done once does not rest on it: the key
// is kept in the transaction that writes (studio.Form).
type onceBook struct {
	mu   sync.Mutex
	sent map[onceKey]*onceEntry
	old  []onceKey // in the order they came
}

type onceKey [sha256.Size]byte

type onceEntry struct {
	done chan struct{} // closed when to is known
	to   string        // where the first sender was led; "" = it failed, and may be sent again
}

// mostOnce is how many forms are remembered; the oldest are forgotten first.
const mostOnce = 4096

func newOnceBook() *onceBook { return &onceBook{sent: map[onceKey]*onceEntry{}} }

// keyOf tells a sent form from every other one, by its key and all that was sent, with the digest of its files.
func keyOf(path string, form url.Values, files string) onceKey {
	return sha256.Sum256([]byte(path + "\n" + form.Encode() + "\n" + files))
}

// begin notes that a form is being worked on. first is false when it was, or is being, already: then
// entry.done tells when the first is through.
func (b *onceBook) begin(key onceKey) (entry *onceEntry, first bool) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if e, there := b.sent[key]; there {
		return e, false
	}
	e := &onceEntry{done: make(chan struct{})}
	b.sent[key] = e
	b.old = append(b.old, key)
	if len(b.old) > mostOnce {
		delete(b.sent, b.old[0])
		b.old = b.old[1:]
	}
	return e, true
}

// end notes where the first sender was led; a failed form is forgotten.
func (b *onceBook) end(key onceKey, e *onceEntry, to string) {
	b.mu.Lock()
	if to == "" && b.sent[key] == e {
		delete(b.sent, key)
	}
	b.mu.Unlock()
	e.to = to
	close(e.done)
}

// watched tells where a handler led the browser.
type watched struct {
	http.ResponseWriter
	status int
}

func (w *watched) WriteHeader(status int) {
	w.status = status
	w.ResponseWriter.WriteHeader(status)
}

// Unwrap lets http.ResponseController see through.
func (w *watched) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// doOnce runs h for the first sender of a form and leads every other one where the first was led, or to what it did.
func (f *face) doOnce(w http.ResponseWriter, r *http.Request, h func(http.ResponseWriter) error) error {
	form := studio.FormOf(r.Context())
	form.Key = r.PostForm.Get("once")
	if form.Key == "" {
		return h(w)
	}
	sent, err := digestOf(r.MultipartForm)
	if err != nil {
		return err
	}
	form.Key += sent // another file is another form
	key := keyOf(r.URL.Path, r.PostForm, sent)
	form.Print = hex.EncodeToString(key[:])
	err = f.doFirstOf(w, r, key, func(w http.ResponseWriter) error {
		if err := f.Studio.SentBefore(r.Context(), form); err != nil {
			return err
		}
		return h(w)
	})
	var before *studio.SentBefore
	if errors.As(err, &before) {
		return leadToDone(w, r, before.Mark)
	}
	return err
}

// leadToDone leads the sender of a form that was done before to what it did: to its order, or to the page of the
// form, with the words of its mark.
func leadToDone(w http.ResponseWriter, r *http.Request, m studio.Mark) error {
	to := "/"
	if from, err := url.Parse(r.Referer()); err == nil && from.Host == r.Host && strings.HasPrefix(from.Path, "/") {
		to = from.EscapedPath()
	}
	if m.Order != 0 {
		to = "/orders/" + strconv.FormatInt(m.Order, 10)
	}
	to = page.With(to, "said", "before")
	if m.ID != 0 {
		to = page.With(to, "marked", strconv.FormatInt(m.ID, 10))
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

func (f *face) doFirstOf(w http.ResponseWriter, r *http.Request, key onceKey, h func(http.ResponseWriter) error) error {
	for {
		entry, first := f.once.begin(key)
		if first {
			return f.doFirst(w, key, entry, h)
		}
		select {
		case <-entry.done:
		case <-r.Context().Done():
			return r.Context().Err()
		}
		if entry.to != "" {
			http.Redirect(w, r, entry.to, http.StatusSeeOther)
			return nil
		}
	}
}

func (f *face) doFirst(w http.ResponseWriter, key onceKey, entry *onceEntry, h func(http.ResponseWriter) error) error {
	to := ""
	defer func() { f.once.end(key, entry, to) }() // also when h panics
	seen := &watched{ResponseWriter: w}
	err := h(seen)
	if err == nil && seen.status == http.StatusSeeOther {
		to = w.Header().Get("Location")
	}
	return err
}
