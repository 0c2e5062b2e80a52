package studio

import (
	"errors"

	"solander/fault"
)

// Below puts a path before the fields of all faults.
func Below(err error, path string) error {
	if err == nil {
		return nil
	}
	var out []error
	for _, f := range fault.All(err) {
		out = append(out, f.In(path+f.Field))
	}
	return errors.Join(out...)
}
