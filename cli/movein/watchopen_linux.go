package movein

import (
	"io/fs"
	"os"
	"path/filepath"
)

// openElsewhere reports whether a program holds a file open, as /proc tells of the programs of this user (of all, to root).
// Source: proc_pid_fd(5) of the Linux manual: each entry is a link to what is open, under the name it has now.
func openElsewhere(path string, info fs.FileInfo) (bool, error) {
	handles, err := filepath.Glob("/proc/[0-9]*/fd/*") // what may not be read is left out
	if err != nil {
		return false, err
	}
	for _, h := range handles {
		// Only what has its name is asked further: an answer about any other file could take for ever, over a network.
		name, err := os.Readlink(h)
		if err != nil || filepath.Base(name) != filepath.Base(path) {
			continue
		}
		if held, err := os.Stat(h); err == nil && os.SameFile(held, info) {
			return true, nil
		}
	}
	return false, nil
}
