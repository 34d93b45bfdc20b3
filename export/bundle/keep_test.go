package bundle

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"image"
	"image/png"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// written is an output of a console with one drawing, as a build writes it.
func written(t *testing.T, console, drawing, text string) []File {
	fs := []File{{"parts.csv", []byte(text)}, {"dome/face.svg", []byte("<svg/>")}}
	src, err := json.Marshal(map[string]any{
		"lampblack": "1", "console": console, "files": []string{"parts.csv"}, "digests": Digests(nil, fs),
		"panels": []any{map[string]any{"drawing": drawing, "files": []string{"dome/face.svg"}}},
	})
	require.NoError(t, err)
	return append(fs, File{"result.json", src})
}

func put(t *testing.T, name, text string) string {
	t.Helper()
	require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o755))
	require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
	return name
}

func holds(t *testing.T, name, want string) {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	require.Equal(t, want, string(data))
}

func TestDigest(t *testing.T) {
	// NIST FIPS 180-4's example message "abc", as in its published example values for SHA-256.
	require.Equal(t, map[string]string{"a": "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"}, Digests(nil, []File{{"a", []byte("abc")}}))
}

// A file that was edited stops the swap; told to, it goes on. One that is gone stops nothing, nor does one without a digest.
func TestSwapKeepsEdited(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	f := Folder{Dir: dir, By: Owner{Console: "Desk", Drawings: []string{"a.dxf"}}}
	require.NoError(t, f.Swap(written(t, "Desk", "a.dxf", "first")))
	require.NoError(t, f.Swap(written(t, "Desk", "a.dxf", "second")), "unchanged")

	put(t, filepath.Join(dir, "dome/face.svg"), "<svg>retouched</svg>")
	for _, err := range []error{f.Check(), f.Swap(written(t, "Desk", "a.dxf", "third"))} {
		require.Equal(t, []string{filepath.Join(dir, "dome", "face.svg")}, refusal(t, Edited, err).Files)
	}
	holds(t, filepath.Join(dir, "dome/face.svg"), "<svg>retouched</svg>")
	holds(t, filepath.Join(dir, "parts.csv"), "second")
	told := f
	told.Replace = true
	require.NoError(t, told.Check())
	require.NoError(t, told.Swap(written(t, "Desk", "a.dxf", "third")))
	holds(t, filepath.Join(dir, "dome/face.svg"), "<svg/>")

	require.NoError(t, os.Remove(filepath.Join(dir, "parts.csv")))
	require.NoError(t, f.Check())
	put(t, filepath.Join(dir, "result.json"), `{"lampblack": "1", "console": "Desk", "files": ["parts.csv"], "panels": [{"drawing": "a.dxf", "files": ["dome/face.svg"]}]}`)
	put(t, filepath.Join(dir, "parts.csv"), "whatever")
	require.NoError(t, f.Check(), "a result of before there were digests")
}

func TestSwapKeepsAnothers(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	desk := Folder{Dir: dir, By: Owner{Console: "Desk", Drawings: []string{"x/a.dxf", "b.dxf"}}}
	require.NoError(t, desk.Swap(written(t, "Desk", "b.dxf", "desk")))
	for name, by := range map[string]Owner{
		"another console":                    {Console: "Cabin", Drawings: []string{"b.dxf"}},
		"another of that name":               {Console: "Desk", Drawings: []string{"c.dxf"}},
		"a pack":                             {Pack: "b-fab.zip"},
		"a drawing whose name begins so":     {Console: "Desk", Drawings: []string{"b-relit-bright.dxf"}},
		"a drawing with a name in that name": {Console: "Desk", Drawings: []string{"bb.dxf"}},
	} {
		r := refusal(t, Another, Folder{Dir: dir, By: by}.Check())
		require.Equal(t, "Desk (b.dxf)", r.Of.String(), name)
		refusal(t, Another, Folder{Dir: dir, By: by}.Swap(written(t, "X", "x.dxf", "x")))
		holds(t, filepath.Join(dir, "parts.csv"), "desk")
	}
	for _, drawing := range []string{"b.dxf", "sub/b.dxf", "b-relit.dxf", "b-relit-12.dxf"} {
		require.NoError(t, Folder{Dir: dir, By: Owner{Console: "Desk", Drawings: []string{"new.dxf", drawing}}}.Check(), drawing)
	}
	cabin := Folder{Dir: dir, By: Owner{Console: "Cabin", Drawings: []string{"b.dxf"}}, Replace: true}
	put(t, filepath.Join(dir, "note"), "mine")
	refusal(t, Foreign, cabin.Swap(written(t, "Cabin", "b.dxf", "cabin")))
	require.NoError(t, os.Remove(filepath.Join(dir, "note")))
	require.NoError(t, cabin.Swap(written(t, "Cabin", "b.dxf", "cabin")))
}

// What is read never lies in what is replaced, by whatever way it is named.
func TestSwapKeepsInputs(t *testing.T) {
	top := t.TempDir()
	dir := filepath.Join(top, "out")
	by := Owner{Pack: "a.zip"}
	pack := []File{{"a.zip", []byte("zip")}, {"result.json", []byte(`{"lampblack": "1", "file": "a.zip", "files": ["a.zip"]}`)}}
	require.NoError(t, Folder{Dir: dir, By: by}.Swap(pack))
	inputs := map[string]string{"plain": filepath.Join(dir, "a.zip"), "roundabout": filepath.Join(top, "out", "..", "out", "a.zip"), "itself": dir}
	if err := os.Symlink(filepath.Join(dir, "a.zip"), filepath.Join(top, "b.zip")); err == nil {
		inputs["a link to it"] = filepath.Join(top, "b.zip")
		require.NoError(t, os.Symlink(dir, filepath.Join(top, "other")))
		inputs["by a linked folder"] = filepath.Join(top, "other", "a.zip")
	}
	for name, in := range inputs {
		f := Folder{Dir: dir, By: by, Inputs: []string{filepath.Join(top, "elsewhere"), in}, Replace: true}
		require.Equal(t, []string{in}, refusal(t, HoldsWork, f.Check()).Files, name)
		refusal(t, HoldsWork, f.Swap(pack))
	}
	require.NoError(t, Folder{Dir: dir, By: by, Inputs: []string{filepath.Join(top, "out2", "a.zip"), top}}.Check())
	// Nor does the folder that the user stands in.
	t.Chdir(dir)
	require.Equal(t, []string{"the folder you are in"}, refusal(t, HoldsWork, Folder{Dir: "../out", By: by}.Check()).Files)
}

// That a folder cannot be written is known before the work, and looking leaves nothing.
func TestCheckTriesToWrite(t *testing.T) {
	top := t.TempDir()
	require.NoError(t, Folder{Dir: filepath.Join(top, "a", "b", "out")}.Check())
	only(t, top)
	file := put(t, filepath.Join(top, "file"), "x")
	var r *Refusal
	err := Folder{Dir: filepath.Join(file, "out")}.Check()
	require.Error(t, err)
	require.NotErrorAs(t, err, &r)
	if os.Geteuid() > 0 {
		require.NoError(t, os.Chmod(top, 0o555))
		defer func() { require.NoError(t, os.Chmod(top, 0o755)) }()
		require.ErrorIs(t, Folder{Dir: filepath.Join(top, "out")}.Check(), fs.ErrPermission)
	}
}

func TestNew(t *testing.T) {
	top := t.TempDir()
	name := filepath.Join(top, "a")
	require.NoError(t, New(name, []byte("one")))
	require.ErrorIs(t, New(name, []byte("two")), fs.ErrExist)
	holds(t, name, "one")
	if os.Symlink(filepath.Join(top, "far"), filepath.Join(top, "link")) == nil {
		require.ErrorIs(t, New(filepath.Join(top, "link"), []byte("two")), fs.ErrExist)
		require.NoFileExists(t, filepath.Join(top, "far"))
	}
	// One of several fails: none is left but what was there.
	require.ErrorIs(t, Fill(top, []File{{"b", []byte("b")}, {"a", []byte("two")}}), fs.ErrExist)
	require.NoFileExists(t, filepath.Join(top, "b"))
	holds(t, name, "one")
	require.NoError(t, Fill(filepath.Join(top, "x", "y"), []File{{"b", []byte("b")}}))
	holds(t, filepath.Join(top, "x", "y", "b"), "b")
}

func TestReplace(t *testing.T) {
	top := t.TempDir()
	name := put(t, filepath.Join(top, "lampblack.yaml"), "one")
	require.NoError(t, os.Chmod(name, 0o640))
	kept, err := Replace(name, []byte("one"), []byte("two"))
	require.NoError(t, err)
	require.Equal(t, name+".before", kept)
	holds(t, kept, "one")
	holds(t, name, "two")
	st, err := os.Stat(name)
	require.NoError(t, err)
	require.Equal(t, fs.FileMode(0o640), st.Mode().Perm())

	kept, err = Replace(name, []byte("two"), []byte("three"))
	require.NoError(t, err)
	require.Equal(t, name+".before-2", kept)
	holds(t, name+".before", "one")
	holds(t, kept, "two")

	_, err = Replace(name, []byte("two"), []byte("four"))
	require.ErrorContains(t, err, "changed meanwhile")
	holds(t, name, "three")
	only(t, top, "lampblack.yaml", "lampblack.yaml.before", "lampblack.yaml.before-2")

	link := filepath.Join(t.TempDir(), "link.yaml")
	if os.Symlink(name, link) == nil {
		_, err = Replace(link, []byte("three"), []byte("four"))
		require.NoError(t, err)
		holds(t, name, "four")
		st, err := os.Lstat(link)
		require.NoError(t, err)
		require.NotZero(t, st.Mode()&fs.ModeSymlink, "the link stays")
	}
}

func TestPicture(t *testing.T) {
	top := t.TempDir()
	svg := filepath.Join(top, "a.svg")
	p := Picture{Name: svg}
	require.NoError(t, p.Check())
	require.NoError(t, p.Write([]byte("<svg>1</svg>\n")))
	require.NoError(t, p.Check())
	require.NoError(t, p.Write([]byte("<svg>2</svg>\n")), "ours and unchanged")
	data, err := os.ReadFile(svg)
	require.NoError(t, err)
	require.Contains(t, string(data), "<svg>2</svg>\n<!-- written by lampblack")

	for _, text := range map[string]string{
		"changed":      "<svg>3" + string(data[6:]),
		"added to":     string(data) + "\n",
		"another's":    "<svg/>",
		"empty":        "",
		"only a mark":  "999\n" + markText + digest(nil),
		"a false mark": "<svg/><!-- " + markText + digest([]byte("<svg>")) + " -->\n",
	} {
		put(t, svg, text)
		refusal(t, Exists, p.Check())
		refusal(t, Exists, p.Write([]byte("<svg/>")))
		holds(t, svg, text)
	}
	refusal(t, Exists, Picture{Name: top}.Check())

	// Never over what is read, though it were ours, by whatever link.
	put(t, svg, string(data))
	others := []string{svg, filepath.Join(top, "..", filepath.Base(top), "a.svg")}
	for i, link := range []func(string, string) error{os.Link, os.Symlink} {
		if name := filepath.Join(top, string(rune('p'+i))); link(svg, name) == nil {
			others = append(others, name)
		}
	}
	for _, name := range others {
		refusal(t, IsInput, Picture{Name: name, Inputs: []string{svg}}.Write([]byte("<svg/>")))
	}
	holds(t, svg, string(data))
	if os.Symlink(filepath.Join(top, "far.svg"), filepath.Join(top, "dangling.svg")) == nil {
		refusal(t, NoLink, Picture{Name: filepath.Join(top, "dangling.svg")}.Check())
	}
	require.Error(t, Picture{Name: filepath.Join(top, "no", "such.svg")}.Write([]byte("<svg/>")))
}

// Each format stays what it is with the mark in it, and any change is seen.
func TestMark(t *testing.T) {
	var img bytes.Buffer
	require.NoError(t, png.Encode(&img, image.NewGray(image.Rect(0, 0, 3, 2))))
	for name, src := range map[string]string{
		"svg": "<svg></svg>\n", "pdf": "%PDF-1.4\n1 0 obj\n%%EOF\n", "png": img.String(), "dxf": "  0\nSECTION\n  0\nEOF\n", "empty": "",
	} {
		m := marked([]byte(src))
		require.True(t, isMarked(m), name)
		require.False(t, isMarked([]byte(src)), name)
		for i := range m {
			spoilt := bytes.Clone(m)
			spoilt[i] ^= 1
			require.False(t, isMarked(spoilt), "%s: byte %d", name, i)
			require.False(t, isMarked(m[:i]), "%s: cut at %d", name, i)
		}
		require.False(t, isMarked(append(bytes.Clone(m), 'x')), name)
		switch name {
		case "png":
			_, err := png.Decode(bytes.NewReader(m)) // which checks each chunk
			require.NoError(t, err)
			require.Equal(t, src[len(src)-12:], string(m[len(m)-12:]))
		case "svg":
			require.NoError(t, xml.Unmarshal(m, new(struct{})))
		case "dxf":
			require.Regexp(t, "^999\nwritten by lampblack; SHA-256 of all else: [0-9a-f]{64}\n  0\nSECTION\n", string(m))
		}
	}
}
