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
			var err error
			if line, err = appendText(line, v); err != nil {
				return line, err
			}
		default:
			return line, fmt.Errorf("a %T stands in a table", v)
		}
	}
	return append(line, ']'), nil
}

// appendText appends a text in JSON, as json.Marshal writes it: most are written as they are.
func appendText(line []byte, text string) ([]byte, error) {
	for i := range len(text) {
		switch c := text[i]; {
		case c < ' ', c > '~', c == '"', c == '\\', c == '<', c == '>', c == '&':
			quoted, err := json.Marshal(text)
			return append(line, quoted...), err
		}
	}
	line = append(line, '"')
	line = append(line, text...)
	return append(line, '"'), nil
}
