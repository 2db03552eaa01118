package ui

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"copperglass/model/file"
)

// copyScale is the scale of a copied picture, in pixels to the sheet unit.
const copyScale = 2

// CopyPicture puts the drawing as a picture on the clipboard. The toolkit's
// clipboard holds text only, so a program of the system is asked; where there is
// none the picture goes to a file, and its path to the clipboard.
func (w *Window) CopyPicture() {
	c := exportChoice{scale: copyScale, standard: w.settings.standard, dark: w.look.Dark, caption: true, explain: true}
	picture := w.composition(c)
	var png bytes.Buffer
	clipped := false
	w.background("Copying the picture", func(ctx context.Context) error {
		if err := c.write(stoppable{ctx, &png}, picture()); err != nil {
			return err
		}
		clipped = clipPicture(ctx, png.Bytes()) == nil
		return nil
	}, func(err error) {
		switch {
		case err != nil:
			w.fail("Not copied", err)
		case clipped:
			w.bar.report("the picture is on the clipboard")
		default:
			w.keepPicture(png.Bytes())
		}
	})
}

// keepPicture writes a picture that the clipboard does not take to a file.
func (w *Window) keepPicture(png []byte) {
	path := freeName(pictureFolder(), fileName(w.name()), ".png")
	err := file.Replace(path, func(out io.Writer) error { _, err := out.Write(png); return err })
	if err != nil {
		w.fail("Not copied", err)
		return
	}
	w.app.Clipboard().SetContent(path)
	text := "No program here puts pictures on the clipboard, so the picture is in " + path + "; the path is on the clipboard."
	w.ask("The picture is in a file", paragraph(text, dialogWidth, textSize, w.look.Ink), answer{label: "OK"})
}

// pictureFolder is where people keep pictures.
func pictureFolder() string {
	home, err := os.UserHomeDir()
	if err != nil {
		return os.TempDir()
	}
	pictures := filepath.Join(home, "Pictures")
	if info, err := os.Stat(pictures); err == nil && info.IsDir() {
		return pictures
	}
	return home
}

// freeName is a path in the folder that nothing has yet.
func freeName(folder, name, ending string) string {
	path := filepath.Join(folder, name+ending)
	for n := 2; ; n++ {
		if _, err := os.Lstat(path); err != nil {
			return path
		}
		path = filepath.Join(folder, fmt.Sprint(name, " ", n, ending))
	}
}

// clipPatience is how long a program may take to take a picture over.
const clipPatience = 5 * time.Second

// clipPicture hands a PNG to a program that puts it on the clipboard.
func clipPicture(ctx context.Context, png []byte) error {
	ctx, cancel := context.WithTimeout(ctx, clipPatience)
	defer cancel()
	if runtime.GOOS == "linux" {
		return pipePicture(ctx, png)
	}
	path := filepath.Join(os.TempDir(), "copperglass-clipboard.png")
	if err := os.WriteFile(path, png, 0o600); err != nil {
		return err
	}
	defer os.Remove(path)
	switch runtime.GOOS {
	case "darwin":
		script := `set the clipboard to (read (POSIX file "` + path + `") as «class PNGf»)`
		return exec.CommandContext(ctx, "osascript", "-e", script).Run()
	case "windows":
		script := "Add-Type -AssemblyName System.Windows.Forms,System.Drawing; " +
			"[System.Windows.Forms.Clipboard]::SetImage([System.Drawing.Image]::FromFile('" + strings.ReplaceAll(path, "'", "''") + "'))"
		return exec.CommandContext(ctx, "powershell", "-NoProfile", "-STA", "-Command", script).Run()
	}
	return errors.New("there is no way to the clipboard known for " + runtime.GOOS)
}

// pipePicture hands a PNG to the first of the programs that there is.
func pipePicture(ctx context.Context, png []byte) error {
	tools := [][]string{{"xclip", "-selection", "clipboard", "-t", "image/png"}}
	if os.Getenv("WAYLAND_DISPLAY") != "" {
		tools = append([][]string{{"wl-copy", "--type", "image/png"}}, tools...)
	}
	err := error(exec.ErrNotFound)
	for _, tool := range tools {
		cmd := exec.CommandContext(ctx, tool[0], tool[1:]...)
		cmd.Stdin = bytes.NewReader(png)
		if err = cmd.Run(); err == nil {
			return nil
		}
	}
	return err
}
