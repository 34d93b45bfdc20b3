package compare

import (
	"reflect"

	"lampblack/export/result"
)

// Schema returns the JSON Schema of a Difference.
func Schema() []byte {
	return result.SchemaOf("What lampblack compare --json prints of two consoles", reflect.TypeFor[Difference]())
}
