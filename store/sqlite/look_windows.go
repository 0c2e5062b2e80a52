package sqlite

import (
	"os"
	"syscall"
)

// look is os.Stat, with the identity of the file read at once. os.SameFile would ask for it when it compares, when another file may stand there;
// and it shares with nobody then, which a file that is mapped into memory, as the index of the log is, may refuse.
func look(path string) (os.FileInfo, error) {
	name, err := syscall.UTF16PtrFromString(path)
	if err != nil {
		return nil, err
	}
	const sharing = syscall.FILE_SHARE_READ | syscall.FILE_SHARE_WRITE | 0x4 // FILE_SHARE_DELETE. Source: Microsoft, CreateFileW
	h, err := syscall.CreateFile(name, 0, sharing, nil, syscall.OPEN_EXISTING, syscall.FILE_FLAG_BACKUP_SEMANTICS, 0)
	if err != nil {
		return nil, &os.PathError{Op: "look at", Path: path, Err: err}
	}
	f := os.NewFile(uintptr(h), path)
	defer f.Close()
	return f.Stat()
}
