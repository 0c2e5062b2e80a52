//go:build !linux && !windows

package movein

import "io/fs"

// openElsewhere cannot tell on this system: a file is taken for closed once it stands still.
func openElsewhere(string, fs.FileInfo) (bool, error) { return false, nil }
