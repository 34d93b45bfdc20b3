package folder

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/bundle"
)

const yaml = "console: Test\npanels:\n  - {name: a, drawing: a.dxf}\n  - {name: b, drawing: sub/b.dxf}\n"

// laid is a folder with a project, and much that is none of the page's business.
func laid(t *testing.T) (*Folder, string) {
	t.Helper()
	dir := t.TempDir()
	for name, text := range map[string]string{
		"lampblack.yaml": yaml, "a.dxf": "A", "sub/b.dxf": "B", "secret.dxf": "S", "letter.txt": "L", "out/a.dxf": "O",
	} {
		put(t, filepath.Join(dir, name), text)
	}
	file := filepath.Join(dir, "lampblack.yaml")
	p, _ := project.Read([]byte(yaml), file)
	return Of(p, dir), dir
}

func put(t *testing.T, name, text string) {
	t.Helper()
	require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o777))
	require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
}

func holds(t *testing.T, name, text string) {
	t.Helper()
	b, err := os.ReadFile(name)
	require.NoError(t, err)
	require.Equal(t, text, string(b))
}

// with returns the files with one of them as text has it.
func with(files []bundle.File, name, text string) []bundle.File {
	var out []bundle.File
	for _, f := range files {
		if f.Path != name {
			out = append(out, f)
		}
	}
	return append(out, bundle.File{Path: name, Data: []byte(text)})
}

func TestFilesAreWhatTheProjectNames(t *testing.T) {
	f, _ := laid(t)
	require.Equal(t, map[string]string{"lampblack.yaml": id([]byte(yaml)), "a.dxf": id([]byte("A")), "sub/b.dxf": id([]byte("B"))}, ids(f.Files()))
}

func TestBareDrawings(t *testing.T) {
	dir := t.TempDir()
	put(t, filepath.Join(dir, "a.dxf"), "A")
	p, _ := project.Bare([]string{filepath.Join(dir, "a.dxf")})
	f := Of(p, dir)
	require.Equal(t, map[string]string{"a.dxf": id([]byte("A"))}, ids(f.Files()))
	require.Len(t, f.Assumed(), 1)
	_, err := f.Save(ids(f.Files()), append(f.Files(), f.Assumed()...))
	require.NoError(t, err)
	require.Empty(t, f.Assumed())
	require.Len(t, f.Files(), 2)
}

// A file that is written anew, or away for a moment while a program saves by renaming, is told once it has been still.
func TestFollow(t *testing.T) {
	f, dir := laid(t)
	seen := ids(f.Files())
	none, cancel := context.WithTimeout(t.Context(), time.Second)
	defer cancel()
	put(t, filepath.Join(dir, "secret.dxf"), "changed")
	put(t, filepath.Join(dir, "out", "a.dxf"), "changed")
	_, err := f.Follow(none, seen)
	require.ErrorIs(t, err, context.DeadlineExceeded, "what the project does not name is not followed")

	type told struct {
		files []bundle.File
		err   error
	}
	got := make(chan told, 1)
	go func() {
		files, err := f.Follow(t.Context(), seen)
		got <- told{files, err}
	}()
	time.Sleep(2 * look)
	a := filepath.Join(dir, "a.dxf")
	require.NoError(t, os.Rename(a, a+".bak"))
	time.Sleep(look)
	put(t, a+".tmp", "new")
	require.NoError(t, os.Rename(a+".tmp", a))
	from := time.Now()
	now := <-got
	require.NoError(t, now.err)
	require.GreaterOrEqual(t, time.Since(from), still-look, "it has been still")
	want := ids(with(f.Files(), "a.dxf", "new"))
	require.Equal(t, want, ids(now.files))
}

func TestSave(t *testing.T) {
	f, dir := laid(t)
	files := f.Files()
	seen := ids(files)
	changed, err := f.Save(seen, with(files, "a-leds.dxf", "L"))
	require.NoError(t, err)
	require.Empty(t, changed)
	holds(t, filepath.Join(dir, "a-leds.dxf"), "L")

	// What changed on disk since is not overwritten, and nothing else is written then.
	put(t, filepath.Join(dir, "a.dxf"), "by CAD")
	changed, err = f.Save(seen, with(with(files, "a.dxf", "mine"), "sub/b.dxf", "mine"))
	require.NoError(t, err)
	require.Equal(t, []string{"a.dxf"}, changed)
	holds(t, filepath.Join(dir, "a.dxf"), "by CAD")
	holds(t, filepath.Join(dir, "sub", "b.dxf"), "B")
	changed, err = f.Save(seen, with(files, "secret.dxf", "mine"))
	require.NoError(t, err)
	require.Equal(t, []string{"secret.dxf"}, changed, "a file that the page has not seen")
}

func TestSaveStaysInTheFolder(t *testing.T) {
	f, dir := laid(t)
	outside := t.TempDir()
	require.NoError(t, os.Symlink(outside, filepath.Join(dir, "link")))
	require.NoError(t, os.Symlink(filepath.Join(outside, "new.dxf"), filepath.Join(dir, "hollow.dxf")))
	files := f.Files()
	for _, name := range []string{
		"../x.dxf", "/tmp/x.dxf", "sub/../../x.dxf", `..\x.dxf`, "a.sh", ".bashrc", "out/a.dxf", "OUT/a.dxf", "link/x.dxf", "hollow.dxf", "./c.dxf", "con.dxf", "sub/nul.v2.dxf", "a:b.dxf", "sub /x.dxf", "lampblack.yaml/../x.dxf", "",
	} {
		_, err := f.Save(ids(files), with(files, name, "bad"))
		require.ErrorContains(t, err, "is not written", name)
	}
	left, err := os.ReadDir(outside)
	require.NoError(t, err)
	require.Empty(t, left)
}

func TestDraft(t *testing.T) {
	f, dir := laid(t)
	files := f.Files()
	seen := ids(files)
	require.NoError(t, f.Keep(seen, with(files, "a.dxf", "mine")[1:]))
	was, kept, gone := f.Drafted()
	require.Equal(t, seen, was)
	require.Equal(t, []bundle.File{{Path: "a.dxf", Data: []byte("mine")}}, kept)
	require.Equal(t, []string{"lampblack.yaml"}, gone)
	require.Equal(t, seen, ids(f.Files()), "a draft is not the project")
	require.NoError(t, f.Keep(seen, files))
	require.NoFileExists(t, filepath.Join(dir, Draft), "nothing differs")
	require.NoError(t, f.Keep(seen, with(files, "a.dxf", "mine")))
	_, err := f.Save(seen, with(files, "a.dxf", "mine"))
	require.NoError(t, err)
	require.NoFileExists(t, filepath.Join(dir, Draft), "it is saved")
	put(t, filepath.Join(dir, Draft), "no draft")
	_, kept, _ = f.Drafted()
	require.Empty(t, kept)
}
