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

// Short is the newest checkpoint as it stands on papers of the house, to be compared by eye; "" while nothing was signed.
func (t *Record) Short() (string, error) {
	log, err := t.Log()
	if fault.Is(err, fault.Missing) {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	all, err := t.Checkpoints(log.ID)
	if err != nil || len(all) == 0 {
		return "", err
	}
	newest := all[len(all)-1]
	text, _, _ := strings.Cut(newest.Body, "\n\n") // its signatures stand beneath
	c, err := sealog.ParseCheckpoint(text + "\n")
	if err != nil {
		return "", err
	}
	root := base64.StdEncoding.EncodeToString(c.Root[:])
	day := calendar.In(newest.At, t.Set.Place())
	return fmt.Sprintf("The register as it was signed on %s: %d leaves, root %s…, key %s", day.Long(), c.Size, root[:rootShown], c.Origin), nil
}
