package file

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"

	"copperglass/model"
)

// Load reads the drawing in the file at path. The error names the path; where
// the file could be read but holds no sound drawing, errors.As finds an Errors
// in it.
func Load(path string) (*model.Diagram, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("cannot read %s: %w", path, Explain(err, filepath.Dir(path)))
	}
	defer f.Close()
	d, err := Decode(f)
	var faults Errors
	switch {
	case err == nil:
		return d, nil
	case errors.As(err, &faults):
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return nil, fmt.Errorf("cannot read %s: %w", path, Explain(err, filepath.Dir(path)))
}

// Save writes d to the file at path as Replace does.
func Save(path string, d *model.Diagram) error {
	return Replace(path, func(w io.Writer) error { return Encode(w, d) })
}

// Replace puts what write writes in the place of the file at path, all of it or
// nothing: it goes to a temporary file in the same folder, which takes the
// file's name only when it is safely on the disk. After any error the file is
// as it was, and nothing is left beside it. Permissions are kept, and of a
// symbolic link the file it leads to is replaced. Where path is neither a file
// nor free, such as a terminal, it is written to directly.
//
// The error is one sentence that names the path.
func Replace(path string, write func(io.Writer) error) error {
	target, err := follow(path)
	if err == nil {
		err = replace(target, write)
	}
	if err != nil {
		return fmt.Errorf("cannot write %s: %w", path, Explain(err, filepath.Dir(target)))
	}
	return nil
}

// follow returns what path leads to through symbolic links, which need not
// exist.
func follow(path string) (string, error) {
	const mostLinks = 40
	for range mostLinks {
		to, err := os.Readlink(path)
		if err != nil {
			return path, nil // not a link
		}
		if !filepath.IsAbs(to) {
			to = filepath.Join(filepath.Dir(path), to)
		}
		path = to
	}
	return path, errors.New("its symbolic links lead nowhere")
}

func replace(path string, write func(io.Writer) error) error {
	old, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return replaceFile(path, nil, write)
	case err != nil:
		return err
	case old.IsDir():
		return errors.New("it is a folder")
	case !old.Mode().IsRegular():
		return writeDirectly(path, write)
	case old.Mode().Perm()&0o222 == 0:
		return errors.New("the file is read-only")
	}
	return replaceFile(path, old, write)
}

// writeDirectly writes to a device or a pipe, which cannot be replaced.
func writeDirectly(path string, write func(io.Writer) error) error {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	err = write(f)
	if closed := f.Close(); err == nil {
		err = closed
	}
	return err
}

func replaceFile(path string, old fs.FileInfo, write func(io.Writer) error) error {
	temporary, err := writeBeside(path, old, write)
	if err != nil {
		return err
	}
	if err := os.Rename(temporary, path); err != nil {
		os.Remove(temporary)
		return err
	}
	SyncFolder(filepath.Dir(path))
	return nil
}

// writeBeside writes a temporary file into the folder of path and returns its
// name. After an error there is none.
func writeBeside(path string, old fs.FileInfo, write func(io.Writer) error) (string, error) {
	f, err := createBeside(path)
	if err != nil {
		return "", err
	}
	err = write(f)
	if err == nil && old != nil {
		err = f.Chmod(old.Mode().Perm())
	}
	if err == nil {
		err = f.Sync()
	}
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err != nil {
		os.Remove(f.Name())
	}
	return f.Name(), err
}

// createBeside creates a temporary file with the permissions that any new file
// gets, where os.CreateTemp would let nobody else read it.
func createBeside(path string) (*os.File, error) {
	for n := 0; ; n++ {
		name := filepath.Join(filepath.Dir(path), fmt.Sprintf(".copperglass-%d-%d", os.Getpid(), n))
		f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if !errors.Is(err, fs.ErrExist) {
			return f, err
		}
	}
}

// SyncFolder makes a new name in the folder last through a power cut. The file
// itself is complete either way, and some systems cannot do it, so a failure is
// no error.
func SyncFolder(folder string) {
	if f, err := os.Open(folder); err == nil {
		f.Sync()
		f.Close()
	}
}

// Explain puts the common errors of the operating system into a few words; the
// path is named by whoever reports it.
func Explain(err error, folder string) error {
	switch {
	case errors.Is(err, syscall.ENOSPC):
		return errors.New("the disk is full")
	case errors.Is(err, syscall.EROFS):
		return errors.New("the disk can only be read")
	case errors.Is(err, syscall.EISDIR):
		return errors.New("it is a folder")
	case errors.Is(err, syscall.ENOTDIR):
		return fmt.Errorf("%s is not a folder", folder)
	case errors.Is(err, fs.ErrPermission):
		return errors.New("permission is denied")
	case errors.Is(err, fs.ErrNotExist):
		if _, missing := os.Stat(folder); missing != nil {
			return fmt.Errorf("the folder %s does not exist", folder)
		}
		return errors.New("it does not exist")
	}
	var named *fs.PathError
	if errors.As(err, &named) {
		return named.Err
	}
	return err
}
