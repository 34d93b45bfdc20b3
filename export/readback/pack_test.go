package readback_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/export"
	"lampblack/export/exporttest"
	"lampblack/export/readback"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/paneltest"
)

// replaced changes the first file that holds old.
func replaced(t *testing.T, files []readback.File, old, new string) []readback.File {
	t.Helper()
	out := slices.Clone(files)
	for i, f := range out {
		if k := bytes.Index(f.Data, []byte(old)); k >= 0 {
			data := append(append(append([]byte{}, f.Data[:k]...), new...), f.Data[k+len(old):]...)
			out[i].Data = withoutMD5(data)
			return out
		}
	}
	t.Fatalf("no file holds %q", old)
	return nil
}

// withoutMD5 takes the checksum out, so that other faults show.
func withoutMD5(b []byte) []byte {
	i := bytes.Index(b, []byte("%TF.MD5"))
	if i < 0 {
		return b
	}
	j := i + bytes.Index(b[i:], []byte("*%")) + 2
	return append(append([]byte{}, b[:i]...), b[j:]...)
}

func without(t *testing.T, files []readback.File, has string) []readback.File {
	t.Helper()
	k := slices.IndexFunc(files, func(f readback.File) bool { return bytes.Contains(f.Data, []byte(has)) })
	require.GreaterOrEqual(t, k, 0)
	return slices.Delete(slices.Clone(files), k, k+1)
}

// within asks that each finding says what it is about; the whole file or pack will do, which the caller names.
func within(t testing.TB, l diag.List) diag.List {
	t.Helper()
	for _, f := range l {
		require.True(t, f.HasSubject() || f.Place.File != "" || strings.HasPrefix(f.Text, "the pack"), "%s: about what?", f.Text)
	}
	return l
}

func TestPackFaults(t *testing.T) {
	_, files := written(t, exporttest.Desk())
	open := func(fs []readback.File) []string {
		_, found := readback.Open(t.Context(), fs)
		return codes(within(t, found))
	}
	require.Empty(t, open(files))
	require.Contains(t, open(without(t, files, "Copper,L2,Bot")), "readback-missing-layer")
	require.Contains(t, open(without(t, files, "Profile,NP")), "readback-missing-layer")
	require.Contains(t, open(without(t, files, "Soldermask,Top")), "readback-missing-layer")
	require.Contains(t, open(without(t, files, "Plated,1,2,PTH")), "readback-missing-layer")
	require.Contains(t, open(append(slices.Clone(files), files[0])), "readback-layer-twice")
	require.Contains(t, open(replaced(t, files, "%TF.FilePolarity,Negative*%", "%TF.FilePolarity,Positive*%")), "readback-polarity")
	require.Contains(t, open(replaced(t, files, ".SameCoordinates,", ".SameCoordinates,other")), "readback-coordinates-differ")
	require.Contains(t, open(replaced(t, files, "%TF.FileFunction,Legend,Top*%", "")), "readback-no-function")
	// One byte of a coordinate: the checksum tells.
	damaged := slices.Clone(files)
	damaged[0].Data = bytes.Replace(files[0].Data, []byte("D01*"), []byte("D02*"), 1)
	require.Contains(t, open(damaged), "readback-md5")
	require.Contains(t, open([]readback.File{{Name: "empty"}, {Name: "x", Data: []byte("no Gerber")}}), "readback-missing-layer")
}

func TestPackNames(t *testing.T) {
	_, files := written(t, exporttest.Desk())
	p, _ := readback.Open(t.Context(), files)
	require.True(t, p.HasNetlist)
	require.NotEmpty(t, p.Name())
	kinds := map[string]int{}
	for _, f := range p.Files {
		kinds[f.Kind]++
	}
	require.Equal(t, 1, kinds["netlist"])
	require.Equal(t, 1, kinds["job"])
	require.Equal(t, exporttest.Desk().Outline.Box(), p.Artwork.Size)
}

// TestNetlistAgainstCopper: a net, pin or place of the netlist that the copper does not know.
func TestNetlistAgainstCopper(t *testing.T) {
	_, files := written(t, exporttest.Desk())
	k := slices.IndexFunc(files, func(f readback.File) bool {
		return bytes.HasPrefix(f.Data, []byte("P  ")) || bytes.HasPrefix(f.Data, []byte("C  "))
	})
	lines := strings.Split(string(files[k].Data), "\n")
	at := slices.IndexFunc(lines, func(s string) bool { return strings.HasPrefix(s, "317S1") })
	require.GreaterOrEqual(t, at, 0)
	with := func(line string) []string {
		changed := slices.Clone(lines)
		changed[at] = line
		fs := slices.Clone(files)
		fs[k].Data = []byte(strings.Join(changed, "\n"))
		_, found := readback.Open(t.Context(), fs)
		return codes(within(t, found))
	}
	good := lines[at]
	require.Empty(t, with(good))
	require.Contains(t, with("317S9"+good[5:]), "readback-netlist-net")
	require.Contains(t, with(good[:42]+" 999"+good[46:]), "readback-netlist-point")
	require.Contains(t, with("C"), "readback-netlist-misses")
}

// TestCompareFindsDifferences changes the artwork in one way at a time.
func TestCompareFindsDifferences(t *testing.T) {
	want := export.Lower(exporttest.Desk())
	copper := func(a *export.Artwork, op export.Op) *export.Object {
		for i := range a.Layers[0].Objects {
			if a.Layers[0].Objects[i].Op == op {
				return &a.Layers[0].Objects[i]
			}
		}
		panic("no such object")
	}
	require.Empty(t, readback.Compare(want, want))
	for name, c := range map[string]struct {
		code string
		do   func(a *export.Artwork)
	}{
		"move a flash":      {"readback-differs", func(a *export.Artwork) { copper(a, export.Flash).To.X += geom.MM(0.1) }},
		"drop an object":    {"readback-differs", func(a *export.Artwork) { a.Layers[0].Objects = a.Layers[0].Objects[:len(a.Layers[0].Objects)-1] }},
		"widen an aperture": {"readback-differs", func(a *export.Artwork) { a.Layers[2].Apertures[0].W += geom.MM(0.05) }},
		"clear an object":   {"readback-differs", func(a *export.Artwork) { copper(a, export.Draw).Clear = true }},
		"other net":         {"readback-net-differs", func(a *export.Artwork) { copper(a, export.Flash).Net = "S9.9" }},
		"other use":         {"readback-use-differs", func(a *export.Artwork) { a.Layers[0].Apertures[0].Function = "Conductor,X" }},
		"other function":    {"readback-net-differs", func(a *export.Artwork) { copper(a, export.Flash).PinFn = "X" }},
		"drop a hole":       {"readback-hole-lost", func(a *export.Artwork) { a.Drills[0].Hits = a.Drills[0].Hits[1:] }},
		"add a hole":        {"readback-hole-surplus", func(a *export.Artwork) { a.Drills[0].Hits = append(a.Drills[0].Hits, export.Hit{}) }},
		"wider tool":        {"readback-hole-lost", func(a *export.Artwork) { a.Drills[0].Tools[0].D += 1000 }},
		"add a slot":        {"readback-slots-differ", func(a *export.Artwork) { a.Drills[0].Slots = []export.Slot{{Path: geom.Polyline{{}}}} }},
		"wrong polarity":    {"readback-differs", func(a *export.Artwork) { a.Layers[2].Negative = !a.Layers[2].Negative }},
		"drop a layer":      {"readback-layer-lost", func(a *export.Artwork) { a.Layers = a.Layers[1:] }},
		"bend the profile":  {"readback-differs", func(a *export.Artwork) { bend(&a.Layers[len(a.Layers)-1]) }},
		"other copper":      {"readback-laminate", func(a *export.Artwork) { a.Laminate.Copper = 2 * board.Ounce }},
		"thinner":           {"readback-laminate", func(a *export.Artwork) { a.Laminate.Thickness = geom.MM(0.8) }},
		"a layer too many":  {"readback-layer-surplus", func(a *export.Artwork) { a.Layers = append(a.Layers, export.Layer{Function: export.PasteTop}) }},
	} {
		t.Run(name, func(t *testing.T) {
			got := want
			got.Layers = slices.Clone(want.Layers)
			for i := range got.Layers {
				got.Layers[i].Objects = slices.Clone(want.Layers[i].Objects)
				got.Layers[i].Apertures = slices.Clone(want.Layers[i].Apertures)
			}
			got.Drills = slices.Clone(want.Drills)
			for i := range got.Drills {
				got.Drills[i].Tools, got.Drills[i].Hits = slices.Clone(want.Drills[i].Tools), slices.Clone(want.Drills[i].Hits)
			}
			c.do(&got)
			l := readback.Compare(want, got)
			require.Contains(t, codes(l), c.code)
			paneltest.Subjects(t, l)
		})
	}
	// The order within a polarity does not matter, nor does cutting a track in two.
	got := want
	got.Layers = slices.Clone(want.Layers)
	l := &got.Layers[2]
	l.Objects = slices.Clone(l.Objects)
	slices.Reverse(l.Objects)
	require.Empty(t, readback.Compare(want, got))
	l = &got.Layers[0]
	l.Objects = slices.Clone(l.Objects)
	for i, o := range l.Objects {
		if o.Op == export.Draw && o.Bulge == 0 && o.From.Y == o.To.Y {
			half := o
			half.From.X = (o.From.X + o.To.X) / 2
			l.Objects[i].To = half.From
			l.Objects = append(l.Objects, half)
			break
		}
	}
	require.Empty(t, readback.Compare(want, got))
}

func bend(l *export.Layer) { l.Objects[0].Bulge += 0.3 }

// TestRaiseFaults: artwork that is no board.
func TestRaiseFaults(t *testing.T) {
	_, files := written(t, exporttest.Desk())
	raise := func(fs []readback.File) []string {
		p, _ := readback.Open(t.Context(), fs)
		_, found := readback.Raise(t.Context(), p, board.UsualRules())
		return codes(within(t, found))
	}
	require.Empty(t, raise(files))
	require.Contains(t, raise(without(t, files, "Profile,NP")), "readback-no-profile")
	require.Contains(t, raise(without(t, files, "Plated,1,2,PTH")), "readback-undrilled-pad")
	require.Contains(t, raise(without(t, files, "Copper,L2,Bot")), "readback-half-pad")
	require.Contains(t, raise(without(t, files, "Copper,L2,Bot")), "readback-half-via")
	b := exporttest.Desk()
	b.Vias = nil
	_, bare := written(t, b)
	k := slices.IndexFunc(files, func(f readback.File) bool { return bytes.Contains(f.Data, []byte("Plated,1,2,PTH")) })
	j := slices.IndexFunc(bare, func(f readback.File) bool { return bytes.Contains(f.Data, []byte("Plated,1,2,PTH")) })
	bare[j] = files[k]
	require.Contains(t, raise(bare), "readback-bare-plated-hole")
}

// TestAreasWithHoles: holes by clear regions, nested pieces, a clear region across a border, and a cut-in raise to the same
// areas.
func TestAreasWithHoles(t *testing.T) {
	square := func(x0, y0, x1, y1 string) string {
		return "G36*\nX" + x0 + "Y" + y0 + "D02*\nG01*\nX" + x1 + "D01*\nY" + y1 + "D01*\nX" + x0 + "D01*\nY" + y0 + "D01*\nG37*\n"
	}
	m := func(n string) string { return n + "000000" }
	for name, c := range map[string]struct {
		src    string
		pieces int
		area   float64
	}{
		"plain":        {square("0", "0", m("10"), m("10")), 1, 100},
		"hole":         {square("0", "0", m("10"), m("10")) + "%LPC*%\n" + square(m("2"), m("2"), m("8"), m("8")), 1, 64},
		"nested":       {square("0", "0", m("10"), m("10")) + "%LPC*%\n" + square(m("2"), m("2"), m("8"), m("8")) + "%LPD*%\n" + square(m("4"), m("4"), m("6"), m("6")), 2, 68},
		"over border":  {square("0", "0", m("10"), m("10")) + "%LPC*%\n" + square(m("8"), m("2"), m("12"), m("8")), 1, 88},
		"cut in two":   {square("0", "0", m("10"), m("10")) + "%LPC*%\n" + square("-"+m("1"), m("4"), m("12"), m("6")), 2, 80},
		"swallowed":    {square("2", "2", m("10"), m("10")) + "%LPC*%\n" + square("0", "0", m("12"), m("12")), 0, 0},
		"holes in one": {square("0", "0", m("10"), m("10")) + "%LPC*%\n" + square(m("2"), m("2"), m("8"), m("8")) + square(m("3"), m("3"), m("4"), m("4")), 1, 64},
	} {
		l := layer(t, head+c.src+"M02*\n")
		b, _ := readback.Raise(t.Context(), readback.Pack{Artwork: export.Artwork{Layers: []export.Layer{l}}}, board.UsualRules())
		area := 0.0
		for _, a := range b.Areas {
			area += a.Fill.Area()
		}
		require.Len(t, b.Areas, c.pieces, name)
		require.InDelta(t, c.area, area, 1e-4, name)
		require.InDelta(t, area, readback.Image(l).Area(), 1e-9, name)
	}
}
