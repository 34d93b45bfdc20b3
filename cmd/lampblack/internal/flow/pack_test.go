package flow

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export"
	"lampblack/export/exporttest"
	"lampblack/export/exporttest/outside"
	"lampblack/export/readback"
	"lampblack/export/result"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// example builds the example console with an array of some of its boards, once for all tests.
var example = sync.OnceValues(func() (Outcome, error) {
	dir := filepath.Join("..", "..", "..", "..", "examples", "observatory")
	src, err := os.ReadFile(filepath.Join(dir, project.FileName))
	if err != nil {
		return Outcome{}, err
	}
	if !bytes.Contains(src, []byte("\norder:")) {
		src = append(src, "\norder: {name: small, boards: {focus: 3, weather: 1}}\n"...)
	}
	p, l := project.Read(src, filepath.Join(dir, project.FileName))
	if l.HasErrors() {
		return Outcome{}, l.Err()
	}
	out := must(Build(context.Background(), p, Settings{Version: "test", Pack: true}))
	return out, out.Findings.Err()
})

// sequel skips tests that would build once more what the short ones, which the race detector watches, have built already.
func sequel(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("builds boards as other tests do, side by side on no more cores")
	}
}

func built(t *testing.T) Outcome {
	t.Helper()
	if testing.Short() {
		t.Skip("builds the whole example")
	}
	out, err := example()
	require.NoError(t, err)
	require.NotEmpty(t, out.Orders)
	return out
}

// Every file of every pack of the example, arrays included: Gerber files keep all rules of the specification, as a second
// reading of it sees them; drills are XNC; the netlist has 80 columns; names end as they must.
func TestEveryFileOfTheExample(t *testing.T) {
	out := built(t)
	drill := regexp.MustCompile(`^(M48|METRIC|%|G05|M15|M16|M30|T\d\dC\d+\.\d{3,6}|T\d\d|; #@! T[FA]\..*|(G00|G01)?X-?\d+\.\d{3,6}Y-?\d+\.\d{3,6})$`)
	kinds := map[string]int{}
	packs := 0
	for _, f := range out.Files {
		if !strings.Contains(f.Path, "/fab/") {
			continue
		}
		ext := filepath.Ext(f.Path)
		kinds[ext]++
		switch ext {
		case ".gbr":
			require.Empty(t, exporttest.Breaks(f.Data), f.Path)
		case ".drl":
			for line := range strings.Lines(string(f.Data)) {
				require.Regexp(t, drill, strings.TrimSuffix(line, "\n"), f.Path)
			}
		case ".ipc":
			for line := range strings.Lines(string(f.Data)) {
				require.Len(t, line, 81, f.Path)
			}
			require.Contains(t, string(f.Data), "\n389", f.Path)
		case ".gbrjob":
			require.True(t, json.Valid(f.Data), f.Path)
		case ".csv":
			require.True(t, strings.HasPrefix(f.Path, "order-"), "%s: the lists of a board lie beside its pack", f.Path)
		case ".txt":
			packs++
			for line := range strings.Lines(string(f.Data)) {
				require.LessOrEqual(t, len(line), 79, f.Path)
			}
		default:
			t.Errorf("%s: no file of a pack", f.Path)
		}
	}
	require.Equal(t, out.Packs+len(out.Orders), packs)
	require.Equal(t, packs, kinds[".ipc"])
	listed(t, out)
	require.GreaterOrEqual(t, kinds[".gbr"], 10*packs)
	require.Equal(t, 2*packs, kinds[".drl"])
}

// listed wants every file written in the list of what a build writes, and what it says is always written.
func listed(t *testing.T, out Outcome) {
	t.Helper()
	written := map[string]bool{}
	for _, f := range out.Files {
		_, ok := result.FileAt(f.Path)
		require.True(t, ok, f.Path)
		require.False(t, written[f.Path], "written twice: %s", f.Path)
		written[f.Path] = true
	}
	names := map[result.Scope][]string{result.OfConsole: {""}}
	for _, b := range out.Built {
		names[result.OfPanel] = append(names[result.OfPanel], b.Panel.Name)
	}
	for _, o := range out.Orders {
		names[result.OfOrder] = append(names[result.OfOrder], o.Name)
	}
	for _, f := range result.Files() {
		for _, n := range names[f.Of] {
			require.True(t, written[f.Name.Of(n)] || f.When != "", "not written: %s", f.Name.Of(n))
		}
	}
}

// All files of a pack say that they belong together, and which part of what they are.
func TestPacksBelongTogether(t *testing.T) {
	id := regexp.MustCompile(`TF\.SameCoordinates,([0-9a-f-]{36})`)
	out := built(t)
	seen := map[string]string{}
	for _, f := range out.Files {
		dir, name, ok := strings.Cut(f.Path, "/fab/")
		if !ok || !strings.HasSuffix(name, ".gbr") && !strings.HasSuffix(name, ".drl") {
			continue
		}
		m := id.FindSubmatch(f.Data)
		require.NotNil(t, m, f.Path)
		if first, ok := seen[dir]; ok {
			require.Equal(t, first, string(m[1]), f.Path)
		}
		seen[dir] = string(m[1])
		part := "TF.Part,Single"
		if strings.HasPrefix(dir, "order-") {
			part = "TF.Part,Array"
		}
		require.Contains(t, string(f.Data), part, f.Path)
		require.Contains(t, string(f.Data), "TF.ProjectId,"+dir+","+string(m[1]), f.Path)
		require.NotContains(t, string(f.Data), "TF.CreationDate", f.Path)
	}
	require.Len(t, seen, out.Packs+len(out.Orders))
}

// inspect finds nothing to say against any pack of ours, and sees the board's size and nets.
func TestInspectOwnPacks(t *testing.T) {
	out := built(t)
	packs := 0
	for _, f := range out.Files {
		if !strings.HasSuffix(f.Path, "-fab.zip") {
			continue
		}
		packs++
		got := must(Inspect(context.Background(), f.Path, f.Data, fine(), "test", true))
		require.Empty(t, got.List, f.Path)
		require.NotNil(t, got.Figures, f.Path)
		require.Zero(t, got.Figures.Open)
		require.GreaterOrEqual(t, len(got.Pictures), 12)
		for _, p := range out.Result.Panels {
			if f.Path == p.Name+"/"+p.Name+"-fab.zip" {
				require.InDelta(t, p.Board.Width, got.Size[0], 1e-6)
				require.InDelta(t, p.Board.Height, got.Size[1], 1e-6)
				require.Equal(t, p.Board.Connections, got.Figures.Joints)
				require.Len(t, got.Nets, p.Board.Nets)
				require.InDelta(t, p.Board.MinClearance, got.Figures.MinClearance, 2e-3)
				require.Equal(t, p.Name, got.Board)
			}
		}
	}
	require.Equal(t, out.Packs+len(out.Orders), packs)
}

// Parsers of others see what we meant, in every layer and drill of the example.
func TestOutsideReadsTheExample(t *testing.T) {
	out := built(t)
	var all []export.Artwork
	for _, m := range out.made() {
		all = append(all, m.lowered.Value.Art)
	}
	outside.Compare(t, all...)
}

// The areas of copper in the files are those of the boards, within 0.01 %. The board's own area is summed from its parts
// with nothing that the writers or the reader use.
func TestCopperAreas(t *testing.T) {
	out := built(t)
	for _, b := range out.made() {
		var files []readback.File
		for _, f := range b.files() {
			if name, ok := strings.CutPrefix(f.Path, "fab/"); ok {
				files = append(files, readback.File{Name: name, Data: f.Data})
			}
		}
		pack, l := readback.Open(t.Context(), files)
		require.Empty(t, l)
		for _, layer := range pack.Artwork.Layers {
			if layer.Function.Copper() {
				want, got := copperOf(b.Board, layer.Function.Side()).Area(), readback.Image(layer).Area()
				require.InEpsilon(t, want, got, 1e-4, "%s %v", b.Name(), layer.Function)
			}
		}
		// Of the profile, exactly: chords of the same curves.
		want := math.Abs(b.Board.Outline.Area())
		raised, l := readback.Raise(t.Context(), pack, board.UsualRules())
		require.False(t, l.HasErrors())
		require.InEpsilon(t, want, raised.Outline.Area(), 1e-6)
	}
}

func copperOf(b board.Board, side geom.Side) geom.Region {
	var rings []geom.Ring
	var g geom.Region
	for _, a := range b.Areas {
		if a.On == side {
			g = g.Or(geom.Region{a.Fill})
		}
	}
	for _, t := range b.Tracks {
		if t.On == side {
			for _, s := range t.Path.Segments() {
				rings = append(rings, geom.Stadium(s, t.Width/2).Ring(geom.FlattenTolerance))
			}
		}
	}
	for _, q := range b.Spots {
		if q.On == side {
			rings = append(rings, geom.Circle(q.At, q.D).Ring(geom.FlattenTolerance))
		}
	}
	for _, v := range b.Vias {
		rings = append(rings, geom.Circle(v.At, v.D).Ring(geom.FlattenTolerance))
	}
	b.Pads(func(i, j int) bool {
		if p := b.Parts[i].Pads[j]; p.OnSide(side) {
			rings = append(rings, p.Contour(0).Ring(geom.FlattenTolerance))
		}
		return true
	})
	return g.Or(geom.UnionOf(rings...))
}

// Each class of fabrication gives proven boards.
func TestClassesBuild(t *testing.T) {
	sequel(t)
	for _, class := range board.Classes() {
		p, set := starter(t, "a.dxf")
		p.Class = class
		p.Rules, _ = board.Class(class)
		out := must(Build(context.Background(), p, set))
		require.Equal(t, 1, out.Packs, "%s: %v", class, out.Findings)
		require.Equal(t, class, out.Result.FabClass)
		f := out.Result.Panels[0].Board
		require.NotNil(t, f.Tightest)
		require.GreaterOrEqual(t, f.Tightest.Found, f.Tightest.Required-1e-3)
		require.Positive(t, f.Travel.Written)
		require.LessOrEqual(t, f.Travel.Written, f.Travel.Plain)
	}
}

// What an order may ask wrongly is told at its place; the boards are built all the same.
func TestOrderFaults(t *testing.T) {
	sequel(t)
	for code, o := range map[string]project.Order{
		"order-no-board":    {Boards: []project.Ordered{{Panel: "nobody", Count: 1}}, PartedBy: project.Tabs},
		"gang-too-large":    {Boards: []project.Ordered{{Panel: "a", Count: 1}}, Width: geom.MM(50), Height: geom.MM(40), PartedBy: project.Tabs},
		"gang-scored-shape": {Boards: []project.Ordered{{Panel: "a", Count: 1}}, PartedBy: project.Scoring},
	} {
		p, set := starter(t, "a.dxf")
		o.Name, o.Frame, o.Slot = "x", geom.MM(7), geom.MM(2)
		if o.Width == 0 {
			o.Width, o.Height = geom.MM(400), geom.MM(300)
		}
		p.Orders = []project.Order{o}
		out := must(Build(context.Background(), p, set))
		require.Equal(t, 1, out.Packs)
		require.Empty(t, out.Orders)
		found := false
		for _, f := range out.Findings {
			if f.Severity == diag.Error {
				require.Equal(t, code, f.Code)
				require.NotEmpty(t, f.Advice)
				found = true
			}
		}
		require.True(t, found, code)
	}
}

func archive(t *testing.T, files map[string][]byte) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for name, data := range files {
		w, err := z.Create(name)
		require.NoError(t, err)
		_, err = w.Write(data)
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return b.Bytes()
}

// What is no pack is refused with a finding, whatever it is.
func TestInspectRefuses(t *testing.T) {
	many := map[string][]byte{}
	for i := range MostEntries + 1 {
		many[fmt.Sprint(i)] = []byte("x")
	}
	good := archive(t, map[string][]byte{"a.gbr": []byte("%MOMM*%\nM02*\n")})
	broken := bytes.Clone(good)
	copy(broken[bytes.Index(broken, []byte("a.gbr"))+5:], "\xff\xff\xff\xff\xff")
	for _, c := range []struct {
		name string
		src  []byte
		code string
	}{
		{"empty file", nil, "inspect-no-zip"},
		{"text", []byte("no zip at all"), "inspect-no-zip"},
		{"cut short", good[:len(good)-10], "inspect-no-zip"},
		{"no files", archive(t, nil), "inspect-empty"},
		{"other files", archive(t, map[string][]byte{"letter.txt": []byte("Dear Sir")}), "inspect-nothing"},
		{"too many", archive(t, many), "inspect-too-large"},
		{"bomb", archive(t, map[string][]byte{"a.gbr": make([]byte, mostEntry+1)}), "inspect-too-large"},
		{"damaged", broken, "inspect-damaged"},
		{"faults", good, "readback-no-format"},
	} {
		got := must(Inspect(context.Background(), "pack.zip", c.src, fine(), "test", true))
		codes := map[string]bool{}
		for _, f := range got.List {
			codes[f.Code] = true
			require.NotEmpty(t, f.Advice, c.name)
		}
		require.True(t, codes[c.code], "%s: %v", c.name, got.List)
		require.True(t, got.List.HasErrors(), c.name)
		require.True(t, json.Valid(got.JSON()))
	}
}

// A break of the rules is told with file and line.
func TestInspectTellsTheLine(t *testing.T) {
	got := must(Inspect(context.Background(), "pack.zip", archive(t, map[string][]byte{"top.gbr": []byte("%MOMM*%\n%FSLAX46Y46*%\nG01*\nD09*\nM02*\n")}), fine(), "test", false))
	found := false
	for _, f := range got.Findings {
		found = found || f.File == "top.gbr" && f.Line == 4 && f.Severity == "error"
	}
	require.True(t, found, "%v", got.Findings)
}

// Inspect takes any bytes.
func FuzzInspect(f *testing.F) {
	f.Add([]byte("PK\x03\x04"))
	f.Fuzz(func(t *testing.T, src []byte) {
		if len(src) > 1<<16 {
			t.Skip()
		}
		must(Inspect(context.Background(), "pack.zip", src, fine(), "fuzz", true))
	})
}

func fine() Against { a, _ := AgainstClass("fine"); return a }
