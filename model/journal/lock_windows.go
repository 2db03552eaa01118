package journal

import (
	"errors"
	"os"
	"syscall"
)

// create makes a new journal that nobody else may write to while it is open.
func create(name string) (*os.File, error) {
	return alone(name, syscall.CREATE_NEW)
}

// held reports whether a running program holds the journal.
func held(name string) bool {
	const sharingViolation = syscall.Errno(32)
	f, err := alone(name, syscall.OPEN_EXISTING)
	if err == nil {
		f.Close()
	}
	return errors.Is(err, sharingViolation)
}

func alone(name string, disposition uint32) (*os.File, error) {
	text, err := syscall.UTF16PtrFromString(name)
	if err != nil {
		return nil, err
	}
	h, err := syscall.CreateFile(text, syscall.FILE_APPEND_DATA|syscall.SYNCHRONIZE, syscall.FILE_SHARE_READ, nil, disposition, syscall.FILE_ATTRIBUTE_NORMAL, 0)
	if err != nil {
		return nil, &os.PathError{Op: "open", Path: name, Err: err}
	}
	return os.NewFile(uintptr(h), name), nil
}
