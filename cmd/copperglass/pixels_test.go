//go:build linux

package main

import (
	"cmp"
	"image"
	"image/color"
	"image/draw"
	"maps"
	"slices"
)

func at(img *image.RGBA, x, y int) color.NRGBA {
	c := img.RGBAAt(x, y)
	return color.NRGBA(c) // a screen has no alpha
}

// painted reports whether an image shows more than one colour.
func painted(img *image.RGBA) bool {
	if img == nil {
		return false
	}
	for i := 4; i < len(img.Pix); i += 4 {
		if [4]byte(img.Pix[i:i+4]) != [4]byte(img.Pix[:4]) {
			return true
		}
	}
	return false
}

// differing counts the pixels in which two images differ; all do where one is
// missing or of another size.
func differing(a, b *image.RGBA) int {
	if a == nil || b == nil || a.Rect != b.Rect {
		return 1 << 30
	}
	n := 0
	for i := 0; i < len(a.Pix); i += 4 {
		if [4]byte(a.Pix[i:i+4]) != [4]byte(b.Pix[i:i+4]) {
			n++
		}
	}
	return n
}

// boundsOf returns the bounds of all pixels of a colour within r.
func boundsOf(img *image.RGBA, r image.Rectangle, c color.NRGBA) image.Rectangle {
	var found image.Rectangle
	r = r.Intersect(img.Rect)
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			if at(img, x, y) == c {
				found = found.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	return found
}

// findBlock returns the first place, by rows, from which a block of a colour
// extends.
func findBlock(img *image.RGBA, r image.Rectangle, size image.Point, c color.NRGBA) (image.Point, bool) {
	r = r.Intersect(img.Rect)
	for y := r.Min.Y; y+size.Y <= r.Max.Y; y++ {
		for x := r.Min.X; x+size.X <= r.Max.X; x++ {
			if isBlock(img, image.Rectangle{Min: image.Pt(x, y), Max: image.Pt(x, y).Add(size)}, c) {
				return image.Pt(x, y), true
			}
		}
	}
	return image.Point{}, false
}

func isBlock(img *image.RGBA, r image.Rectangle, c color.NRGBA) bool {
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			if at(img, x, y) != c {
				return false
			}
		}
	}
	return true
}

// paletted is an image in its 256 most frequent colours: a file of a third of
// the size, in which only the softest edges of letters differ.
func paletted(img *image.RGBA) *image.Paletted {
	count := map[color.RGBA]int{}
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			count[img.RGBAAt(x, y)]++
		}
	}
	colours := slices.SortedFunc(maps.Keys(count), func(a, b color.RGBA) int {
		return cmp.Or(count[b]-count[a], cmp.Compare(pack(a), pack(b)))
	})
	out := image.NewPaletted(img.Rect, nil)
	for _, c := range colours[:min(len(colours), 256)] {
		out.Palette = append(out.Palette, c)
	}
	draw.Draw(out, out.Rect, img, image.Point{}, draw.Src)
	return out
}

// pack is a number for each colour.
func pack(c color.RGBA) uint32 { return uint32(c.R)<<16 | uint32(c.G)<<8 | uint32(c.B) }
