package page

import (
	"bytes"
	"errors"
	"io"
	"net/http"
	"strings"
	"unicode/utf8"

	"solander/fault"
	"solander/movein"
)

// FileOf reads a text file that was sent in a field. Faults: Invalid when none was chosen, or it is no text in UTF-8; TooLarge.
func FileOf(r *http.Request, field string, most int64) ([]byte, error) {
	file, head, err := r.FormFile(field)
	if errors.Is(err, http.ErrMissingFile) || errors.Is(err, http.ErrNotMultipart) {
		return nil, fault.Invalidf(field, "no file was chosen").ToMend("choose one")
	}
	if err != nil {
		return nil, fault.Invalidf(field, "the file could not be read").ToMend("send it again").Because(err)
	}
	defer file.Close()
	if head.Size > most {
		return nil, fault.New(fault.TooLarge, "the file has more than %d MB", most>>20).In(field).ToMend("choose a smaller one")
	}
	text, err := io.ReadAll(file)
	if err != nil {
		return nil, fault.Invalidf(field, "the file could not be read").ToMend("send it again").Because(err)
	}
	text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf")) // which some editors write before text
	switch {
	case len(bytes.TrimSpace(text)) == 0:
		return nil, fault.Invalidf(field, "the file is empty").ToMend("choose another one")
	case !utf8.Valid(text):
		return nil, fault.Invalidf(field, "the file is not text in UTF-8").ToMend("save it as UTF-8, or choose another one")
	}
	return text, nil
}

// BytesOf reads a file that was sent in a field, whatever it holds. Faults: as FileOf.
func BytesOf(r *http.Request, field string, most int64) ([]byte, error) {
	file, err := Sent(r, field)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	body, err := io.ReadAll(io.LimitReader(file, most+1))
	if err == nil && int64(len(body)) > most {
		err = fault.New(fault.TooLarge, "the file has more than %d kB", most>>10).In(field).ToMend("choose a smaller one")
	}
	return body, err
}

// Sent is a file that was sent in a field, to be read as it stands and closed. Faults: Invalid when none was chosen.
func Sent(r *http.Request, field string) (io.ReadCloser, error) {
	file, head, err := r.FormFile(field)
	switch {
	case err != nil:
		return nil, fault.Invalidf(field, "no file was chosen").ToMend("choose one").Because(err)
	case head.Size == 0:
		return nil, errors.Join(fault.Invalidf(field, "the file is empty").ToMend("choose another one"), file.Close())
	}
	return file, nil
}

// ArrivedFile reads a table that was sent in the field file; rows pasted into the field rows when there is none. Faults: Invalid
// without either.
func ArrivedFile(r *http.Request) (movein.ArriveIn, error) {
	file, head, err := r.FormFile("file")
	if err == nil {
		defer file.Close()
		if head.Size > 0 {
			body, err := io.ReadAll(io.LimitReader(file, movein.MaxFile+1))
			return movein.ArriveIn{Name: head.Filename, Body: body}, err
		}
	}
	text := r.PostForm.Get("rows")
	if strings.TrimSpace(text) == "" {
		return movein.ArriveIn{}, fault.Invalidf("file", "no file was chosen, and no rows were pasted").ToMend("choose a file, or paste rows below")
	}
	return movein.ArriveIn{Name: "pasted rows.csv", Body: []byte(text)}, nil
}
