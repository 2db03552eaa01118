//go:build !windows

package journal

import (
	"errors"
	"os"
	"syscall"
)

// create makes a new journal and locks it. The lock ends with the program,
// however that ends. Where a file system knows no locks there is none.
func create(name string) (*os.File, error) {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL|os.O_APPEND, 0o600)
	if err == nil {
		_ = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	}
	return f, err
}

// held reports whether a running program holds the journal.
func held(name string) bool {
	f, err := os.Open(name)
	if err != nil {
		return false
	}
	defer f.Close() // with the lock
	return errors.Is(syscall.Flock(int(f.Fd()), syscall.LOCK_SH|syscall.LOCK_NB), syscall.EWOULDBLOCK)
}
