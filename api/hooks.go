package api

import (
	"encoding/json"
	"errors"
	"net/http"
	"strconv"

	"solander/fault"
	"solander/studio"
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
	code, answer, err := f.receive(r)
	if err != nil {
		p := f.told(r.Context(), err)
		if p.Status == http.StatusUnauthorized {
			p.header.Set("WWW-Authenticate", signatureHeader+` realm="solander"`)
		}
		if p.Status == http.StatusForbidden {
			p.header.Del("WWW-Authenticate")
		}
		if err := p.write(w); err != nil {
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

func (f *face) receive(r *http.Request) (int, received, error) {
	id, err := strconv.ParseInt(r.PathValue("feed"), 10, 64)
	if err != nil {
		return 0, received{}, fault.New(fault.Missing, "there is no such web-hook").ToMend("look at the address")
	}
	aMinute, err := f.studio.FeedsAMinute(r.Context())
	if err != nil {
		return 0, received{}, err
	}
	if err := f.limits.take(callers{id, true}, aMinute); err != nil {
		return 0, received{}, err
	}
	in := studio.Message{Feed: id, Stamp: r.Header.Get(stampHeader), Signatures: r.Header.Get(signatureHeader), Body: callOf(r.Context()).body}
	taken, err := f.studio.TakeMessage(r.Context(), in, say)
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

// inMessage places faults in the sender's own message.
func inMessage(err error) error {
	var u *studio.Unread
	if !errors.As(err, &u) {
		return err
	}
	return misfiled{err, func(field string) Detail { return Detail{Pointer: u.Source(field)} }}
}
