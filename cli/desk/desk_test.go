package desk

import (
	"bytes"
	"errors"
	"io"
	"os"
	"testing"

	"solander/fault"
)

// of is an environment with nothing but variables.
func of(vars map[string]string) Env { return Env{Get: func(name string) string { return vars[name] }} }

func TestWhereTheStudioIsKept(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct {
		flag string
		vars map[string]string
		want string
	}{
		{"", map[string]string{"HOME": "/home/ines"}, "/home/ines/.local/share/solander/studio.db"},
		{"", map[string]string{"HOME": "/home/ines", "XDG_DATA_HOME": "/data"}, "/data/solander/studio.db"},
		{"", map[string]string{"HOME": "/home/ines", "SOLANDER_STORE": "/prints/s.db"}, "/prints/s.db"},
		{"/other.db", map[string]string{"SOLANDER_STORE": "/prints/s.db"}, "/other.db"},
		{dir, nil, dir + "/studio.db"},
		{"postgres:///prints", nil, "postgres:///prints"},
	} {
		d := &Desk{Env: of(c.vars), Place: c.flag}
		if got, err := d.placeOf(); err != nil || got != c.want {
			t.Errorf("--store %q with %v: %q, %v; want %q", c.flag, c.vars, got, err, c.want)
		}
	}
	if _, err := (&Desk{Env: of(nil)}).placeOf(); !fault.Is(err, fault.Invalid) {
		t.Errorf("without a home: %v", err)
	}
}

func TestPickByName(t *testing.T) {
	rows := []string{"Heron at dusk, 11 in × 14 in, standard", "Heron at dusk, 12 × 16 in, fine", "Slack water, 11 × 14 in, standard"}
	id := func(s string) int64 { return int64(len(s)) }
	full := func(s string) string { return s }
	for _, c := range []struct {
		name string
		want int // place in rows; -1 = a fault
	}{
		{"heron fine", 1},
		{"HERON 12x16", 1},
		{"slack", 2},
		{"heron 12 × 16", 1},
		{"slack water, 11 × 14 in, standard", 2},
		{"heron", -1},
		{"kestrel", -1},
		{"", -1},
		{"999", -1},
	} {
		got, err := Pick(rows, c.name, "edition", "solander works", id, full)
		switch {
		case c.want < 0 && err == nil:
			t.Errorf("%q: took %q", c.name, got)
		case c.want >= 0 && (err != nil || got != rows[c.want]):
			t.Errorf("%q: %q, %v; want %q", c.name, got, err, rows[c.want])
		}
	}
}

func TestAFailedWriteLeavesNoFile(t *testing.T) {
	dir := t.TempDir()
	d := &Desk{Out: &bytes.Buffer{}}
	path := dir + "/x.pdf"
	broken := errors.New("broken pipe")
	if err := d.ToFile(path, false, func(w io.Writer) error { _, err := w.Write([]byte("half")); return errors.Join(err, broken) }); !errors.Is(err, broken) {
		t.Errorf("toFile: %v", err)
	}
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != 0 {
		t.Errorf("left behind: %v %v", entries, err)
	}
}

// A copy of the studio holds names and addresses: other users of the machine may not read it.
func TestAWrittenFileIsTheUsersAlone(t *testing.T) {
	path := t.TempDir() + "/studio.copy"
	d := &Desk{Out: &bytes.Buffer{}}
	if err := d.ToFile(path, false, func(w io.Writer) error { _, err := w.Write([]byte("whole")); return err }); err != nil {
		t.Fatal(err)
	}
	about, err := os.Stat(path)
	if err != nil || about.Mode().Perm() != 0o600 {
		t.Errorf("written as %v, %v; want -rw-------", about.Mode(), err)
	}
}
