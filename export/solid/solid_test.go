package solid_test

import (
	"bytes"
	"encoding/binary"
	"math"
	"testing"

	"github.com/qmuntal/gltf"
	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/fasten"
	"lampblack/board/footprint"
	"lampblack/board/height"
	"lampblack/export/exporttest"
	"lampblack/export/solid"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// vec is a place in mm.
type vec [3]float64

// seen is a node as a reader finds it, its triangles in the root's frame.
type seen struct {
	name   string
	told   map[string]any
	at     vec
	meshes map[string][][3]vec // by material
}

// read reads a file with the library's decoder and lays all nodes into one frame. It turns by quaternions as glTF has it: q v q*.
func read(t *testing.T, data []byte) []seen {
	t.Helper()
	var doc gltf.Document
	require.NoError(t, gltf.NewDecoder(bytes.NewReader(data)).Decode(&doc))
	require.Equal(t, "2.0", doc.Asset.Version)
	bin := doc.Buffers[0].Data
	bytesOf := func(a *gltf.Accessor) []byte {
		return bin[doc.BufferViews[*a.BufferView].ByteOffset+a.ByteOffset:]
	}
	var out []seen
	var walk func(i int, place func(vec) vec)
	walk = func(i int, place func(vec) vec) {
		n := doc.Nodes[i]
		q, d := n.RotationOrDefault(), n.Translation
		own := func(v vec) vec {
			// v + 2w(u×v) + 2u×(u×v)
			cross := func(a, b vec) vec {
				return vec{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
			}
			u := vec{q[0], q[1], q[2]}
			uv := cross(u, v)
			uuv := cross(u, uv)
			for k := range v {
				v[k] += 2*(q[3]*uv[k]+uuv[k]) + d[k]*1000
			}
			return place(v)
		}
		told, _ := n.Extras.(map[string]any)
		one := seen{name: n.Name, told: told, at: own(vec{}), meshes: map[string][][3]vec{}}
		if n.Mesh != nil {
			for _, p := range doc.Meshes[*n.Mesh].Primitives {
				points, numbers := doc.Accessors[p.Attributes[gltf.POSITION]], doc.Accessors[*p.Indices]
				pos, num := bytesOf(points), bytesOf(numbers)
				corner := func(k int) vec {
					i := int(binary.LittleEndian.Uint16(num[2*k:]))
					if numbers.ComponentType == gltf.ComponentUint {
						i = int(binary.LittleEndian.Uint32(num[4*k:]))
					}
					require.Less(t, i, points.Count)
					var v vec
					for a := range v {
						v[a] = float64(math.Float32frombits(binary.LittleEndian.Uint32(pos[12*i+4*a:]))) * 1000
					}
					return own(v)
				}
				name := doc.Materials[*p.Material].Name
				for k := 0; k < numbers.Count; k += 3 {
					one.meshes[name] = append(one.meshes[name], [3]vec{corner(k), corner(k + 1), corner(k + 2)})
				}
			}
		}
		out = append(out, one)
		for _, c := range n.Children {
			walk(c, own)
		}
	}
	for _, i := range doc.Scenes[*doc.Scene].Nodes {
		walk(i, func(v vec) vec { return v })
	}
	return out
}

func find(t *testing.T, all []seen, name string) seen {
	t.Helper()
	for _, n := range all {
		if n.name == name {
			return n
		}
	}
	t.Fatal("there is no node " + name)
	return seen{}
}

// volume is that within triangles, in mm³: a sixth of the sum of their corners' triple products.
func volume(mesh [][3]vec) float64 {
	sum := 0.0
	for _, f := range mesh {
		a, b, c := f[0], f[1], f[2]
		sum += a[0]*(b[1]*c[2]-b[2]*c[1]) - a[1]*(b[0]*c[2]-b[2]*c[0]) + a[2]*(b[0]*c[1]-b[1]*c[0])
	}
	return sum / 6
}

// closed requires every edge to be shared by two triangles that run along it both ways.
func closed(t *testing.T, mesh [][3]vec, what string) {
	t.Helper()
	require.NotEmpty(t, mesh, what)
	edges := map[[2]vec]int{}
	for _, f := range mesh {
		for i := range f {
			edges[[2]vec{f[i], f[(i+1)%3]}]++
		}
	}
	for e, n := range edges {
		require.Equal(t, 1, n, "%s: an edge is there twice", what)
		require.Equal(t, 1, edges[[2]vec{e[1], e[0]}], "%s: the edge %v is of one triangle alone", what, e)
	}
}

func bounds(mesh [][3]vec) (lo, hi vec) {
	lo, hi = mesh[0][0], mesh[0][0]
	for _, f := range mesh {
		for _, v := range f {
			for a := range v {
				lo[a], hi[a] = min(lo[a], v[a]), max(hi[a], v[a])
			}
		}
	}
	return lo, hi
}

// desk is the board with one of everything, its lamps those of the catalogue, behind the sheets of a panel.
func desk() (height.In, board.Board) {
	b := exporttest.Desk()
	fp, _ := footprint.Lookup("radial-3mm")
	for i := range b.Parts {
		if old := b.Parts[i]; old.Kind == board.LED {
			q := fp.Place(old.Ref, old.Kind, old.At, old.Turn, old.On, geom.MM(0.05))
			q.Value, q.Pads[0].Net, q.Pads[1].Net = old.Value, old.Pads[1].Net, old.Pads[0].Net
			b.Parts[i] = q
		}
	}
	in := height.In{Boards: []board.Board{b}, Stack: fasten.Stack{Face: geom.MM(3), Diffuser: geom.MM(3), Gap: geom.MM(8), Sheet: geom.MM(3), Sunk: geom.MM(0)}}
	in.Panel.Name = "dome"
	return in, b
}

var reds = solid.Lamps{solid.LampOf("red-3mm", "red", [3]uint8{255, 48, 24})}

func encoded(t *testing.T, n solid.Node) []byte {
	t.Helper()
	var data []byte
	work.Until(t.Context(), func(w *work.Watch) { data = solid.Encode(w, "test", n) })
	return data
}

func boardOf(t *testing.T, in height.In, b board.Board) solid.Node {
	t.Helper()
	var n solid.Node
	work.Until(t.Context(), func(w *work.Watch) { n = solid.Board(w, in, b, "green", reds) })
	return n
}

// What a reader finds of a board: its laminate, closed and as large as it is, its parts where they stand, lamps the right way round.
func TestBoardReadBack(t *testing.T) {
	in, b := desk()
	data := encoded(t, boardOf(t, in, b))
	require.Equal(t, data, encoded(t, boardOf(t, in, b)), "the same bytes each time")
	all := read(t, data)

	mesh := find(t, all, "laminate").meshes["laminate"]
	closed(t, mesh, "laminate")
	lo, hi := bounds(mesh)
	box := b.Outline.Box()
	for i, want := range (vec{box.Min.X.MM(), box.Min.Y.MM(), -(b.Laminate.Thickness - b.Laminate.Copper).MM()}) {
		require.InDelta(t, want, lo[i], 1e-4)
	}
	for i, want := range (vec{box.Max.X.MM(), box.Max.Y.MM(), -b.Laminate.Copper.MM()}) {
		require.InDelta(t, want, hi[i], 1e-4)
	}
	rough := 20e-3 * b.Outline.Perimeter() // curves are flattened by 20 µm
	for _, h := range append(holes(b), b.Cutouts...) {
		rough += 20e-3 * h.Perimeter()
	}
	flat := area(b, 20*geom.Micrometre)
	require.InEpsilon(t, flat*b.Laminate.Core().MM(), volume(mesh), 1e-6, "its volume is its area times its thickness")
	require.InDelta(t, area(b, 100), flat, rough)

	for _, q := range b.Parts {
		n := find(t, all, q.Ref)
		require.InDelta(t, q.At.X.MM(), n.at[0], 1e-4, q.Ref)
		require.InDelta(t, q.At.Y.MM(), n.at[1], 1e-4, q.Ref)
		require.Equal(t, q.Ref, n.told["designator"])
		require.Equal(t, q.Value, n.told["value"])
		require.Len(t, n.told["pins"], len(q.Pads))
		if q.Kind != board.LED {
			continue
		}
		// The flat of its flange is 1.55 mm from its middle toward the cathode, its rim 1.9 on the other side, its tip as high as
		// it stands.
		k, a := q.Pads[0], q.Pads[1]
		require.Equal(t, "K", k.Function)
		d := k.At.Dist(a.At)
		ux, uy := float64(k.At.X-a.At.X)/d, float64(k.At.Y-a.At.Y)/d
		toK, toA, tip := 0.0, 0.0, 0.0
		for _, f := range n.meshes["LED red"] {
			for _, v := range f {
				along := (v[0]-q.At.X.MM())*ux + (v[1]-q.At.Y.MM())*uy
				toK, toA, tip = max(toK, along), max(toA, -along), max(tip, v[2])
			}
		}
		require.InDelta(t, 1.55, toK, 0.01, "%s has its flat at the cathode", q.Ref)
		require.InDelta(t, 1.9, toA, 0.01, q.Ref)
		front, _ := in.Span(b)
		want := front - in.Stack.Face - in.Stack.Diffuser - in.Stack.Gap + fasten.RiseOf(b, in.Stack).Proud
		require.InDelta(t, want.MM(), tip, 0.01, "its tip comes to the LED sheet's front, but for what package fasten lets it stand out")
	}
}

// area is that of the board less all that is cut and drilled, with curves flattened so far.
func area(b board.Board, tol geom.Nm) float64 {
	var out []geom.Ring
	for _, c := range append(holes(b), b.Cutouts...) {
		out = append(out, c.Ring(tol))
	}
	return geom.NewRegion(b.Outline.Ring(tol)).Minus(geom.UnionOf(out...)).Area()
}

func holes(b board.Board) []geom.Contour {
	var out []geom.Contour
	for _, h := range b.Holes {
		out = append(out, geom.Circle(h.At, h.D))
	}
	for _, v := range b.Vias {
		out = append(out, geom.Circle(v.At, v.Drill))
	}
	b.Pads(func(i, j int) bool {
		if p := b.Parts[i].Pads[j]; p.Through {
			out = append(out, geom.Circle(p.At, p.Drill))
		}
		return true
	})
	return out
}

// Copper is there by nets, each as thick as it is, and no hole is covered by it.
func TestCopperReadBack(t *testing.T) {
	in, b := desk()
	all := read(t, encoded(t, boardOf(t, in, b)))
	nets := map[string]bool{}
	for _, n := range all {
		if n.told["kind"] != "copper" || n.told["net"] == nil {
			continue
		}
		nets[n.told["net"].(string)] = true
		lo, hi := bounds(n.meshes["copper"])
		require.InDelta(t, 0.035, hi[2]-lo[2], 1e-6)
		for _, f := range n.meshes["copper"] {
			for _, h := range holes(b) {
				_, d, _ := h.Circular()
				c := h.Box().Centre()
				require.False(t, within(f, c.X.MM(), c.Y.MM()), "copper over a hole of %v at %v", d, c)
			}
		}
	}
	for _, n := range b.Nets[1:] {
		require.True(t, nets[n.Name], n.Name)
	}
}

// within reports whether a triangle that faces the front or the back covers a place.
func within(f [3]vec, x, y float64) bool {
	side := func(a, b vec) float64 { return (b[0]-a[0])*(y-a[1]) - (b[1]-a[1])*(x-a[0]) }
	u, v, w := side(f[0], f[1]), side(f[1], f[2]), side(f[2], f[0])
	return u > 0 && v > 0 && w > 0 || u < 0 && v < 0 && w < 0
}

// A lamp that stands aslant is turned as it stands, and shares its shape with those that do not.
func TestPartAslant(t *testing.T) {
	in, b := desk()
	q := &b.Parts[0]
	q.Body = q.Body.Turned(q.At, 45)
	for i := range q.Pads {
		q.Pads[i] = q.Pads[i].Turned(45)
		q.Pads[i].At = q.At.Add(q.Pads[i].At.Sub(q.At).Turned(45))
	}
	q.Turn += 45
	in.Boards[0] = b
	data := encoded(t, boardOf(t, in, b))
	n := find(t, read(t, data), q.Ref)
	lo, hi := bounds(n.meshes["LED red"])
	// Its flat faces aslant, so that it is no wider one way than the other.
	require.InDelta(t, hi[0]-lo[0], hi[1]-lo[1], 0.02)
	var doc gltf.Document
	require.NoError(t, gltf.NewDecoder(bytes.NewReader(data)).Decode(&doc))
	shapes := map[int]bool{}
	for _, n := range doc.Nodes {
		if told, _ := n.Extras.(map[string]any); told["kind"] == "LED" {
			shapes[*n.Mesh] = true
		}
	}
	require.Len(t, shapes, 1)
}

// A panel's sheets are closed and lie at their depths; the paint leaves open what is engraved; all stands where the console has it.
func TestPanelReadBack(t *testing.T) {
	in, b := desk()
	in.Panel.Outline = geom.Rect(geom.Box{Max: geom.PtMM(80, 50)})
	in.Mounts = fasten.Mounts(panel.Panel{Mounts: []panel.Hole{{At: geom.PtMM(6, 6), D: geom.MM(3.2)}}}, in.Boards, in.Stack)
	hole := geom.Circle(geom.PtMM(40, 25), geom.MM(12))
	sheets := []height.Solid{
		{Name: "face", From: 0, To: geom.MM(3), Edge: in.Panel.Outline, Holes: []geom.Contour{hole, geom.Circle(geom.PtMM(46, 25), geom.MM(3))}}, // they overlap
		{Name: "diffuser", From: geom.MM(3), To: geom.MM(6), Edge: in.Panel.Outline, Holes: []geom.Contour{hole}},
		{Name: "LED sheet", From: geom.MM(14), To: geom.MM(17), Edge: in.Panel.Outline, Holes: holes(b)},
	}
	var root solid.Node
	work.Until(t.Context(), func(w *work.Watch) {
		p := solid.Panel(w, solid.Stack{In: in, Sheets: sheets, Boards: []solid.Node{solid.Board(w, in, b, "", reds)}, Lamps: reds})
		root = solid.Console("desk", []solid.Node{p}, []geom.Pt{geom.PtMM(100, 200)})
	})
	all := read(t, encoded(t, root))
	for _, s := range sheets {
		n := find(t, all, s.Name)
		material := map[string]string{"diffuser": "opal acrylic"}[s.Name]
		if material == "" {
			material = "acrylic"
		}
		closed(t, n.meshes[material], s.Name)
		lo, hi := bounds(n.meshes[material])
		require.InDelta(t, 100, lo[0], 1e-4)
		require.InDelta(t, 250, hi[1], 1e-4)
		require.InDelta(t, -s.From.MM(), hi[2], 1e-4, s.Name)
		require.InDelta(t, -s.To.MM(), lo[2], 1e-4, s.Name)
	}
	front, _ := in.Span(b)
	n := find(t, all, "board")
	require.InDelta(t, -front.MM(), n.at[2], 1e-4)
	screws := 0
	for _, n := range all {
		if n.told["kind"] == "screw" {
			screws++
			require.Regexp(t, `^M3 x \d+$`, n.name)
			_, hi := bounds(n.meshes["steel"])
			require.InDelta(t, 2.4, hi[2], 0.01, "a pan head of M3 by ISO 7045")
		}
	}
	require.Equal(t, 1, screws)
	require.Len(t, find(t, all, "nut").meshes["steel"], 2*4+2*6, "six sides, and two caps of four triangles")
}
