package store

import (
	"net/url"
	"path/filepath"
	"regexp"
	"strings"

	"solander/fault"
)

// keyword begins a PostgreSQL connection string of keywords, as its manual writes it (libpq, 34.1.1).
var keyword = regexp.MustCompile(`^\s*(host|hostaddr|port|dbname|database|user|password|service|sslmode|passfile)\s*=`)

// isPostgres tells a PostgreSQL connection string from the path of a file.
func isPostgres(place string) bool {
	return strings.HasPrefix(place, "postgres://") || strings.HasPrefix(place, "postgresql://") || keyword.MatchString(place)
}

// sqlitePath returns the file that a place names.
func sqlitePath(place string) (string, error) {
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

// sqliteDSN makes a URI of a path, whatever signs it holds, and of the driver's parameters.
func sqliteDSN(path string, query url.Values) string {
	u := url.URL{Scheme: "file", Path: path, RawQuery: query.Encode()}
	return u.String()
}
