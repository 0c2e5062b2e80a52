package sqlite

import "testing"

// TestURIOfAPath: a file is named to the engine by what its manual takes for it on each system.
// Source: sqlite.org/uri.html, 3.1 and 3.2: file:///C:/folder/file; file:////server/share/file; signs by %HH.
func TestURIOfAPath(t *testing.T) {
	for path, want := range map[string]string{ // with slashes, as filepath.ToSlash leaves them on Windows
		"/home/ines/studio.db":          "file:///home/ines/studio.db",
		"/home/ines/a b?c#d%e/ö.db":     "file:///home/ines/a%20b%3Fc%23d%25e/%C3%B6.db",
		"C:/Users/Inés Vale/studio.db":  "file:///C:/Users/In%C3%A9s%20Vale/studio.db",
		"//server/prints/studio.db":     "file:////server/prints/studio.db",
		"//?/C:/a long path/studio.db":  "file:////%3F/C:/a%20long%20path/studio.db",
		"/home/ines/C:/of the drive.db": "file:///home/ines/C:/of%20the%20drive.db",
	} {
		if got := dsn(path, nil); got != want {
			t.Errorf("%s: got %s, want %s", path, got, want)
		}
	}
}
