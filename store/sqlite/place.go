package sqlite

import (
	"net/url"
	"path/filepath"
	"strings"

	"solander/fault"
)

// Path returns the file that a place names.
func Path(place string) (string, error) {
	path := strings.TrimPrefix(strings.TrimPrefix(place, "sqlite:"), "//")
	if path == "" || strings.Contains(path, ":memory:") || strings.IndexByte(path, 0) >= 0 {
		return "", fault.Invalidf("store", "%.80q names no file", place).ToMend("give the path of a file, such as studio.db")
	}
	abs, err := filepath.Abs(path)
	if err != nil {
		return "", err
	}
	return abs, nil
}

// dsn makes a URI of a path, whatever signs it holds, and of the driver's parameters.
func dsn(path string, query url.Values) string {
	u := url.URL{Scheme: "file", Path: path, RawQuery: query.Encode()}
	return u.String()
}
