// Package file keeps drawings as versioned JSON.
//
// # Layout
//
// What Encode writes is canonical: UTF-8, LF, two spaces of indent, keys in a
// fixed order, unknown keys after the known ones in the order in which they
// were found, names in params, tags and set in natural order, what says
// nothing (a turn of 0, a count of 1, an empty list but parts) left out, and
// numbers as they were written. The drawing, its lists and each of its parts
// are opened out, one item to a line; anything else stands on one line where
// that line has at most 100 characters, and is opened out otherwise. So an
// edit of one part changes the lines of that part alone.
//
// # Limits
//
// Decode takes time and memory in proportion to its input, which may have at
// most 64 MiB. The other limits are the constants below; a drawing beyond them
// is refused with a sentence that names the limit.
//
// # What is refused and what is not
//
// A drawing that cannot be meant is refused: broken JSON, a wrong type, two
// parts of one name, a wire of one point. A quantity out of its range (a
// negative resistance, 1e30 Ω) is read: the analysis reports it and the person
// can open the drawing and mend it.
package file

// Format and Version head every drawing file. A file of a later version is
// refused, because what it says could be misread.
const (
	Format  = "copperglass"
	Version = 1
)

// Limits of what Decode accepts.
const (
	MaxBytes      = 64 << 20  // of a file
	MaxDepth      = 100       // lists and objects inside each other
	MaxParts      = 200_000   // of a drawing
	MaxWires      = 400_000   // of a drawing
	MaxModes      = 1_000     // of a drawing
	MaxChipPins   = 2_000     // of one part
	MaxCount      = 10_000    // parts in one stack
	MaxText       = 4_096     // characters of a name or a label
	MaxCoordinate = 1_000_000 // grid steps from the origin, either way
	MaxEntries    = 4_000_000 // keys, points and values that the program has to hold apart
	MaxFaults     = 1_000     // faults listed
)

// maxNumber is the most characters a number may be written with; float64 needs
// 24 of them.
const maxNumber = 64
