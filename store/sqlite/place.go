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

// dsn makes a URI of a path, whatever signs it holds, and of the driver's parameters. A path of Windows begins with its drive, which
// would be read as the name of a machine. Source: sqlite.org/uri.html, 3.1: file:///C:/folder/file.
func dsn(path string, query url.Values) string {
	path = "/" + strings.TrimPrefix(filepath.ToSlash(path), "/")
	u := url.URL{Scheme: "file", Path: path, RawQuery: query.Encode()}
	return u.String()
}
