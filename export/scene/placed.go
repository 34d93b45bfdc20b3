package scene

import (
	"math"

	"lampblack/panel/geom"
)

// Placed returns what is on a page at another size, k times as large, with the page's upper left corner at a point: a picture in a
// picture. Lines keep k times their widths, but none gets thinner than least. Names of layers are left out, since a page may bear two
// such pictures.
func Placed(p Page, at geom.Pt, k float64, least geom.Nm) *Group {
	return placing{at, k, least, map[*geom.Contour][]geom.Contour{}}.group(&p.Body)
}

type placing struct {
	at    geom.Pt
	k     float64
	least geom.Nm
	done  map[*geom.Contour][]geom.Contour // by the first of them: what paths share they go on sharing
}

func (f placing) length(v geom.Nm) geom.Nm { return geom.Nm(math.Round(float64(v) * f.k)) }

func (f placing) pt(p geom.Pt) geom.Pt {
	return geom.Pt{X: f.at.X + f.length(p.X), Y: f.at.Y + f.length(p.Y)}
}

func (f placing) contours(cs []geom.Contour) []geom.Contour {
	if len(cs) == 0 {
		return nil
	}
	if out, ok := f.done[&cs[0]]; ok && len(out) == len(cs) {
		return out
	}
	out := make([]geom.Contour, len(cs))
	for i, c := range cs {
		out[i] = make(geom.Contour, len(c))
		for j, v := range c {
			out[i][j] = geom.Vertex{Pt: f.pt(v.Pt), Bulge: v.Bulge}
		}
	}
	f.done[&cs[0]] = out
	return out
}

func (f placing) group(g *Group) *Group {
	out := &Group{Clip: f.contours(g.Clip), Items: make([]Item, 0, len(g.Items))}
	for _, it := range g.Items {
		switch it := it.(type) {
		case *Group:
			out.Add(f.group(it))
		case *Path:
			q := *it
			q.Name, q.Shapes = "", f.contours(it.Shapes)
			if !q.Stroke.None() {
				q.Stroke.Width = max(f.length(q.Stroke.Width), f.least)
				q.Stroke.Dashes = make([]geom.Nm, len(it.Stroke.Dashes))
				for i, d := range it.Stroke.Dashes {
					q.Stroke.Dashes[i] = f.length(d)
				}
			}
			out.Add(&q)
		case *Glyphs:
			q := *it
			q.At, q.Height = f.pt(it.At), f.length(it.Height)
			out.Add(&q)
		}
	}
	return out
}
