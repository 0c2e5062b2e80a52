package desk

import (
	"path/filepath"
	"testing"
)

// The folders are those of the XDG Base Directory Specification 0.8, of FOLDERID_LocalAppData and of Apple's File System Programming
// Guide; the texts were not read again here.
func TestDataFolder(t *testing.T) {
	home := filepath.Join(string(filepath.Separator), "home", "ada")
	plain := filepath.Join(home, ".local", "share", "solander")
	for _, c := range []struct {
		name, system string
		env          map[string]string
		there        bool // a studio of before stands in the plain folder
		want         string
	}{
		{"Linux", "linux", map[string]string{"HOME": home}, false, plain},
		{"Linux with XDG", "linux", map[string]string{"HOME": home, "XDG_DATA_HOME": filepath.Join(home, "data")}, true, filepath.Join(home, "data", "solander")},
		{"a relative XDG folder is none", "linux", map[string]string{"HOME": home, "XDG_DATA_HOME": "data"}, false, plain},
		{"macOS", "darwin", map[string]string{"HOME": home}, false, filepath.Join(home, "Library", "Application Support", "solander")},
		{"macOS, begun before", "darwin", map[string]string{"HOME": home}, true, plain},
		{"Windows", "windows", map[string]string{"LOCALAPPDATA": home, "HOME": "elsewhere"}, false, filepath.Join(home, "solander")},
		{"a stray word of Windows", "linux", map[string]string{"LOCALAPPDATA": "elsewhere", "HOME": home}, false, plain},
		{"nothing known", "linux", nil, false, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := dataFolder(c.system, func(name string) string { return c.env[name] }, func(path string) bool { return c.there && path == plain })
			if got != c.want {
				t.Errorf("it is %q, want %q", got, c.want)
			}
		})
	}
}
