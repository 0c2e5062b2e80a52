package store

import (
	"encoding/json"
	"fmt"
	"time"

	"solander/calendar"
)

// optional is a reference kept as NULL when it is 0.
type optional int64

// reference scans what optional keeps.
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

// inJSON scans JSON text into what to points at.
type inJSON struct{ to any }

func (j inJSON) Scan(src any) error {
	text, ok := src.(string)
	if !ok {
		return fmt.Errorf("%T is no JSON text", src)
	}
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

func asJSON(v any) (string, error) {
	b, err := json.Marshal(v)
	return string(b), err
}
