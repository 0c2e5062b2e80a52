package movein

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"io"

	"solander/intake"
	"solander/movein"
)

// writeTrial writes a trial as JSON, one order after the other: a file of many rows does not stand in memory twice.
func writeTrial(out io.Writer, tr movein.FileTrial) error {
	orders := tr.Proposals
	tr.Proposals = []intake.Proposal{}
	whole, err := json.Marshal(tr)
	if err != nil {
		return err
	}
	// Within a text of JSON the quotes are escaped, so that this can stand there only as the list itself.
	head, tail, ok := bytes.Cut(whole, []byte(`"proposals":[]`))
	if !ok {
		return errors.New("a trial has no list of orders")
	}
	w := bufio.NewWriter(out)
	w.Write(head) // a failed write is told by Flush
	w.WriteString(`"proposals":[`)
	for i := range orders {
		if i > 0 {
			w.WriteString(",\n")
		}
		one, err := json.Marshal(&orders[i])
		if err != nil {
			return err
		}
		w.Write(one)
	}
	w.WriteString("]")
	w.Write(tail)
	w.WriteString("\n")
	return w.Flush()
}
