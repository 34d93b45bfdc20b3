package bundle

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"encoding/json"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func files() []File {
	return []File{
		{"dome/fab/dome-profile.gbr", []byte(strings.Repeat("X1Y1D01*\n", 500))},
		{"dome/README.txt", []byte("short")},
		{"result.json", []byte(`{"lampblack": "1.0", "files": ["empty"], "panels": [{"files": ["dome/README.txt", "dome/fab/dome-profile.gbr"]}]}`)},
		{"empty", nil},
	}
}

func unzip(t *testing.T, src []byte) (map[string]string, *zip.Reader) {
	r, err := zip.NewReader(bytes.NewReader(src), int64(len(src)))
	require.NoError(t, err)
	out := map[string]string{}
	for _, f := range r.File {
		rc, err := f.Open()
		require.NoError(t, err)
		data, err := io.ReadAll(rc) // checks the CRC
		require.NoError(t, err)
		out[f.Name] = string(data)
	}
	return out, r
}

func TestZip(t *testing.T) {
	src := Zip(nil, files())
	got, r := unzip(t, src)
	require.Len(t, got, 4)
	for i, f := range r.File {
		require.True(t, i == 0 || r.File[i-1].Name < f.Name, "sorted")
		require.Equal(t, uint16(33), f.ModifiedDate) // 1980-01-01
		require.Zero(t, f.ModifiedTime)
		require.Empty(t, f.Extra)
		require.Zero(t, f.Flags&8, "sizes stand before the data")
	}
	for _, f := range files() {
		require.Equal(t, string(f.Data), got[f.Path])
	}
	other := files()
	other[0], other[3] = other[3], other[0]
	require.Equal(t, src, Zip(nil, other), "the order given does not matter")
	require.Less(t, len(src), 4000, "it is compressed")

	// Local headers have no extra field either: offset 28 of each (.ZIP File Format Specification, 4.3.7).
	for rest := src; ; {
		i := bytes.Index(rest, []byte("PK\x03\x04"))
		if i < 0 {
			break
		}
		require.Zero(t, binary.LittleEndian.Uint16(rest[i+28:]))
		rest = rest[i+4:]
	}
}

func TestZipAt(t *testing.T) {
	date := time.Date(2026, 11, 25, 20, 31, 8, 0, time.UTC)
	_, r := unzip(t, ZipAt(nil, files(), date))
	require.Equal(t, date, r.File[0].Modified.UTC())
	require.Equal(t, Zip(nil, files()), ZipAt(nil, files(), time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC)))
}

func TestZipNames(t *testing.T) {
	got, r := unzip(t, Zip(nil, []File{{"Süd.txt", []byte("x")}}))
	require.Equal(t, "x", got["Süd.txt"])
	require.False(t, r.File[0].NonUTF8)
	require.NotZero(t, r.File[0].Flags&0x800)
}

func tree(t *testing.T, dir string) map[string]string {
	out := map[string]string{}
	require.NoError(t, filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(p)
		rel, _ := filepath.Rel(dir, p)
		out[filepath.ToSlash(rel)] = string(data)
		return err
	}))
	return out
}

func want(fs []File) map[string]string {
	out := map[string]string{}
	for _, f := range fs {
		out[f.Path] = string(f.Data)
	}
	return out
}

// only checks that dir holds nothing but the names: no temporary folder is left.
func only(t *testing.T, dir string, names ...string) {
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	require.ElementsMatch(t, names, got)
}

func swap(dir string, fs []File) error { return Folder{Dir: dir}.Swap(fs) }

// refusal wants an error to be one, for that reason.
func refusal(t *testing.T, why Why, err error) *Refusal {
	t.Helper()
	var r *Refusal
	require.ErrorAs(t, err, &r)
	require.Equal(t, why, r.Why, err.Error())
	return r
}

func TestSwap(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "deep", "out")
	require.NoError(t, swap(dir, files()), "new, with folders above it")
	require.Equal(t, want(files()), tree(t, dir))

	second := []File{{"result.json", []byte(`{"lampblack":"2", "files": ["a/b/c"]}`)}, {"a/b/c", []byte("c")}}
	require.NoError(t, swap(dir, second), "over our own")
	require.Equal(t, want(second), tree(t, dir), "nothing of the old one is left")
	only(t, filepath.Join(parent, "deep"), "out")

	empty := filepath.Join(parent, "empty")
	require.NoError(t, os.Mkdir(empty, 0o755))
	require.NoError(t, swap(empty, second))
	require.Equal(t, want(second), tree(t, empty))
}

func TestSwapRefusesForeign(t *testing.T) {
	for name, content := range map[string]map[string]string{
		"holiday pictures":         {"beach.jpg": "x"},
		"another program's result": {"result.json": `{"tests": 3}`},
		"a broken result":          {"result.json": `{"lampblack": `},
		"a printed result":         {"result.json": `{"lampblack": "1", "files": []}`, "letters/to mother.txt": "x"},
		"a note in our own":        {"result.json": `{"lampblack": "1", "panels": [{"files": ["a/b.txt"]}]}`, "a/b.txt": "b", "a/note.txt": "x"},
	} {
		t.Run(name, func(t *testing.T) {
			parent := t.TempDir()
			dir := filepath.Join(parent, "out")
			require.NoError(t, os.Mkdir(dir, 0o755))
			for f, s := range content {
				require.NoError(t, os.MkdirAll(filepath.Dir(filepath.Join(dir, f)), 0o755))
				require.NoError(t, os.WriteFile(filepath.Join(dir, f), []byte(s), 0o644))
			}
			err := swap(dir, files())
			refusal(t, Foreign, err)
			refusal(t, Foreign, Folder{Dir: dir, Replace: true}.Swap(files()))
			refusal(t, Foreign, Folder{Dir: dir}.Check())
			require.Equal(t, content, tree(t, dir))
			only(t, parent, "out")
		})
	}
	file := filepath.Join(t.TempDir(), "out")
	require.NoError(t, os.WriteFile(file, []byte("x"), 0o644))
	refusal(t, NoFolder, swap(file, files()))
	require.FileExists(t, file)
	require.ErrorContains(t, swap("/", nil), "root")
}

// A path that leaves the folder, or that clashes with another, stops everything before the disk is touched.
func TestSwapRefusesPaths(t *testing.T) {
	for _, bad := range [][]string{
		{"../x"}, {"/x"}, {"a/../x"}, {"a//b"}, {""}, {"."}, {`a\b`}, {"c:x"}, {"a/"}, {"x", "x"}, {"x", "X"}, {"a", "a/b"}, {"A/b/c", "a/B"}, {"con/x"}, {"a/nul.svg"}, {"a./x"}, {"a?"},
	} {
		parent := t.TempDir()
		var fs []File
		for _, p := range bad {
			fs = append(fs, File{Path: p})
		}
		require.Error(t, swap(filepath.Join(parent, "out"), fs), "%q", bad)
		only(t, parent)
	}
}

// A failure while the files are written leaves the old folder as it was.
func TestSwapFailsWhole(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("names of 300 bytes fail in another way")
	}
	parent := t.TempDir()
	dir := filepath.Join(parent, "out")
	require.NoError(t, swap(dir, files()))
	tooLong := append(files(), File{Path: "z/" + strings.Repeat("n", 300)})
	err := swap(dir, tooLong)
	require.Error(t, err)
	require.Equal(t, want(files()), tree(t, dir))
	only(t, parent, "out")
}

func TestSwapThroughLink(t *testing.T) {
	parent := t.TempDir()
	real, link := filepath.Join(parent, "disk", "out"), filepath.Join(parent, "out")
	require.NoError(t, swap(real, files()))
	if err := os.Symlink(real, link); err != nil {
		t.Skip("no links here: ", err)
	}
	second := []File{{"result.json", []byte(`{"lampblack":"2"}`)}}
	require.NoError(t, swap(link, second))
	require.Equal(t, want(second), tree(t, real))
	info, err := os.Lstat(link)
	require.NoError(t, err)
	require.NotZero(t, info.Mode()&fs.ModeSymlink, "the link stays")

	require.NoError(t, os.RemoveAll(real))
	refusal(t, NoLink, swap(link, second))
}

func BenchmarkSwap(b *testing.B) {
	dir := filepath.Join(b.TempDir(), "out")
	var fs []File
	for i := range 120 {
		fs = append(fs, File{Path: filepath.ToSlash(filepath.Join("dome", "f"+string(rune('a'+i%26))+strings.Repeat("x", i))), Data: make([]byte, 50_000)})
	}
	var names []string
	for _, f := range fs {
		names = append(names, f.Path)
	}
	result, err := json.Marshal(map[string]any{"lampblack": "1", "files": names})
	require.NoError(b, err)
	fs = append(fs, File{"result.json", result})
	for b.Loop() {
		require.NoError(b, swap(dir, fs))
	}
}
