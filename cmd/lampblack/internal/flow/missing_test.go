package flow

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Advice names a drawing that is there, as the project would write it.
func TestInstead(t *testing.T) {
	folders := map[string][]string{"desk": {"dome.dxf", "mount.dxf"}, "desk/draw": {"focus.dxf"}}
	list := func(dir string) []string { return folders[dir] }
	for _, c := range []struct{ drawing, file, want string }{
		{"doem.dxf", "desk/doem.dxf", "did you mean dome.dxf?"},
		{"DOME.DXF", "desk/DOME.DXF", "did you mean dome.dxf?"},
		{"dome", "desk/dome", "did you mean dome.dxf?"},
		{"draw/fcous.dxf", "desk/draw/fcous.dxf", "did you mean draw/focus.dxf?"},
		{"draw/mount.dxf", "desk/draw/mount.dxf", "did you mean mount.dxf? It lies beside the project file"},
		{`draw\focus.dxf`, `desk/draw\focus.dxf`, "did you mean draw/focus.dxf?"},
		{`gone\focus.dxf`, `desk/gone\focus.dxf`, "write the path with slashes, which every system understands: gone/focus.dxf"},
		{"zebra.dxf", "desk/zebra.dxf", "check the name and where the file lies; drawings are looked for beside the project file; drawings there: dome.dxf, mount.dxf"},
		{"gone/x.dxf", "desk/gone/x.dxf", "check the name and where the file lies; drawings are looked for beside the project file"},
	} {
		require.Equal(t, c.want, instead(list, c.drawing, c.file, "desk"), c.drawing)
	}
	require.NotContains(t, instead(nil, "doem.dxf", "desk/doem.dxf", "desk"), "mean")
}
