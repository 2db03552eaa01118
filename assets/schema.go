package assets

import _ "embed"

//go:embed copperglass.schema.json
var schema string

// Schema returns the JSON Schema (draft 2020-12) of the drawing file. It asks
// for more than the program does: a quantity out of its range, which the
// program opens and reports, does not validate.
func Schema() string { return schema }
