package assets

import _ "embed"

//go:embed icon.svg
var icon string

// Icon returns the picture of the program as an SVG: a drop of copper-coloured
// glass with a diode in it.
func Icon() []byte { return []byte(icon) }
