//go:build linux

package ui

import (
	"bytes"
	"context"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A program stands in for the one of the system: what it is given is a whole
// picture.
func TestAPictureIsHandedToTheSystemsProgram(t *testing.T) {
	folder := t.TempDir()
	taken := filepath.Join(folder, "taken.png")
	script := "#!/bin/sh\necho \"$@\" > '" + taken + ".args'\nexec cat > '" + taken + "'\n"
	if err := os.WriteFile(filepath.Join(folder, "xclip"), []byte(script), 0o700); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PATH", folder+":"+os.Getenv("PATH"))
	t.Setenv("WAYLAND_DISPLAY", "")
	want := []byte("a picture")
	if err := pipePicture(context.Background(), want); err != nil {
		t.Fatal(err)
	}
	got, _ := os.ReadFile(taken)
	args, _ := os.ReadFile(taken + ".args")
	if !bytes.Equal(got, want) || !strings.Contains(string(args), "image/png") {
		t.Errorf("it was given %q with %q", got, args)
	}
	t.Setenv("PATH", t.TempDir())
	if err := pipePicture(context.Background(), want); err == nil {
		t.Error("without any program it went well")
	}
}

func TestAPictureThatCannotBeCopiedIsInAFile(t *testing.T) {
	home := t.TempDir()
	t.Setenv("HOME", home)
	w := openLantern(t)
	var data bytes.Buffer
	c := exportChoice{scale: copyScale}
	if err := c.write(&data, w.picture(c)); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"Tent lantern.png", "Tent lantern 2.png"} {
		w.keepPicture(data.Bytes())
		path := filepath.Join(home, name)
		f, err := os.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := png.Decode(f); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		f.Close()
		if got := w.app.Clipboard().Content(); got != path {
			t.Errorf("the clipboard has %q, not %q", got, path)
		}
		w.choose(t, "OK")
	}
}
