package flow

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/result"
)

// The Khronos validator finds nothing wrong with what the example writes: testdata/gltfcheck. Sizes are bounded, since a page loads
// the files.
func TestValidGLTF(t *testing.T) {
	out := built(t)
	dir, err := filepath.Abs(filepath.Join("..", "..", "..", "..", "testdata", "gltfcheck"))
	require.NoError(t, err)
	folder, args := t.TempDir(), []string{"check.js"}
	for _, f := range out.Files {
		if !strings.HasSuffix(f.Path, ".glb") {
			continue
		}
		most := 1_500_000 // the largest board has 82 LEDs
		if f.Path == string(result.ConsoleGLB) {
			most = 6_000_000
		}
		require.Less(t, len(f.Data), most, f.Path)
		path := filepath.Join(folder, strings.ReplaceAll(f.Path, "/", "-"))
		require.NoError(t, os.WriteFile(path, f.Data, 0o644))
		args = append(args, path)
	}
	require.Len(t, args, 1+1+len(out.Built))
	node, err := exec.LookPath("node")
	if err != nil {
		t.Skip("node is not installed: the glTF files are not validated")
	}
	if _, err := os.Stat(filepath.Join(dir, "node_modules")); err != nil {
		t.Skip("run 'npm ci' in testdata/gltfcheck for the outside check of the glTF files")
	}
	cmd := exec.Command(node, args...)
	cmd.Dir = dir
	told, err := cmd.Output()
	require.NoError(t, err)
	var all []struct {
		File                           string
		Errors, Warnings, Infos, Hints int
		Messages                       []string
		Triangles                      int
	}
	require.NoError(t, json.Unmarshal(told, &all))
	require.Len(t, all, len(args)-1)
	for _, f := range all {
		require.Zero(t, f.Errors+f.Warnings+f.Infos+f.Hints, "%s: %v", f.File, f.Messages)
		require.Positive(t, f.Triangles)
	}
}
