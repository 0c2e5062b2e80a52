package table

import (
	"encoding/json"
	"fmt"
	"reflect"
	"time"

	"solander/calendar"
)

// Optional is a reference kept as NULL when it is 0.
type Optional int64

// reference scans what Optional keeps.
type reference struct{ to *int64 }

func (r reference) Scan(src any) error {
	*r.to = 0
	switch v := src.(type) {
	case nil:
		return nil
	case int64:
		*r.to = v
		return nil
	}
	return fmt.Errorf("%T is no reference", src)
}

// day scans a civil day; "" is no day.
type day struct{ to *calendar.Day }

func (d day) Scan(src any) error {
	text, ok := src.(string)
	if !ok {
		return fmt.Errorf("%T is no day", src)
	}
	if text == "" {
		*d.to = calendar.Day{}
		return nil
	}
	v, err := calendar.ParseDay(text)
	*d.to = v
	return err
}

// instant scans microseconds since 1970; the zero time is kept as 0.
type instant struct{ to *time.Time }

func (i instant) Scan(src any) error {
	n, ok := src.(int64)
	if !ok {
		return fmt.Errorf("%T is no instant", src)
	}
	*i.to = time.Time{}
	if n != 0 {
		*i.to = time.UnixMicro(n).UTC()
	}
	return nil
}

func micros(t time.Time) int64 {
	if t.IsZero() {
		return 0
	}
	return t.UnixMicro()
}

// jsonText keeps and scans JSON text into what to points at.
type jsonText struct {
	to   any
	none bool // nothing is kept
}

func (j jsonText) Scan(src any) error {
	text, ok := src.(string)
	if !ok {
		return fmt.Errorf("%T is no JSON text", src)
	}
	reflect.ValueOf(j.to).Elem().SetZero() // what a row before had there stays its own
	if text == "" {
		return nil
	}
	return json.Unmarshal([]byte(text), j.to)
}

// rawJSON scans JSON text as it is.
type rawJSON struct{ to *json.RawMessage }

func (j rawJSON) Scan(src any) error {
	text, ok := src.(string)
	if !ok {
		return fmt.Errorf("%T is no JSON text", src)
	}
	*j.to = nil
	if text != "" {
		*j.to = json.RawMessage(text)
	}
	return nil
}

// AsJSON makes the text of a value.
func AsJSON(v any) (string, error) {
	b, err := json.Marshal(v)
	return string(b), err
}

// Day scans a civil day.
func Day(to *calendar.Day) any { return day{to} }

// Instant scans an instant.
func Instant(to *time.Time) any { return instant{to} }

// Raw is for JSON that is kept as it was typed.
func Raw(to *json.RawMessage) any { return rawJSON{to} }

// ScanDay reads a day as it is kept.
func ScanDay(to *calendar.Day, text string) error { return day{to}.Scan(text) }
