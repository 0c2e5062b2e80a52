package cli

import (
	"encoding/json"
	"fmt"
	"io"

	"solander/cli/desk"
	"solander/fault"
)

// faultJSON is a fault as --json writes it to the error stream.
type faultJSON struct {
	Code  fault.Code `json:"code"`
	What  string     `json:"what"`
	Where string     `json:"where,omitempty"`
	Mend  string     `json:"mend,omitempty"`
	Field string     `json:"field,omitempty"`
}

// tell writes what went wrong: for people one line a fault and its hint, for programs one JSON object.
// People read the flag that they typed, programs the name of the field. The cause of an internal failure is told too, since there is no log to look into.
func tell(w io.Writer, err error, asJSON bool, names flagNames, coloured bool) {
	faults := fault.All(err)
	if asJSON {
		rows := make([]faultJSON, len(faults))
		for i, f := range faults {
			rows[i] = faultJSON{f.Code, what(f), f.Where, f.Mend, f.Field}
		}
		enc := json.NewEncoder(w)
		enc.SetEscapeHTML(false)
		_ = enc.Encode(map[string][]faultJSON{"faults": rows}) // a broken error stream has no remedy
		return
	}
	name := "solander: "
	if coloured {
		name = desk.Red(name)
	}
	for _, f := range faults {
		text := what(f)
		if f.Where != "" {
			text = f.Where + ": " + text
		}
		if f.Field != "" && f.Field != f.Where {
			text = names.of(f.Field) + ": " + text
		}
		fmt.Fprintln(w, name+desk.Shown(desk.OneLine(text)))
		if f.Mend != "" {
			fmt.Fprintln(w, "hint: "+desk.Shown(desk.OneLine(f.Mend)))
		}
	}
}

func what(f *fault.Error) string {
	if f.Code == fault.Internal && f.Err != nil {
		return f.What + ": " + f.Err.Error()
	}
	return f.What
}
