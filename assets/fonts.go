// Package assets holds what is built into the programs.
package assets

import (
	_ "embed" // the fonts
	"sync"

	"github.com/golang/freetype/truetype"
)

//go:embed fonts/IBMPlexSans-Regular.ttf
var regular string

//go:embed fonts/IBMPlexSans-SemiBold.ttf
var semiBold string

// Regular returns the text font, IBM Plex Sans, as a TrueType file. Its licence
// is fonts/OFL.txt.
func Regular() []byte { return []byte(regular) }

// SemiBold returns the font of bold text, weight 600 of the same family.
func SemiBold() []byte { return []byte(semiBold) }

var parsedRegular = sync.OnceValue(func() *truetype.Font { return parse(Regular()) })
var parsedSemiBold = sync.OnceValue(func() *truetype.Font { return parse(SemiBold()) })

// Font returns the parsed font of plain or bold text. It is shared: callers
// only read it.
func Font(bold bool) *truetype.Font {
	if bold {
		return parsedSemiBold()
	}
	return parsedRegular()
}

func parse(data []byte) *truetype.Font {
	f, err := truetype.Parse(data)
	if err != nil {
		panic("assets: the embedded font is damaged: " + err.Error())
	}
	return f
}
