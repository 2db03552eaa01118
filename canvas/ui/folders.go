package ui

import (
	"bufio"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
)

// folder is a place that a dialog for files leads to at once.
type folder struct{ name, path string }

// mostPlaces is how many folders the dialog for files leads to.
const mostPlaces = 9

// places are the folders that a person most likely wants: that of the open file,
// their own, and those where drawings were lately. None stands there twice, and
// none that is not there.
func places(open string, recent []string) []folder {
	var list []folder
	add := func(name, path string) {
		if !isFolder(path) || slices.ContainsFunc(list, func(f folder) bool { return f.path == path }) {
			return
		}
		list = append(list, folder{name, path})
	}
	if home, err := os.UserHomeDir(); err == nil {
		add("Home", home)
		own := userFolders(home)
		add("Desktop", own["DESKTOP"])
		add("Documents", own["DOCUMENTS"])
		add("Downloads", own["DOWNLOAD"])
	}
	for _, path := range append([]string{open}, recent...) {
		if path != "" {
			add(filepath.Base(filepath.Dir(path)), filepath.Dir(path))
		}
	}
	return list[:min(len(list), mostPlaces)]
}

// userFolders are a person's folders by the names that the file of xdg-user-dirs
// has for them (user-dirs.dirs(5)); they are called otherwise in other languages.
// Where there is no such file they are where the systems put them.
func userFolders(home string) map[string]string {
	list := map[string]string{
		"DESKTOP": filepath.Join(home, "Desktop"), "DOCUMENTS": filepath.Join(home, "Documents"), "DOWNLOAD": filepath.Join(home, "Downloads"),
	}
	config, err := os.UserConfigDir()
	if runtime.GOOS != "linux" || err != nil {
		return list
	}
	f, err := os.Open(filepath.Join(config, "user-dirs.dirs"))
	if err != nil {
		return list
	}
	defer f.Close()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		name, path, is := strings.Cut(strings.TrimSpace(lines.Text()), "_DIR=")
		name, named := strings.CutPrefix(name, "XDG_")
		if path = strings.Trim(path, `"`); is && named {
			list[name] = strings.Replace(path, "$HOME", home, 1)
		}
	}
	return list
}
