package table

import (
	"encoding/json"
	"fmt"
	"strconv"
)

// AppendRow appends a row as it stands in copies, and as digests are made of it: a list in JSON of whole numbers, texts and null.
func AppendRow(line []byte, values []any) ([]byte, error) {
	line = append(line, '[')
	for i, v := range values {
		if i > 0 {
			line = append(line, ',')
		}
		switch v := v.(type) {
		case nil:
			line = append(line, "null"...)
		case int64:
			line = strconv.AppendInt(line, v, 10)
		case string:
			if asItIs(v) {
				line = append(append(append(line, '"'), v...), '"')
				break
			}
			text, err := json.Marshal(v)
			if err != nil {
				return line, err
			}
			line = append(line, text...)
		default:
			return line, fmt.Errorf("a %T stands in a table", v)
		}
	}
	return append(line, ']'), nil
}

// asItIs reports whether a text stands in JSON as it is: most do, and to look is quicker than to write it out by the letter.
func asItIs(text string) bool {
	for i := range len(text) {
		switch c := text[i]; {
		case c < ' ', c >= 0x7f, c == '"', c == '\\', c == '<', c == '>', c == '&':
			return false
		}
	}
	return true
}
