package result

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestNames(t *testing.T) {
	require.Equal(t, "dome/dome-fab.zip", PanelZip.Of("dome"))
	require.Equal(t, "dome-fab.zip", PanelZip.Within("dome"))
	require.Equal(t, "order-spares/order-spares-fab.zip", OrderZip.Of("spares"))
	require.Equal(t, "parts.csv", PartsCSV.Of("dome"))
}

func TestFileAt(t *testing.T) {
	for path, what := range map[string]string{
		"result.json":                     "everything a program may want to know",
		"dome/glow.png":                   "the panel lit in the dark",
		"dome/fab/dome-copper-bottom.gbr": "copper, wiring side (L2)",
		"order-spares/fab/order-spares-drill-unplated.drl": "unplated holes, finished size",
		"order-spares/fab/README.txt":                      "all this in words, for people at the board house",
		"order-desk/order-desk-fab.zip":                    "several boards on one manufacturing panel",
		"order-desk/placement.csv":                         "where they stand", // of a panel of that name
		"NAME/NAME-fab.zip":                                "the fabrication pack: what you upload to the board house",
		"order-spares/fab/order-spares-vcut.gbr":           "lines of the V-cuts",
		"camera-2/fab/camera-2-component-top.gbr":          "component data, top",
	} {
		f, ok := FileAt(path)
		require.True(t, ok, path)
		require.Equal(t, what, f.What, path)
	}
	for _, path := range []string{"", "dome", "notes.txt", "dome/result.json", "parts.csv/", "dome/fab/focus-copper-top.gbr", "dome/array-top.svg", "x/dome/glow.png"} {
		_, ok := FileAt(path)
		require.False(t, ok, path)
	}
}

func TestEveryFileHasOneLine(t *testing.T) {
	seen := map[Name]bool{}
	for _, f := range Files() {
		require.False(t, seen[f.Name], f.Name)
		seen[f.Name] = true
		require.NotEmpty(t, f.What, f.Name)
		require.True(t, f.When == "" || strings.HasPrefix(f.When, "where "), f.When)
	}
	for line := range strings.Lines(Listing("out")) {
		require.LessOrEqual(t, len(line), 121, line)
	}
}
