package dxf

// Limits that keep any file, however hostile, within bounds of time and memory. Real panel drawings are a thousand
// times smaller.
const (
	// MaxBytes bounds the file: 256 MB of ASCII are some two million lines and arcs.
	MaxBytes = 256 << 20
	// MaxEntities bounds entities after blocks are expanded; each takes some 200 bytes.
	MaxEntities = 2_000_000
	// MaxVertices bounds the vertices of all paths after expansion; each takes 24 bytes.
	MaxVertices = 10_000_000
	// MaxNesting bounds blocks in blocks. CAD drawings rarely pass 5; the way down is recursive.
	MaxNesting = 32
	// MaxArray bounds the columns times rows of one INSERT.
	MaxArray = 100_000
	// MaxDegree bounds the degree of splines; CAD programs write 2 to 5 and refuse more than 25.
	MaxDegree = 25
	// MaxCoordinate bounds coordinates, in drawing units: CAD programs lose precision long before, and squares of it
	// still fit a float64.
	MaxCoordinate = 1e12
	// MaxText bounds the length of a text in bytes.
	MaxText = 1 << 16

	// CurveTolerance is how far, in mm, the arcs that stand for an ellipse or a spline may lie from it.
	CurveTolerance = 0.002
)
