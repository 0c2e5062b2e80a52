package problem

import (
	"fmt"
	"net/http"

	"solander/fault"
	"solander/internal/status"
)

// meanings say what each problem means and what a program does about it.
var meanings = map[fault.Code]string{
	fault.Invalid:  "The request alone is wrong: malformed, out of range or contradictory. Mend what \"errors\" names, and send it again under the same or another key.",
	fault.Missing:  "What the request names does not exist, or not for this feed.",
	fault.Taken:    "The reference or the number is taken, the idempotency key was used for another request, or the message was sent before.",
	fault.Refused:  "A rule of the studio forbids it as things stand. The sentence says which, and what would have to change.",
	fault.TooLarge: "The body is larger than is read.",
	fault.Unknown:  "There is no token, or it is not known or was revoked; of a message, the signature or its time is wrong.",
	fault.Denied:   "The feed lacks the scope for this.",
	fault.Changed:  "The order is not any more what the caller saw: read it again, and send the change with its new ETag.",
	fault.TooMany:  "The feed asks more often than it may. Wait as long as Retry-After says.",
	fault.Busy:     "The store could not answer or take the write now. Send the same request again, a write under the same key.",
	fault.Unsure:   "The store went away while it took the write: whether it stands is not known. Send the same request again under the same key: it is done once.",
	fault.Internal: "A failure of the program; the studio's log says more. Under the same key a write may be sent again: it is done once.",
}

// Explain answers what a problem's type means.
func Explain(w http.ResponseWriter, r *http.Request) {
	code := fault.Code(r.PathValue("code"))
	text, ok := meanings[code]
	if !ok {
		_ = Plain(http.StatusNotFound, "there is no such problem").Write(w) // who left early has no use for it
		return
	}
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	fmt.Fprintf(w, "%s (%d)\n\n%s\n", titles[code], status.Of(fault.New(code, "")), text)
}
