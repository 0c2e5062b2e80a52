package fault

import (
	"errors"
	"strings"
)

// Placed says where a fault happened, unless it says so already.
func Placed(err error, where string) error {
	var f *Error
	if errors.As(err, &f) && f.Where == "" {
		return f.At("%s", where)
	}
	return err
}

// InField names the input field of a fault.
func InField(err error, field string) error {
	var f *Error
	if errors.As(err, &f) {
		return f.In(field)
	}
	return err
}

// Above is a fault in a part as that part sees it: a field that begins with the path loses it, another one stays.
func Above(err error, path string) error {
	if err == nil {
		return nil
	}
	var out []error
	for _, f := range All(err) {
		if rest, ok := strings.CutPrefix(f.Field, path); ok {
			f = f.In(rest)
		}
		out = append(out, f)
	}
	return errors.Join(out...)
}

// Below puts a path before the fields of all faults.
func Below(err error, path string) error {
	if err == nil {
		return nil
	}
	var out []error
	for _, f := range All(err) {
		out = append(out, f.In(path+f.Field))
	}
	return errors.Join(out...)
}
