package web

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"maps"
	"mime/multipart"
	"slices"
	"strings"
)

// digestOf tells the files of a form from every other ones, by their fields, names and bytes; "" of none.
func digestOf(form *multipart.Form) (string, error) {
	if form == nil {
		return "", nil
	}
	var b strings.Builder
	for _, field := range slices.Sorted(maps.Keys(form.File)) {
		for _, head := range form.File[field] {
			sum, err := sumOf(head)
			if err != nil {
				return "", err
			}
			fmt.Fprintf(&b, "%q %q %x\n", field, head.Filename, sum)
		}
	}
	return b.String(), nil
}

func sumOf(head *multipart.FileHeader) ([]byte, error) {
	f, err := head.Open()
	if err != nil {
		return nil, err
	}
	h := sha256.New()
	_, err = io.Copy(h, f)
	return h.Sum(nil), errors.Join(err, f.Close())
}
