package movein

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

// sharingViolation is ERROR_SHARING_VIOLATION. Source: Windows system error codes, 0 to 499 (from memory).
const sharingViolation = syscall.Errno(32)

// openElsewhere reports whether a program holds a file open: opening it while sharing it with nobody then fails.
func openElsewhere(path string, _ fs.FileInfo) (bool, error) {
	name, err := syscall.UTF16PtrFromString(path)
	if err != nil {
		return false, err
	}
	h, err := syscall.CreateFile(name, syscall.GENERIC_READ, 0, nil, syscall.OPEN_EXISTING, syscall.FILE_ATTRIBUTE_NORMAL, 0)
	if errors.Is(err, sharingViolation) {
		return true, nil
	}
	if err != nil {
		return false, err
	}
	return false, syscall.CloseHandle(h)
}

// namesOf counts the names that a file has.
func namesOf(f *os.File, _ fs.FileInfo) (uint64, error) {
	var about syscall.ByHandleFileInformation
	err := syscall.GetFileInformationByHandle(syscall.Handle(f.Fd()), &about)
	return uint64(about.NumberOfLinks), err
}
