package svg

import (
	"encoding/binary"
	"slices"
	"unicode/utf16"

	"github.com/golang/freetype/truetype"

	"copperglass/assets"
	"copperglass/canvas"
)

// family names the embedded glyphs. The font's licence reserves the name Plex
// for the whole font (SIL Open Font License 1.1, condition 3).
const family = "Copperglass Sans"

// lacksGlyph reports whether a text has a rune that is not in the font.
func lacksGlyph(t *canvas.Text) bool {
	f := assets.Font(t.Bold)
	for _, r := range t.String {
		if f.Index(canvas.Printable(r)) == 0 {
			return true
		}
	}
	return false
}

// subset returns a TrueType file with only the glyphs of some runes, without
// hints, kerning or ligatures (tables by the OpenType specification 1.9,
// ISO/IEC 14496-22). Runes beyond the basic multilingual plane are left out; the
// font has none.
func subset(bold bool, runes map[rune]bool) []byte {
	data := assets.Regular()
	if bold {
		data = assets.SemiBold()
	}
	s := subsetter{font: assets.Font(bold), tables: tables(data), number: map[truetype.Index]uint16{}}
	s.glyph(0) // .notdef comes first
	s.choose(runes)
	return file(map[string][]byte{
		"OS/2": s.tables["OS/2"],
		"cmap": s.cmap(),
		"glyf": s.glyf(),
		"head": s.head(),
		"hhea": s.hhea(),
		"hmtx": s.hmtx(),
		"loca": s.loca(),
		"maxp": s.maxp(),
		"name": name(bold),
		"post": s.post(),
	})
}

var be = binary.BigEndian

// tables reads the table directory of a TrueType file.
func tables(data []byte) map[string][]byte {
	t := map[string][]byte{}
	for i := range int(be.Uint16(data[4:])) {
		rec := data[12+16*i:]
		offset, length := be.Uint32(rec[8:]), be.Uint32(rec[12:])
		t[string(rec[:4])] = data[offset : offset+length]
	}
	return t
}

// subsetter numbers the chosen glyphs anew, in the order they are met.
type subsetter struct {
	font   *truetype.Font
	tables map[string][]byte
	runes  []rune                    // that have a glyph, ascending
	old    []truetype.Index          // by new number
	number map[truetype.Index]uint16 // the new number of an old one
	glyphs [][]byte                  // by new number, padded to four bytes
}

func (s *subsetter) choose(runes map[rune]bool) {
	for r := range runes {
		if r <= 0xffff && s.font.Index(r) != 0 {
			s.runes = append(s.runes, r)
		}
	}
	slices.Sort(s.runes)
	for _, r := range s.runes {
		s.glyph(s.font.Index(r))
	}
}

// glyph returns the new number of a glyph, taking it and what it is composed of
// into the subset if they are not in it.
func (s *subsetter) glyph(old truetype.Index) uint16 {
	if n, ok := s.number[old]; ok {
		return n
	}
	n := uint16(len(s.old))
	s.number[old] = n
	s.old = append(s.old, old)
	s.glyphs = append(s.glyphs, nil)
	s.glyphs[n] = s.outline(s.source(old))
	return n
}

// source returns a glyph's description in the whole font.
func (s *subsetter) source(i truetype.Index) []byte {
	loca := s.tables["loca"]
	if be.Uint16(s.tables["head"][50:]) == 0 {
		return s.tables["glyf"][2*int(be.Uint16(loca[2*i:])) : 2*int(be.Uint16(loca[2*i+2:]))]
	}
	return s.tables["glyf"][be.Uint32(loca[4*i:]):be.Uint32(loca[4*i+4:])]
}

// outline copies a glyph's description without its instructions.
func (s *subsetter) outline(g []byte) []byte {
	const header = 10
	if len(g) == 0 {
		return nil
	}
	contours := int(int16(be.Uint16(g)))
	if contours < 0 {
		return pad(s.composite(slices.Clone(g)))
	}
	ends := header + 2*contours
	instructions := int(be.Uint16(g[ends:]))
	out := append(slices.Clone(g[:ends]), 0, 0)
	return pad(append(out, g[ends+2+instructions:]...))
}

// composite renumbers the components of a glyph, in place.
func (s *subsetter) composite(g []byte) []byte {
	const (
		wide, scale, more, twoScales, matrix, instructed = 0x1, 0x8, 0x20, 0x40, 0x80, 0x100
	)
	for at := 10; ; {
		flags := be.Uint16(g[at:])
		be.PutUint16(g[at:], flags&^instructed)
		be.PutUint16(g[at+2:], s.glyph(truetype.Index(be.Uint16(g[at+2:]))))
		at += 6
		if flags&wide != 0 {
			at += 2
		}
		switch {
		case flags&scale != 0:
			at += 2
		case flags&twoScales != 0:
			at += 4
		case flags&matrix != 0:
			at += 8
		}
		if flags&more == 0 {
			return g[:at]
		}
	}
}

func (s *subsetter) glyf() []byte { return slices.Concat(s.glyphs...) }

func (s *subsetter) loca() []byte {
	out, at := be.AppendUint32(nil, 0), 0
	for _, g := range s.glyphs {
		at += len(g)
		out = be.AppendUint32(out, uint32(at))
	}
	return out
}

// hmtx gives every glyph an advance and a left side bearing. In the whole font
// the last glyphs may share the last advance.
func (s *subsetter) hmtx() []byte {
	var out []byte
	src, full := s.tables["hmtx"], int(be.Uint16(s.tables["hhea"][34:]))
	for _, i := range s.old {
		advance := src[4*min(int(i), full-1):]
		bearing := src[min(4*int(i)+2, 2*full+2*int(i)):]
		out = append(out, advance[0], advance[1], bearing[0], bearing[1])
	}
	return out
}

// head says that loca has long offsets. Its checksum is left for the file.
func (s *subsetter) head() []byte {
	out := slices.Clone(s.tables["head"])
	be.PutUint32(out[8:], 0)
	be.PutUint16(out[50:], 1)
	return out
}

func (s *subsetter) hhea() []byte {
	out := slices.Clone(s.tables["hhea"])
	be.PutUint16(out[34:], uint16(len(s.old)))
	return out
}

func (s *subsetter) maxp() []byte {
	out := slices.Clone(s.tables["maxp"])
	be.PutUint16(out[4:], uint16(len(s.old)))
	return out
}

// post, in its version 3, has no glyph names.
func (s *subsetter) post() []byte {
	out := slices.Clone(s.tables["post"][:32])
	be.PutUint32(out, 0x00030000)
	return out
}

// cmap maps runes to glyphs by one table of format 4, whose segments are runs
// of runes with consecutive glyph numbers.
func (s *subsetter) cmap() []byte {
	var start, end, delta []uint16
	for _, r := range s.runes {
		d := s.number[s.font.Index(r)] - uint16(r)
		if n := len(end); n > 0 && uint16(r) == end[n-1]+1 && d == delta[n-1] {
			end[n-1]++
			continue
		}
		start, end, delta = append(start, uint16(r)), append(end, uint16(r)), append(delta, d)
	}
	start, end, delta = append(start, 0xffff), append(end, 0xffff), append(delta, 1)
	n := uint16(len(end))
	table := slices.Concat(
		words(4, 16+8*n, 0, 2*n), searchWords(n, 2),
		words(end...), words(0), words(start...), words(delta...), make([]byte, 2*n),
	)
	const windows, bmp = 3, 1
	return append(words(0, 1, windows, bmp, 0, 12), table...)
}

// searchWords returns the three words that help a binary search of n records of
// a size: size times the greatest power of two within n, the power's logarithm,
// and the rest.
func searchWords(n, size uint16) []byte {
	power, log := uint16(1), uint16(0)
	for 2*power <= n {
		power, log = 2*power, log+1
	}
	return words(size*power, log, size*(n-power))
}

func words(w ...uint16) []byte {
	var out []byte
	for _, v := range w {
		out = be.AppendUint16(out, v)
	}
	return out
}

// name holds the names that every font must have, and its licence.
func name(bold bool) []byte {
	style := "Regular"
	if bold {
		style = "SemiBold"
	}
	names := []struct {
		id   uint16
		text string
	}{
		{0, "Copyright © 2017 IBM Corp."},
		{1, family},
		{2, style},
		{4, family + " " + style},
		{6, "CopperglassSans-" + style},
		{13, "Part of a font under the SIL Open Font License, Version 1.1."},
		{14, "https://openfontlicense.org"},
	}
	const windows, unicodeBMP, english = 3, 1, 0x409
	out := words(0, uint16(len(names)), uint16(6+12*len(names)))
	var text []byte
	for _, n := range names {
		t := words(utf16.Encode([]rune(n.text))...)
		out = append(out, words(windows, unicodeBMP, english, n.id, uint16(len(t)), uint16(len(text)))...)
		text = append(text, t...)
	}
	return append(out, text...)
}

// file joins tables into a TrueType file, in the order of their tags.
func file(tables map[string][]byte) []byte {
	var tags []string
	for tag := range tables {
		tags = append(tags, tag)
	}
	slices.Sort(tags)
	n := len(tags)
	out := append([]byte{0, 1, 0, 0}, words(uint16(n))...)
	out = append(out, searchWords(uint16(n), 16)...)
	var body []byte
	head := 0
	for _, tag := range tags {
		at := 12 + 16*n + len(body)
		if tag == "head" {
			head = at
		}
		out = append(out, tag...)
		out = be.AppendUint32(out, sum(tables[tag]))
		out = be.AppendUint32(out, uint32(at))
		out = be.AppendUint32(out, uint32(len(tables[tag])))
		body = append(body, pad(slices.Clone(tables[tag]))...)
	}
	out = append(out, body...)
	be.PutUint32(out[head+8:], 0xb1b0afba-sum(out))
	return out
}

// sum is the checksum of a table: its 32-bit words added.
func sum(data []byte) (total uint32) {
	for w := range slices.Chunk(pad(slices.Clone(data)), 4) {
		total += be.Uint32(w)
	}
	return total
}

func pad(data []byte) []byte {
	for len(data)%4 != 0 {
		data = append(data, 0)
	}
	return data
}
