package sqlite

import (
	"encoding/binary"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"

	"solander/fault"
)

// ApplicationID stands in the header of a studio's file: "Sold".
const ApplicationID = 0x536f6c64

// mainFile is the studio's own file, held open from before the engine opens it until after the engine has
// let it go, so that what stands at its path can be compared with what was opened.
type mainFile struct {
	given string // the path as it was asked for
	path  string // without links: beside this stand the log and the seal
	file  *os.File
	first os.FileInfo
	id    uint32       // the studio's own, in the header; 0 = made before there were any
	only  *fault.Error // why it may only be read; nil = it may be written
	still bool         // it is read as one that nobody changes
}

// openMain opens a file that must be a studio's. It reads the head of the file alone, where markFile left
// its mark, so that not even the log of another program's database is touched.
// Faults: Refused when it is none, or cannot be opened.
func openMain(given string) (*mainFile, error) {
	m := &mainFile{given: given, path: given}
	if to, err := filepath.EvalSymlinks(given); err == nil {
		m.path = to
	}
	var err error
	m.file, err = os.OpenFile(m.path, os.O_RDWR, 0)
	if notWritable(err) {
		m.only = readOnly(given, "its file may not be written by this user", err)
		m.file, err = os.Open(m.path)
	}
	if err != nil {
		return nil, noFile(given, err)
	}
	h, err := m.head()
	if err == nil && !h.ours {
		err = fault.New(fault.Refused, "this file is no studio of this program").At("%s", given).
			ToMend("name another file; this one was left as it is")
	}
	if err == nil {
		m.first, err = m.file.Stat()
	}
	if err != nil {
		m.file.Close()
		return nil, err
	}
	m.id = h.id
	return m, nil
}

func (m *mainFile) name() string { return filepath.Base(m.path) }

// notWritable reports an error that forbids writing and may allow reading.
func notWritable(err error) bool {
	return errors.Is(err, fs.ErrPermission) || errors.Is(err, syscall.EROFS)
}

func readOnly(path, why string, err error) *fault.Error {
	return fault.New(fault.Refused, "this studio can only be read here: %s", why).At("%s", path).
		ToMend("give this user the right to write the file and its folder, or copy the file and all that stand beside it under its name to a place that can be written").
		Because(err)
}

// fileHead is what the head of a database file tells.
type fileHead struct {
	ours bool
	id   uint32
}

// head reads the head of the file that is held open. A file that is too short is not ours.
// Source: SQLite file format, sqlite.org/fileformat2.html, 1.3: magic at 0, user version at 60,
// application id at 68.
func (m *mainFile) head() (fileHead, error) {
	b := make([]byte, 72)
	n, err := m.file.ReadAt(b, 0)
	if err != nil && !errors.Is(err, io.EOF) {
		return fileHead{}, noFile(m.given, err)
	}
	return fileHead{
		ours: n == len(b) && string(b[:16]) == "SQLite format 3\x00" && binary.BigEndian.Uint32(b[68:]) == ApplicationID,
		id:   binary.BigEndian.Uint32(b[60:]),
	}, nil
}

// same refuses when the path does not lead any more to the file that was opened, or when that file was
// written over by another one. Faults: Refused.
func (m *mainFile) same() error {
	if err := m.unmoved(); err != nil {
		return err
	}
	return m.ours()
}

// unmoved refuses when the path does not lead any more to the file that was opened.
func (m *mainFile) unmoved() error {
	now, err := look(m.given)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return takenAway(m.given, "the studio's file was removed while it was open").Because(err)
	case err != nil:
		return noFile(m.given, err)
	case !os.SameFile(m.first, now):
		return takenAway(m.given, "another file was put in the place of the studio's file while it was open")
	case m.still && (now.ModTime() != m.first.ModTime() || now.Size() != m.first.Size() || LogOf(m.path) != ""):
		return fault.New(fault.Busy, "another program writes the studio, which this one opened for reading alone").At("%s", m.given).ToMend("open it again")
	}
	return nil
}

// alone reports whether neither a log nor its index lies beside the file.
func (m *mainFile) alone() bool {
	for _, tail := range besides {
		if _, err := os.Stat(m.path + tail); !errors.Is(err, fs.ErrNotExist) {
			return false
		}
	}
	return true
}

// ours refuses when the file that was opened was written over.
func (m *mainFile) ours() error {
	h, err := m.head()
	if err == nil && (!h.ours || h.id != m.id) {
		err = takenAway(m.given, "the studio's file was written over while it was open")
	}
	return err
}

// takenAway says that the file is not there any more as it was.
func takenAway(path, what string) *fault.Error {
	return fault.New(fault.Refused, "%s; nothing is written", what).At("%s", path).
		ToMend("stop the program, put the file back or restore the latest backup to a new place, then start again")
}

func (m *mainFile) close() error { return m.file.Close() }

// LogOf returns the log beside a file that holds something, or "". A log of a database that is not there
// may hold its latest writes: whoever makes a new file beside it makes the engine throw it away.
// Source: sqlite.org/tempfiles.html, 2.1 and 2.2: the rollback journal and the write-ahead log.
func LogOf(path string) string {
	for _, tail := range []string{"-wal", "-journal"} {
		if info, err := os.Stat(path + tail); err == nil && info.Size() > 0 {
			return path + tail
		}
	}
	return ""
}

// mayBegin refuses to make a studio where one stood: where a log or a seal lies beside the file that is
// missing or empty.
// Faults: Refused with the way back; Missing when the studio must be there already.
func mayBegin(path, state string, there, replacing bool) error {
	base := filepath.Base(path)
	if log := LogOf(path); log != "" {
		return fault.New(fault.Refused, "the studio's file is %s, but its log %s lies there, which may hold its latest writes", state, filepath.Base(log)).
			At("%s", path).ToMend("leave the log where it is and put %s back beside it, as it was last; or restore the latest backup to a new place. To begin anew here, move the log away first", base)
	}
	if s, ok := ReadSeal(path); ok && !replacing {
		return fault.New(fault.Refused, "the studio's file is %s, but a studio stood here: its seal knows %s", state, s.reached()).
			At("%s", path).ToMend("put %s back, or restore the latest backup. To begin anew here, move %s away first", base, base+SealTail)
	}
	if there {
		return fault.New(fault.Missing, "there is no studio yet: its file is %s", state).At("%s", path).ToMend("look at the path, or begin a studio there")
	}
	return nil
}
