package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// Each system's users open its archive with what they have; here unzip and tar stand for that, where they are. The program is one that
// runs, whoever unpacked it, and the archive has the same bytes each time.
func TestPacked(t *testing.T) {
	files := []file{{"lampblack", []byte("#!/bin/sh\necho it runs\n"), true}, {"LICENSE", []byte("a licence"), false}, {"NOTICE", []byte("others' licences"), false}}
	with := map[string][]string{"windows": {"unzip", "-q"}, "darwin": {"unzip", "-q"}, "linux": {"tar", "xzf"}}
	for _, of := range targets() {
		t.Run(of.archive(), func(t *testing.T) {
			data, err := packed(of, files)
			require.NoError(t, err)
			again, err := packed(of, files)
			require.NoError(t, err)
			require.True(t, slices.Equal(data, again))

			tool, err := exec.LookPath(with[of.system][0])
			if err != nil {
				t.Skip(err)
			}
			dir := t.TempDir()
			archive := filepath.Join(dir, of.archive())
			require.NoError(t, os.WriteFile(archive, data, 0o644))
			c := exec.Command(tool, append(with[of.system][1:], archive)...)
			c.Dir = dir
			said, err := c.CombinedOutput()
			require.NoError(t, err, "%s", said)
			for _, f := range files {
				name := filepath.Join(dir, of.folder(), f.name)
				got, err := os.ReadFile(name)
				require.NoError(t, err)
				require.Equal(t, string(f.data), string(got))
				st, err := os.Stat(name)
				require.NoError(t, err)
				require.Equal(t, f.mode(), st.Mode())
			}
			said, err = exec.Command(filepath.Join(dir, of.folder(), "lampblack")).CombinedOutput()
			require.NoError(t, err)
			require.Equal(t, "it runs\n", string(said))
		})
	}
}

// A user of any of the systems knows which is his; only the one for Windows ends as Windows wants it.
func TestTargets(t *testing.T) {
	var names []string
	for _, of := range targets() {
		names = append(names, of.archive()+" "+of.program())
	}
	require.Equal(t, []string{
		"lampblack-windows-amd64.zip lampblack.exe", "lampblack-windows-arm64.zip lampblack.exe",
		"lampblack-darwin-amd64.zip lampblack", "lampblack-darwin-arm64.zip lampblack",
		"lampblack-linux-amd64.tar.gz lampblack", "lampblack-linux-arm64.tar.gz lampblack",
	}, names)
}

// What SHA256SUMS has, sha256sum checks; a file that came to harm on its way is told.
func TestSums(t *testing.T) {
	dir := t.TempDir()
	names := []string{"lampblack.html", "lampblack-linux-amd64.tar.gz"}
	for _, n := range names {
		require.NoError(t, os.WriteFile(filepath.Join(dir, n), []byte("what "+n+" has"), 0o644))
	}
	data, err := sums(dir, names)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "SHA256SUMS"), data, 0o644))
	tool, err := exec.LookPath("sha256sum")
	if err != nil {
		t.Skip(err)
	}
	check := func() (string, error) {
		c := exec.Command(tool, "--check", "--strict", "SHA256SUMS")
		c.Dir = dir
		said, err := c.CombinedOutput()
		return string(said), err
	}
	said, err := check()
	require.NoError(t, err, said)
	require.Equal(t, "lampblack-linux-amd64.tar.gz: OK\nlampblack.html: OK\n", said)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "lampblack.html"), []byte("what"), 0o644))
	said, err = check()
	require.Error(t, err)
	require.Contains(t, said, "lampblack.html: FAILED")
}

// What lies in the folder already would be taken for a part of the release.
func TestEmpty(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "dist")
	require.NoError(t, empty(dir))
	require.NoError(t, empty(dir))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "old.zip"), nil, 0o644))
	require.ErrorContains(t, empty(dir), "old.zip: name a new folder with -o")
}
