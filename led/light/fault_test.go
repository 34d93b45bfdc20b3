package light

import (
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

// A fault in one of the light's workers comes out in the caller, where it can be told of its panel, and does not end the program.
func TestFaultInAWorkerComesOut(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(4))
	lamps := make([]lamp, 8)
	for i := range lamps {
		lamps[i].beam = 1 // of none
	}
	require.Panics(t, func() { shine(nil, Grid{Step: geom.Millimetre, W: 4, H: 4}, lamps, nil, nil) })
}
