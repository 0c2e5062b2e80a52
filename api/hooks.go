package api

import (
	"encoding/json"
	"errors"
	"net/http"
	"strconv"

	"solander/api/problem"
	"solander/fault"
	"solander/feeds"
)

// The headers of a message.
const (
	stampHeader     = "Solander-Time"
	signatureHeader = "Solander-Signature"
)

// received is what the sender of a message is answered.
type received struct {
	Result string `json:"result"` // "taken" or "passed"
	Why    string `json:"why,omitempty"`
	Ref    string `json:"ref,omitempty"`
	Mark   string `json:"mark,omitempty"`
}

// hook takes a signed message: "POST /hooks/{feed}".
func (f *face) hook(w http.ResponseWriter, r *http.Request) {
	code, answer, err := f.receive(w, r)
	if err != nil {
		p := f.told(r.Context(), err)
		if p.Status == http.StatusUnauthorized {
			p.GetHeaders().Set("WWW-Authenticate", signatureHeader+` realm="solander"`)
		}
		if p.Status == http.StatusForbidden {
			p.GetHeaders().Del("WWW-Authenticate")
		}
		if err := p.Write(w); err != nil {
			f.log.Debug("a sender left early", "err", err)
		}
		return
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(code)
	if err := json.NewEncoder(w).Encode(answer); err != nil {
		f.log.Debug("a sender left early", "err", err)
	}
}

// receive verifies a message before anything is counted against its feed: what is not signed is counted among strangers, and
// stops nobody who can sign.
func (f *face) receive(w http.ResponseWriter, r *http.Request) (int, received, error) {
	id, err := strconv.ParseInt(r.PathValue("feed"), 10, 64)
	if err != nil {
		return 0, received{}, fault.New(fault.Missing, "there is no such web-hook").ToMend("look at the address")
	}
	in, err := f.verified(w, r, feeds.Message{Feed: id, Stamp: r.Header.Get(stampHeader), Signatures: r.Header.Get(signatureHeader)})
	if err != nil {
		return 0, received{}, f.stranger(r, err)
	}
	if err := f.limits.take(callers{id, byHook}, in.AMinute); err != nil {
		return 0, received{}, err
	}
	taken, err := feeds.TakeMessage(r.Context(), f.studio, in, say)
	switch {
	case err != nil:
		return 0, received{}, inMessage(err)
	case taken.Passed != "":
		return http.StatusOK, received{Result: "passed", Why: taken.Passed}, nil
	}
	t, err := again(taken.Answer)
	if err != nil {
		return 0, received{}, err
	}
	return http.StatusCreated, received{Result: "taken", Ref: t.Body.Ref, Mark: t.Body.Mark}, nil
}

// verified looks at the headers, then reads the body up to its bound, then reckons the signature: what costs more comes later.
func (f *face) verified(w http.ResponseWriter, r *http.Request, in feeds.Message) (feeds.Signed, error) {
	if err := feeds.LooksSigned(f.studio, in); err != nil {
		return feeds.Signed{}, err
	}
	var err error
	if in.Body, err = readBody(w, r); err != nil {
		return feeds.Signed{}, err
	}
	return feeds.Verified(r.Context(), f.studio, in)
}

// strangersAMinute is how many messages that nobody signed are told why in a minute; to more it is only said that they are too many.
const strangersAMinute = 60

// stranger counts a message that is refused before it is known whose it is.
func (f *face) stranger(r *http.Request, err error) error {
	if !fault.Is(err, fault.Unknown) {
		return err
	}
	f.away.Note("a message is not signed for its web-hook", hookPattern, r)
	if many := f.limits.take(callers{0, byHook}, strangersAMinute); many != nil {
		return many
	}
	return err
}

// inMessage places faults in the sender's own message.
func inMessage(err error) error {
	var u *feeds.Unread
	if !errors.As(err, &u) {
		return err
	}
	return problem.At(err, func(field string) problem.Detail { return problem.Detail{Pointer: u.Source(field)} })
}
