package file_test

import (
	"os"
	"path/filepath"
	"runtime"
	"syscall"
	"testing"

	"copperglass/model/file"
)

// nobody is the user that owns nothing, by custom of Linux.
const nobody = 65534

// asNobody calls f on a thread whose files are opened as nobody's, so that
// permissions hold for a test that root runs, too (setfsuid(2): it acts on the
// calling thread alone, and takes root's power over files from it).
func asNobody(t *testing.T, f func()) {
	t.Helper()
	if os.Geteuid() != 0 {
		f()
		return
	}
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	defer syscall.RawSyscall(syscall.SYS_SETFSUID, 0, 0, 0)
	syscall.RawSyscall(syscall.SYS_SETFSUID, nobody, 0, 0)
	f()
}

func TestAReadOnlyFolder(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	path, fresh := filepath.Join(folder, "lamp.cglass"), filepath.Join(folder, "fresh.cglass")
	put(t, path, "old", 0o644)
	for place, perm := range map[string]os.FileMode{filepath.Dir(folder): 0o755, folder: 0o555} {
		if err := os.Chmod(place, perm); err != nil {
			t.Fatal(err)
		}
	}
	t.Cleanup(func() { os.Chmod(folder, 0o755) }) // or it cannot be emptied
	for _, p := range []string{path, fresh} {
		var err error
		asNobody(t, func() { err = file.Save(p, titled("new")) })
		if err == nil || err.Error() != "cannot write "+p+": permission is denied" {
			t.Error(err)
		}
	}
	if get(t, path) != "old" {
		t.Error("the file in the locked folder was changed")
	}
	expectAlone(t, folder, "lamp.cglass")
}

func TestAFullDisk(t *testing.T) {
	t.Parallel()
	const full = "/dev/full" // a device on which every write fails for want of room
	if err := file.Save(full, titled("new")); err == nil || err.Error() != "cannot write /dev/full: the disk is full" {
		t.Error(err)
	}
	if info, err := os.Stat(full); err != nil || info.Mode().IsRegular() {
		t.Errorf("the device was replaced by a file: %v, %v", info, err)
	}
}
