package solid

import (
	"bytes"
	"encoding/binary"
	"math"

	"github.com/qmuntal/gltf"

	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Encode returns the nodes as a binary glTF file, of the program that writes it. Shapes and meshes that are equal are written once.
func Encode(w *work.Watch, generator string, root Node) []byte {
	f := file{
		watch: w, doc: &gltf.Document{Asset: gltf.Asset{Version: "2.0", Generator: generator}},
		shapes: map[*Shape]int{}, meshes: map[string]int{}, materials: map[Material]int{},
	}
	top := f.node(root)
	f.doc.Scenes = []*gltf.Scene{{Name: root.Name, Nodes: []int{top}}}
	f.doc.Scene = gltf.Index(0)
	f.finish()
	var out bytes.Buffer
	if err := gltf.NewEncoder(&out).Encode(f.doc); err != nil {
		panic("solid: " + err.Error()) // no value of ours is none of JSON's
	}
	return out.Bytes()
}

// Views of the one buffer, in its order.
const (
	floats = iota // places and directions
	shorts        // numbers of points, where two bytes do
	longs
	views
)

type file struct {
	watch     *work.Watch
	doc       *gltf.Document
	data      [views][]byte
	shapes    map[*Shape]int
	meshes    map[string]int // by what is in them
	materials map[Material]int
}

// node adds a node and those below it.
func (f *file) node(n Node) int {
	f.watch.Look()
	out := &gltf.Node{Name: n.Name, Extras: n.Told}
	index := len(f.doc.Nodes)
	f.doc.Nodes = append(f.doc.Nodes, out)
	for i, v := range [3]geom.Nm{n.At.X, n.At.Y, n.At.Z} {
		out.Translation[i] = metres(v)
	}
	if turn := ((n.Turn % 360) + 360) % 360; turn != 0 {
		out.Rotation = turns(turn)
	}
	if n.Shape != nil {
		out.Mesh = gltf.Index(f.shape(n.Name, n.Shape))
	}
	for _, c := range n.Children {
		out.Children = append(out.Children, f.node(c))
	}
	return index
}

// metres is a length as glTF has it.
func metres(d geom.Nm) float64 { return float64(d) / 1e9 }

// turns is a turn about Z as a quaternion: sines and cosines of half of it, by eighths of a turn, to seven digits.
func turns(degrees int) [4]float64 {
	sines := [...]float64{0, 0.3826834, 0.7071068, 0.9238795, 1, 0.9238795, 0.7071068, 0.3826834}
	k := degrees / geom.EighthDegrees
	cos := sines[(k+4)%8]
	if k > 4 {
		cos = -cos
	}
	return [4]float64{0, 0, sines[k], cos}
}

// shape adds a shape, unless an equal one is there.
func (f *file) shape(name string, s *Shape) int {
	if i, ok := f.shapes[s]; ok {
		return i
	}
	out := &gltf.Mesh{}
	var key []byte
	for _, m := range *s {
		if len(m.Faces) == 0 {
			continue
		}
		p, same := f.primitive(m)
		out.Primitives, key = append(out.Primitives, p), append(key, same...)
	}
	i, ok := f.meshes[string(key)]
	if !ok {
		i = len(f.doc.Meshes)
		out.Name = name
		f.doc.Meshes = append(f.doc.Meshes, out)
		f.meshes[string(key)] = i
	}
	f.shapes[s] = i
	return i
}

// primitive adds a mesh, unless an equal one is there; same tells equal ones.
func (f *file) primitive(m Mesh) (p *gltf.Primitive, same []byte) {
	points, faces := m.Points, m.Faces
	var normals []normal
	if m.Round {
		points, normals, faces = m.shaded()
	}
	var places, directions, numbers []byte
	lo, hi := [3]float32{}, [3]float32{}
	for i, q := range points {
		for a, v := range [3]geom.Nm{q.X, q.Y, q.Z} {
			x := float32(metres(v))
			places = binary.LittleEndian.AppendUint32(places, math.Float32bits(x))
			if i == 0 {
				lo[a], hi[a] = x, x
			}
			lo[a], hi[a] = min(lo[a], x), max(hi[a], x)
		}
	}
	for _, n := range normals {
		u := unit([3]float64{float64(n[0]), float64(n[1]), float64(n[2])})
		for _, v := range u {
			directions = binary.LittleEndian.AppendUint32(directions, math.Float32bits(float32(v)))
		}
	}
	view, kind := shorts, gltf.ComponentUshort
	if len(points) > math.MaxUint16 { // the last number means something else
		view, kind = longs, gltf.ComponentUint
	}
	for _, c := range faces {
		for _, k := range c {
			if view == shorts {
				numbers = binary.LittleEndian.AppendUint16(numbers, uint16(k))
			} else {
				numbers = binary.LittleEndian.AppendUint32(numbers, uint32(k))
			}
		}
	}
	place := f.accessor(floats, places, gltf.Accessor{ComponentType: gltf.ComponentFloat, Type: gltf.AccessorVec3, Count: len(points), Min: wide(lo), Max: wide(hi)})
	p = &gltf.Primitive{
		Attributes: gltf.PrimitiveAttributes{gltf.POSITION: place},
		Indices:    gltf.Index(f.accessor(view, numbers, gltf.Accessor{ComponentType: kind, Type: gltf.AccessorScalar, Count: 3 * len(faces)})),
		Material:   gltf.Index(f.material(m.Material)),
	}
	same = binary.AppendVarint(binary.AppendVarint(binary.AppendVarint(same, int64(place)), int64(*p.Indices)), int64(*p.Material))
	if len(normals) > 0 {
		n := f.accessor(floats, directions, gltf.Accessor{ComponentType: gltf.ComponentFloat, Type: gltf.AccessorVec3, Count: len(normals)})
		p.Attributes[gltf.NORMAL] = n
		same = binary.AppendVarint(same, int64(n))
	}
	return p, append(same, ';')
}

func wide(v [3]float32) []float64 { return []float64{float64(v[0]), float64(v[1]), float64(v[2])} }

// accessor adds data to a view, unless it is there.
func (f *file) accessor(view int, data []byte, a gltf.Accessor) int {
	key := string(rune('a'+view)) + string(data)
	if i, ok := f.meshes[key]; ok {
		return i
	}
	a.BufferView, a.ByteOffset = gltf.Index(view), len(f.data[view])
	f.data[view] = append(f.data[view], data...)
	i := len(f.doc.Accessors)
	f.doc.Accessors = append(f.doc.Accessors, &a)
	f.meshes[key] = i
	return i
}

// material adds a material, unless it is there.
func (f *file) material(m Material) int {
	if i, ok := f.materials[m]; ok {
		return i
	}
	c := linear(m.Colour)
	factor := [4]float64{c[0], c[1], c[2], 1}
	metal := 0.0
	if m.Metal {
		metal = 0.85
	}
	out := &gltf.Material{
		Name: m.Name, DoubleSided: m.Open,
		PBRMetallicRoughness: &gltf.PBRMetallicRoughness{MetallicFactor: gltf.Float(metal), RoughnessFactor: gltf.Float(float64(m.Rough) / 100)},
	}
	if m.Cover > 0 {
		factor[3], out.AlphaMode = float64(m.Cover)/100, gltf.AlphaBlend
	}
	out.PBRMetallicRoughness.BaseColorFactor = &factor
	if m.Glow != 0 {
		out.EmissiveFactor = linear(m.Glow)
	}
	i := len(f.doc.Materials)
	f.materials[m] = i
	f.doc.Materials = append(f.doc.Materials, out)
	return i
}

// finish lays the views one behind another, without those that are empty.
func (f *file) finish() {
	var all []byte
	place := [views]int{}
	for v, data := range f.data {
		if len(data) == 0 {
			continue
		}
		view := &gltf.BufferView{ByteOffset: len(all), ByteLength: len(data), Target: gltf.TargetElementArrayBuffer}
		if v == floats {
			view.Target, view.ByteStride = gltf.TargetArrayBuffer, 12
		}
		place[v] = len(f.doc.BufferViews)
		f.doc.BufferViews = append(f.doc.BufferViews, view)
		all = append(all, data...)
		for len(all)%4 != 0 {
			all = append(all, 0)
		}
	}
	for _, a := range f.doc.Accessors {
		*a.BufferView = place[*a.BufferView]
	}
	if len(all) > 0 {
		f.doc.Buffers = []*gltf.Buffer{{ByteLength: len(all), Data: all}}
	}
}
