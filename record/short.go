package record

import (
	"encoding/base64"
	"fmt"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/sealog"
)

// rootShown is how many characters of a root stand in the short form of a checkpoint.
const rootShown = 12

// Short is the newest checkpoint as it stands on papers of the house: in a short form, to be compared by eye, and as it was signed; "" while nothing was.
func (t *Record) Short() (short, signed string, err error) {
	log, err := t.Log()
	if fault.Is(err, fault.Missing) {
		return "", "", nil
	}
	if err != nil {
		return "", "", err
	}
	all, err := t.Checkpoints(log.ID)
	if err != nil || len(all) == 0 {
		return "", "", err
	}
	newest := all[len(all)-1]
	text, _, _ := strings.Cut(newest.Body, "\n\n") // its signatures stand beneath
	c, err := sealog.ParseCheckpoint(text + "\n")
	if err != nil {
		return "", "", err
	}
	root := base64.StdEncoding.EncodeToString(c.Root[:])
	day := calendar.In(newest.At, t.Set.Place())
	short = fmt.Sprintf("The register as it was signed on %s: %d leaves, root %s…, key %s", day.Long(), c.Size, root[:rootShown], c.Origin)
	return short, newest.Body, nil
}
