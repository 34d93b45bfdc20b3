package solid

import (
	"math"

	"lampblack/panel/geom"
)

// crease is the cosine of the angle from which two faces are no parts of one curved surface: 40 degrees.
const crease = 0.766

// normal is a direction in thousandths.
type normal [3]int16

// shaded returns a round mesh with a normal at each point: points where faces meet at a crease are there once for each side of it.
func (m Mesh) shaded() (points []Point, normals []normal, faces [][3]int32) {
	at := map[Point][]int32{} // faces
	across := make([][3]float64, len(m.Faces))
	for i, f := range m.Faces {
		across[i] = m.across(f)
		for _, k := range f {
			at[m.Points[k]] = append(at[m.Points[k]], int32(i))
		}
	}
	type corner struct {
		Point
		normal
	}
	known := map[corner]int32{}
	for i, f := range m.Faces {
		var face [3]int32
		own := unit(across[i])
		for j, k := range f {
			var sum [3]float64
			for _, o := range at[m.Points[k]] {
				if dot(unit(across[o]), own) > crease {
					for a := range sum {
						sum[a] += across[o][a]
					}
				}
			}
			u := unit(sum)
			c := corner{m.Points[k], normal{thousandths(u[0]), thousandths(u[1]), thousandths(u[2])}}
			n, ok := known[c]
			if !ok {
				n = int32(len(points))
				known[c] = n
				points, normals = append(points, c.Point), append(normals, c.normal)
			}
			face[j] = n
		}
		faces = append(faces, face)
	}
	return points, normals, faces
}

func thousandths(x float64) int16 { return int16(math.Round(x * 1000)) }

// across is a face's normal, as long as twice its area in µm².
func (m Mesh) across(f [3]int32) [3]float64 {
	a, b, c := m.Points[f[0]], m.Points[f[1]], m.Points[f[2]]
	um := func(d geom.Nm) float64 { return float64(d) / float64(geom.Micrometre) }
	ux, uy, uz := um(b.X-a.X), um(b.Y-a.Y), um(b.Z-a.Z)
	vx, vy, vz := um(c.X-a.X), um(c.Y-a.Y), um(c.Z-a.Z)
	return [3]float64{float64(uy*vz) - float64(uz*vy), float64(uz*vx) - float64(ux*vz), float64(ux*vy) - float64(uy*vx)}
}

func dot(a, b [3]float64) float64 {
	return float64(a[0]*b[0]) + float64(a[1]*b[1]) + float64(a[2]*b[2])
}

func unit(a [3]float64) [3]float64 {
	l := math.Sqrt(dot(a, a))
	if l == 0 {
		return [3]float64{0, 0, 1}
	}
	return [3]float64{a[0] / l, a[1] / l, a[2] / l}
}
