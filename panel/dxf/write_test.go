package dxf

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	yofu "github.com/yofu/dxf"
	"github.com/yofu/dxf/color"
	"github.com/yofu/dxf/entity"
	"github.com/yofu/dxf/insunit"
)

func releases() []Release { return []Release{R12, R2000, R2004, R2007} }

// anything is a drawing with every kind of entity that is written.
func anything(r *rand.Rand, n int) Drawing {
	num := func() float64 { return math.Round((r.Float64()-0.5)*2e9) / 1e6 } // whole nanometres in two metres
	at := func() XY { return XY{X: num(), Y: num()} }
	bulge := func() float64 {
		if r.IntN(2) == 0 {
			return 0
		}
		return (r.Float64() - 0.5) * 4
	}
	layers := []string{"OUTLINE", "Led", "0", "MOUNT_2"}
	d := Drawing{Layers: []Layer{{Name: "OUTLINE", Colour: 1, Width: 0.01}, {Name: "LED", Colour: 3, Width: 0.3}}}
	path := func() Entity {
		a, b := at(), at()
		switch r.IntN(4) {
		case 0:
			return Entity{Type: "LINE", Path: Path{Vertices: []Vertex{{a, 0}, {b, 0}}}}
		case 1:
			h := XY{X: math.Abs(num()) + 1, Y: 0}
			return Entity{Type: "CIRCLE", Path: Path{Closed: true, Vertices: []Vertex{{a.Sub(h), 1}, {a.Add(h), 1}}}}
		case 2:
			return Entity{Type: "ARC", Path: Path{Vertices: []Vertex{{a, 0.05 + 0.9*r.Float64()}, {b, 0}}}}
		}
		e := Entity{Path: Path{Closed: r.IntN(2) == 0}}
		for range 3 + r.IntN(5) {
			e.Path.Vertices = append(e.Path.Vertices, Vertex{at(), bulge()})
		}
		return e
	}
	for i := range 3 {
		b := Block{Name: fmt.Sprintf("PART %d", i)}
		for range 1 + r.IntN(3) {
			e := path()
			e.Layer = layers[r.IntN(len(layers))]
			b.Entities = append(b.Entities, e)
		}
		d.Blocks = append(d.Blocks, b)
	}
	texts := []string{"DOME", "Kühlung", "100 %", "天文", "two\nlines", `a\P{b}^`, "three\nlines\n%%d", "%%%d\n100 %%%%"}
	for range n {
		e := path()
		switch r.IntN(3) {
		case 0:
			e = Entity{Type: "TEXT", Text: &Text{Text: texts[r.IntN(len(texts))], At: at(), Height: 1 + r.Float64(), Width: 1, H: HAlign(r.IntN(3)), V: VAlign(r.IntN(4))}}
			if r.IntN(2) == 0 {
				e.Text.Angle = (r.Float64() - 0.5) * 6
			}
			if strings.Contains(e.Text.Text, "\n") {
				e.Text.V = []VAlign{TopLine, Middle, BottomLine}[r.IntN(3)] // an MTEXT has no baseline
			} else {
				e.Text.Mirror, e.Text.Width = r.IntN(4) == 0, 0.5+r.Float64()
				if e.Text.H == Left && e.Text.V == Baseline && !e.Text.Mirror && r.IntN(2) == 0 {
					e.Text.Span = 1 + 50*r.Float64()
				}
			}
		case 1:
			e = Entity{Insert: &Insert{d.Blocks[r.IntN(3)].Name, at(), 0}}
			if r.IntN(2) == 0 {
				e.Insert.Turn = r.Float64() * 6
			}
		}
		e.Layer = layers[r.IntN(len(layers))]
		d.Entities = append(d.Entities, e)
	}
	return d
}

// meant is what a reader must find of what anything draws: what is placed turned and moved, in R12 each line of text for itself.
func meant(d Drawing, rel Release) []Entity {
	var out []Entity
	for _, e := range d.Entities {
		switch {
		case e.Insert != nil:
			sin, cos := math.Sincos(e.Insert.Turn)
			for _, b := range d.Blocks {
				if b.Name != e.Insert.Block {
					continue
				}
				for _, q := range b.Entities {
					vs := slices.Clone(q.Path.Vertices)
					for i, v := range vs {
						vs[i].XY = e.Insert.At.Add(XY{X: cos*v.X - sin*v.Y, Y: sin*v.X + cos*v.Y})
					}
					q.Path.Vertices = vs
					if q.Layer == "0" {
						q.Layer = e.Layer
					}
					out = append(out, q)
				}
			}
		case e.Text != nil && rel == R12 && strings.Contains(e.Text.Text, "\n"):
			lines := strings.Split(e.Text.Text, "\n")
			down := map[VAlign]float64{TopLine: 0, Middle: float64(len(lines)-1) / 2, BottomLine: float64(len(lines) - 1)}[e.Text.V]
			for i, l := range lines {
				q := *e.Text
				q.Text = l
				y := (down - float64(i)) * 5 / 3 * q.Height
				q.At = q.At.Add(XY{X: -math.Sin(q.Angle) * y, Y: math.Cos(q.Angle) * y})
				out = append(out, Entity{Layer: e.Layer, Text: &q})
			}
		default:
			out = append(out, e)
		}
	}
	return out
}

// TestWriteReadsBack: whatever is drawn, in every release and unit, is read as what was meant, to a tenth of a nanometre and
// less: whole nanometres stay what they are.
func TestWriteReadsBack(t *testing.T) {
	inch, _ := UnitNamed("in")
	metre, _ := UnitNamed("m")
	for seed := range uint64(40) {
		d := anything(rand.New(rand.NewPCG(seed, 7)), 30)
		for _, rel := range releases() {
			for _, unit := range []Units{{}, inch, metre} {
				src, err := Write(d, Options{rel, unit})
				require.NoError(t, err)
				got, l := Read(t.Context(), src, "x.dxf")
				require.Empty(t, l, "seed %d %s %s", seed, rel, unit.Name)
				require.Equal(t, string(rel), got.Version)
				if unit.Name != "" {
					require.Equal(t, unit, got.Units)
				}
				want := meant(d, rel)
				require.Len(t, got.Entities, len(want))
				for i, w := range want {
					sameEntity(t, w, got.Entities[i], fmt.Sprintf("seed %d %s %s entity %d %s", seed, rel, unit.Name, i, w.Type))
				}
			}
		}
	}
}

func sameEntity(t *testing.T, w, g Entity, where string) {
	t.Helper()
	const tol = 1e-7 // mm, a tenth of a nanometre
	require.True(t, strings.EqualFold(w.Layer, g.Layer), where)
	if w.Type != "" && w.Type != "TEXT" {
		require.Equal(t, w.Type, g.Type, where)
	}
	if w.Text != nil {
		require.NotNil(t, g.Text, where)
		require.InDelta(t, 0, w.Text.At.Dist(g.Text.At), tol, where)
		require.InDelta(t, w.Text.Height, g.Text.Height, tol, where)
		require.InDelta(t, w.Text.Span, g.Text.Span, tol, where)
		require.InDelta(t, 0, math.Remainder(w.Text.Angle-g.Text.Angle, 2*math.Pi), 1e-8, where) // of a Span: from its two points
		require.InDelta(t, w.Text.Width, g.Text.Width, 1e-12, where)
		q := *g.Text
		q.Width = w.Text.Width
		q.At, q.Height, q.Span, q.Angle = w.Text.At, w.Text.Height, w.Text.Span, w.Text.Angle
		require.Equal(t, *w.Text, q, where)
		return
	}
	require.Equal(t, w.Path.Closed, g.Path.Closed, where)
	require.Len(t, g.Path.Vertices, len(w.Path.Vertices), where)
	if w.Type == "CIRCLE" { // it may begin elsewhere
		require.InDelta(t, 0, w.Path.Edges()[0].Centre().Dist(g.Path.Edges()[0].Centre()), tol, where)
		require.InDelta(t, w.Path.Perimeter(), g.Path.Perimeter(), 10*tol, where)
		return
	}
	for i, v := range w.Path.Vertices {
		require.InDelta(t, 0, v.XY.Dist(g.Path.Vertices[i].XY), tol, where)
		if i+1 < len(w.Path.Vertices) || w.Path.Closed {
			require.InDelta(t, v.Bulge, g.Path.Vertices[i].Bulge, 1e-9, where)
		}
	}
}

// Numbers are as short as they were meant: no tail of binary fractions, in millimetres or in inches.
func TestWriteShortNumbers(t *testing.T) {
	d := Drawing{Entities: []Entity{{Layer: "0", Path: Path{Vertices: []Vertex{{XY{X: 0.1 + 0.2, Y: math.Copysign(0, -1)}, 0}, {XY{X: 25.4 * 3.25, Y: 1.0 / 3}, 0}}}}}}
	src, err := Write(d, Options{})
	require.NoError(t, err)
	require.Contains(t, string(src), " 10\r\n0.3\r\n 20\r\n0.0\r\n 30\r\n0.0\r\n 11\r\n82.55\r\n 21\r\n0.333333333\r\n")
	inch, _ := UnitNamed("in")
	src, err = Write(d, Options{Unit: inch})
	require.NoError(t, err)
	require.Contains(t, string(src), " 10\r\n0.01181102362\r\n")
	require.Contains(t, string(src), " 11\r\n3.25\r\n")
}

// $MEASUREMENT is 0 for units of inches and feet, 1 for metric ones (DXF Reference, HEADER section).
func TestWriteMeasurement(t *testing.T) {
	for name, want := range map[string]string{"in": "0", "mil": "0", "ft": "0", "mm": "1", "m": "1", "um": "1"} {
		u, ok := UnitNamed(name)
		require.True(t, ok)
		src, err := Write(Drawing{}, Options{Unit: u})
		require.NoError(t, err)
		require.Contains(t, string(src), "$MEASUREMENT\r\n 70\r\n"+want+"\r\n", name)
		require.Contains(t, string(src), "$INSUNITS\r\n 70\r\n"+strconv.Itoa(u.Code)+"\r\n", name)
	}
}

// A long MTEXT comes in pieces of 250 bytes in group 3, the rest in 1 (DXF Reference, MTEXT), none cut within a character.
func TestWritePieces(t *testing.T) {
	for _, c := range []string{"a", "ü", "天"} {
		src, err := Write(Drawing{Entities: []Entity{{Layer: "0", Text: &Text{Text: "x\n" + strings.Repeat(c, 700/len(c)), Height: 3, Width: 1}}}}, Options{Release: R2007})
		require.NoError(t, err)
		_, s, _ := strings.Cut(string(src), "MTEXT\r\n")
		s, _, _ = strings.Cut(s, "ENDSEC")
		var sizes []int
		for _, m := range regexp.MustCompile(`(?m)^  [31]\r\n(.*)\r$`).FindAllStringSubmatch(s, -1) {
			require.True(t, utf8.ValidString(m[1]))
			sizes = append(sizes, len(m[1]))
		}
		require.Len(t, sizes, 3)
		for _, n := range sizes[:2] {
			require.InDelta(t, 249, n, 1)
		}
	}
}

// pairs cuts a file into groups.
func pairs(t *testing.T, src []byte) [][2]string {
	t.Helper()
	lines := strings.Split(strings.TrimSuffix(string(src), "\r\n"), "\r\n")
	require.Zero(t, len(lines)%2)
	var out [][2]string
	for i := 0; i < len(lines); i += 2 {
		out = append(out, [2]string{strings.TrimSpace(lines[i]), lines[i+1]})
	}
	return out
}

// TestWriteStructure checks what the DXF Reference asks of a file beyond its entities: every handle once and $HANDSEED above
// all ("HEADER section"); owners and other pointers that are there ("Common symbol table group codes", 330; "Handles"); tables
// that hold as many records as they say (70); layers, blocks and their records for whatever is drawn on or placed.
func TestWriteStructure(t *testing.T) {
	for seed := range uint64(5) {
		for _, rel := range releases() {
			src, err := Write(anything(rand.New(rand.NewPCG(seed, 8)), 40), Options{Release: rel})
			require.NoError(t, err)
			all := pairs(t, src)
			handles, pointers := map[string]bool{}, map[string]bool{}
			names := map[string][]string{} // of tables' records and blocks
			var sections, used, placed []string
			seed, table, said, count, kind := uint64(0), "", -1, 0, ""
			for i, p := range all {
				n, err := strconv.Atoi(p[0])
				require.NoError(t, err)
				switch {
				case n == 0:
					kind = p[1]
					switch kind {
					case "TABLE":
						table, said, count = all[i+1][1], -1, 0
					case "ENDTAB":
						require.Equal(t, said, count, table)
						table = ""
					case table:
						count++
					}
				case n == 2 && kind == "SECTION":
					sections = append(sections, p[1])
				case n == 2 && (kind == table || kind == "BLOCK"):
					names[kind] = append(names[kind], strings.ToUpper(p[1]))
				case n == 2 && kind == "INSERT":
					placed = append(placed, strings.ToUpper(p[1]))
				case n == 70 && kind == "TABLE" && said < 0:
					said, err = strconv.Atoi(p[1])
					require.NoError(t, err)
				case n == 5 && all[i-1] == [2]string{"9", "$HANDSEED"}:
					seed, err = strconv.ParseUint(p[1], 16, 64)
					require.NoError(t, err)
				case n == 5 || n == 105:
					require.False(t, handles[p[1]], "handle %s twice", p[1])
					handles[p[1]] = true
				case n >= 330 && n < 370 || n == 390:
					pointers[p[1]] = true
				case n == 8:
					used = append(used, strings.ToUpper(p[1]))
				}
				if rel == R12 {
					require.True(t, n < 100 && n != 5 || n >= 210 && n <= 230 || n == 999, "group %d is not of R12", n)
				}
			}
			require.Equal(t, [2]string{"0", "EOF"}, all[len(all)-1])
			for _, l := range used {
				require.Contains(t, names["LAYER"], l)
			}
			for _, b := range placed {
				require.Contains(t, names["BLOCK"], b)
			}
			for _, kind := range []string{"LAYER", "BLOCK"} {
				sorted := slices.Sorted(slices.Values(names[kind]))
				require.Equal(t, len(sorted), len(slices.Compact(sorted)), "%s twice", kind)
			}
			if rel == R12 {
				require.Equal(t, []string{"HEADER", "TABLES", "BLOCKS", "ENTITIES"}, sections)
				require.Empty(t, handles)
				continue
			}
			require.Equal(t, []string{"HEADER", "CLASSES", "TABLES", "BLOCKS", "ENTITIES", "OBJECTS"}, sections)
			require.Equal(t, names["BLOCK"], names["BLOCK_RECORD"])
			require.Equal(t, []string{"*MODEL_SPACE", "*PAPER_SPACE"}, names["BLOCK"][:2])
			require.Len(t, names["LTYPE"], 3)
			for p := range pointers {
				require.True(t, handles[p], "%s points nowhere", p)
			}
			for h := range handles {
				v, err := strconv.ParseUint(h, 16, 64)
				require.NoError(t, err)
				require.Less(t, v, seed)
			}
		}
	}
}

// TestWriteForTheLibrary: the library's own reader finds layers, colours, widths and those entities that it knows.
func TestWriteForTheLibrary(t *testing.T) {
	d := Drawing{Layers: []Layer{{Name: "CUT", Colour: 1, Width: 0.5}, {Name: "ENGRAVE", Colour: 5}}, Entities: []Entity{
		{Layer: "CUT", Path: Path{Vertices: []Vertex{{XY{X: 1, Y: 2}, 0}, {XY{X: 3, Y: 4.5}, 0}}}},
		{Layer: "CUT", Path: Path{Closed: true, Vertices: []Vertex{{XY{X: 5, Y: 5}, -1}, {XY{X: 8, Y: 5}, -1}}}},
		{Layer: "ENGRAVE", Type: "ARC", Path: Path{Vertices: []Vertex{{XY{X: 0, Y: 3}, -math.Tan(math.Pi / 8)}, {XY{X: 3, Y: 0}, 0}}}}, // clockwise round (0, 0)
		{Layer: "ENGRAVE", Path: Path{Closed: true, Vertices: []Vertex{{XY{X: 0, Y: 0}, 0}, {XY{X: 4, Y: 0}, 0}, {XY{X: 4, Y: 4}, 0}}}},
		{Layer: "ENGRAVE", Text: &Text{Text: "DOME", At: XY{X: 7, Y: 8}, Height: 4, Width: 1, H: Centre, V: Middle}},
	}}
	src, err := Write(d, Options{})
	require.NoError(t, err)
	got, err := yofu.FromStringData(string(src))
	require.NoError(t, err)
	require.Equal(t, insunit.Unit(insunit.Millimeters), got.Header().InsUnit)
	require.Equal(t, []float64{0, 0, 0}, got.Header().ExtMin)
	require.Equal(t, []float64{8, 6.5, 0}, got.Header().ExtMax)
	require.Equal(t, color.Red, got.Layers["CUT"].Color)
	require.Equal(t, color.Blue, got.Layers["ENGRAVE"].Color)
	es := got.Entities()
	require.Len(t, es, 5)
	require.Equal(t, []float64{3, 4.5, 0}, es[0].(*entity.Line).End)
	require.Equal(t, "CUT", es[0].Layer().Name())
	require.Equal(t, []float64{6.5, 5, 0}, es[1].(*entity.Circle).Center)
	require.Equal(t, 1.5, es[1].(*entity.Circle).Radius)
	require.Equal(t, 3.0, es[2].(*entity.Arc).Radius)
	require.Equal(t, []float64{0, 90}, es[2].(*entity.Arc).Angle)
	require.Len(t, es[3].(*entity.LwPolyline).Vertices, 3)
	require.Equal(t, "DOME", es[4].(*entity.Text).Value)
}

// Lines' widths are those of the list in the DXF Reference, "Lineweights"; a layer that is off has its colour below 0 (LAYER,
// group 62), a frozen one flag 1 (70).
func TestWriteLayers(t *testing.T) {
	d := Drawing{Layers: []Layer{{Name: "HAIR", Width: 0.01}, {Name: "WIDE", Width: 5, Colour: 2}, {Name: "OFF", Off: true, Colour: 6}, {Name: "ICE", Frozen: true, Width: 0.28}}}
	src, err := Write(d, Options{})
	require.NoError(t, err)
	groups := func(name string) string {
		_, s, ok := strings.Cut(string(src), "AcDbLayerTableRecord\r\n  2\r\n"+name+"\r\n")
		require.True(t, ok)
		s, _, _ = strings.Cut(s, "390")
		return strings.Join(strings.Fields(s), " ")
	}
	require.Equal(t, "70 0 62 7 6 CONTINUOUS 370 0", groups("HAIR"))
	require.Equal(t, "70 0 62 2 6 CONTINUOUS 370 211", groups("WIDE"))
	require.Equal(t, "70 0 62 -6 6 CONTINUOUS 370 -3", groups("OFF"))
	require.Equal(t, "70 1 62 7 6 CONTINUOUS 370 30", groups("ICE"))
	got, _ := Read(t.Context(), src, "x.dxf")
	require.Equal(t, []Layer{{Name: "0", Colour: 7}, {Name: "HAIR", Colour: 7}, {Name: "WIDE", Colour: 2, Width: 2.11}, {Name: "OFF", Off: true, Colour: 6}, {Name: "ICE", Frozen: true, Colour: 7, Width: 0.3}}, got.Layers)
}

// Colours and line types: of an entity, of the INSERT where the entity in its block says so (62 is 0), or red, green and
// blue (420); by its layer is nothing of its own.
func TestColours(t *testing.T) {
	src := strings.NewReplacer(",", "\n", " ", "\n").Replace("0 SECTION,2 BLOCKS,0 BLOCK,2 LAMP,10 0,20 0,0 CIRCLE,8 0,62 0,10 0,20 0,40 1,0 CIRCLE,8 0,62 3,10 0,20 0,40 2,0 ENDBLK,0 ENDSEC," +
		"0 SECTION,2 ENTITIES,0 CIRCLE,8 A,6 HIDDEN,62 1,10 0,20 0,40 3,0 CIRCLE,8 A,6 ByLayer,62 256,10 0,20 0,40 4,0 CIRCLE,8 A,420 255,62 5,10 0,20 0,40 5," +
		"0 INSERT,8 B,2 LAMP,62 6,10 9,20 0,0 ENDSEC,0 EOF,")
	d, l := Read(t.Context(), []byte(src), "x.dxf")
	require.False(t, l.HasErrors(), l)
	var got []uint32
	for _, e := range d.Entities {
		got = append(got, e.Colour)
	}
	require.Equal(t, []uint32{1, 0, TrueColour | 0xff, 6, 3}, got)
	require.Equal(t, "HIDDEN", d.Entities[0].Style)
	require.Empty(t, d.Entities[1].Style)
	out, err := Write(Drawing{Entities: d.Entities[:2]}, Options{})
	require.NoError(t, err)
	again, _ := Read(t.Context(), out, "x.dxf")
	require.Equal(t, []uint32{1, 0}, []uint32{again.Entities[0].Colour, again.Entities[1].Colour})
}

// Names that a release forbids stay apart when they are changed.
func TestWriteNames(t *testing.T) {
	long := strings.Repeat("x", 40)
	n := namesFor(R12)
	for _, c := range [][2]string{{"LED", "LED"}, {"led", "LED"}, {"a b", "a_b"}, {"a/b", "a_b_2"}, {long, long[:31]}, {long + "1", long[:29] + "_2"}, {"", "0"}, {"Ü", "_"}} {
		got, _ := n.of(c[0])
		require.Equal(t, c[1], got)
	}
	n = namesFor(R2007)
	for _, c := range [][2]string{{"Ü b", "Ü b"}, {"a<b", "a_b"}, {"a>b", "a_b_2"}} {
		got, _ := n.of(c[0])
		require.Equal(t, c[1], got)
	}
}

// What no DXF can hold is an error, not a wrong file.
func TestWriteRefuses(t *testing.T) {
	bad := func(d Drawing, o Options, want string) {
		t.Helper()
		_, err := Write(d, o)
		require.ErrorContains(t, err, want)
	}
	bad(Drawing{}, Options{Release: "AC1032"}, "release")
	bad(Drawing{}, Options{Unit: Units{Code: 4}}, "unit")
	bad(Drawing{Entities: []Entity{{Insert: &Insert{Block: "LED"}}}}, Options{}, "LED")
	bad(Drawing{Blocks: []Block{{Name: "LED"}, {Name: "led"}}}, Options{}, "two blocks")
	bad(Drawing{Entities: []Entity{{Type: "LINE", Path: Path{Vertices: []Vertex{{XY{X: math.NaN(), Y: 0}, 0}, {}}}}}}, Options{}, "LINE")
	bad(Drawing{Entities: []Entity{{Type: "TEXT", Text: &Text{Height: math.Inf(1)}}}}, Options{}, "TEXT")
}

// Drawings are written side by side, and come out the same: run with -race.
func TestWriteAtOnce(t *testing.T) {
	d := anything(rand.New(rand.NewPCG(1, 9)), 50)
	want, err := Write(d, Options{})
	require.NoError(t, err)
	var wait sync.WaitGroup
	for range 8 {
		wait.Go(func() {
			got, err := Write(d, Options{})
			if err != nil || string(got) != string(want) {
				t.Error("another file: ", err)
			}
		})
	}
	wait.Wait()
}

// FuzzWrite: whatever is read can be written and is read again as the same, in R2000 and, but for texts, in R12.
func FuzzWrite(f *testing.F) {
	for _, seed := range []uint64{1, 2} {
		for _, rel := range releases() {
			src, err := Write(anything(rand.New(rand.NewPCG(seed, 10)), 5), Options{Release: rel})
			require.NoError(f, err)
			f.Add(src)
		}
	}
	f.Add(file("AC1015", "", "0 ARC,8 x,10 1,20 1,40 2,50 10,51 20", "0 TEXT,10 1,20 2,40 3,1 DOME,72 5,11 4,21 6", `0 MTEXT,10 0,20 0,40 3,1 a\Pb`))
	f.Fuzz(func(t *testing.T, src []byte) {
		d, l := Read(t.Context(), src, "a.dxf")
		if l.HasErrors() {
			return
		}
		for _, rel := range []Release{R2000, R12} {
			out, err := Write(d, Options{Release: rel})
			if err != nil {
				t.Fatal(err)
			}
			e, l := Read(t.Context(), out, "b.dxf")
			// Texts of control characters alone become blank, and nothing.
			count := func(d Drawing) (paths, texts int) {
				for _, e := range d.Entities {
					if e.Text == nil {
						paths++
					} else if strings.ContainsFunc(e.Text.Text, func(r rune) bool { return unicode.IsGraphic(r) && !unicode.IsSpace(r) }) {
						texts++
					}
				}
				return paths, texts
			}
			paths, texts := count(d)
			if l.HasErrors() && paths+texts > 0 {
				t.Fatal(l)
			}
			if p, x := count(e); paths != p || rel == R2000 && texts != x {
				t.Fatalf("%s: %d paths and %d texts became %d and %d", rel, paths, texts, p, x)
			}
			a, b := d.Extents(), e.Extents()
			if size := math.Abs(a.Min.X) + math.Abs(a.Min.Y) + math.Abs(a.Max.X) + math.Abs(a.Max.Y); !a.Empty() && a.Min.Dist(b.Min)+a.Max.Dist(b.Max) > 1e-6*(1+size) {
				t.Fatalf("%v became %v", a, b)
			}
		}
	})
}
