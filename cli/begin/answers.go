package begin

import (
	"context"
	"net/http"
	"strings"

	"solander/cli/desk"
	"solander/fault"
)

type Answers struct {
	At string `default:"http://127.0.0.1:8420/" placeholder:"ADDRESS" help:"Where the pages are."`
}

func (Answers) Help() string {
	return `For whoever watches over a program that serves: it ends with 0 when the pages answer, whatever they say to a stranger, and
with another code when nobody answers within two seconds, or the program cannot answer.

Example:

  solander answers
  solander answers --at http://127.0.0.1:8500/`
}

// Run asks the first page. Faults: Invalid, Busy.
func (c *Answers) Run(d *desk.Desk) error {
	if !strings.HasPrefix(c.At, "http://") && !strings.HasPrefix(c.At, "https://") {
		return fault.Invalidf("at", "%.60q is no address of pages", c.At).ToMend("write it like http://127.0.0.1:8420/")
	}
	ctx, stop := context.WithTimeout(d.Ctx, askTime)
	defer stop()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, c.At, nil)
	if err != nil {
		return fault.Invalidf("at", "%.60q is no address of pages", c.At).ToMend("write it like http://127.0.0.1:8420/").Because(err)
	}
	asker := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	res, err := asker.Do(req)
	if err != nil {
		return fault.New(fault.Busy, "nobody answers at %.60s", c.At).In("at").ToMend("look whether the program runs: solander serve").Because(err)
	}
	defer res.Body.Close()
	if res.StatusCode >= http.StatusInternalServerError {
		return fault.New(fault.Busy, "%.60s answers %d", c.At, res.StatusCode).In("at").ToMend("look at what the program has written")
	}
	return d.Say(map[string]string{"address": c.At}, "%s answers", c.At)
}
