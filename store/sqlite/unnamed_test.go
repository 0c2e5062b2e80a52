package sqlite

import "testing"

func TestUnnamed(t *testing.T) {
	for query, want := range map[string]string{
		"SELECT 1": "SELECT 1",
		"INSERT INTO t VALUES ($1, $2), ($3, $4)": "INSERT INTO t VALUES (?, ?), (?, ?)",
		"UPDATE t SET a = $2 WHERE id = $1":       "UPDATE t SET a = $2 WHERE id = $1",
		"SELECT a FROM t WHERE a = $1 OR b = $1":  "SELECT a FROM t WHERE a = $1 OR b = $1",
		"SELECT a FROM t WHERE a = $2":            "SELECT a FROM t WHERE a = $2",
	} {
		if got := unnamed(query); got != want {
			t.Errorf("%s: got %s, want %s", query, got, want)
		}
	}
}
