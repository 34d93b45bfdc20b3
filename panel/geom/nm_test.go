package geom

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Lengths are told to a micrometre: what a DXF file has beyond that is the noise of binary fractions. Less than one is told in full, so
// that nothing which is there is told as 0.
func TestLengthsAsPeopleReadThem(t *testing.T) {
	for n, want := range map[Nm]string{
		2_000_001: "2 mm", 1_999_999: "2 mm", -2_000_001: "-2 mm", 1_250_000: "1.25 mm", 1_234_567: "1.235 mm", 127_000: "0.127 mm",
		0: "0 mm", 400: "0.0004 mm", 1000: "0.001 mm", 1_000_000_000: "1000 mm",
	} {
		require.Equal(t, want, n.String())
	}
}
