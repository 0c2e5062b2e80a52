//go:build !windows

package sqlite

import "os"

// look is os.Stat: it reads the identity of the file at once.
func look(path string) (os.FileInfo, error) { return os.Stat(path) }
