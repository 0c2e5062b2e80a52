package store

import (
	"regexp"
	"strings"
)

// keyword begins a PostgreSQL connection string of keywords, as its manual writes it (libpq, 34.1.1).
var keyword = regexp.MustCompile(`^\s*(host|hostaddr|port|dbname|database|user|password|service|sslmode|passfile)\s*=`)

// isPostgres tells a PostgreSQL connection string from the path of a file.
func isPostgres(place string) bool {
	return strings.HasPrefix(place, "postgres://") || strings.HasPrefix(place, "postgresql://") || keyword.MatchString(place)
}
