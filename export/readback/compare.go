package readback

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/export"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Compare sets what was read back against what was to be written: the same layers with the same image, holes with the same
// tools, nets, parts and pins on the copper, and the laminate. A list without findings means that a board made from got is the board
// meant by want.
//
// Layers whose objects are the same, but for their order within a run of one polarity, have the same image. Of others the
// areas are compared: every piece of the symmetric difference must be thinner than a micrometre.
func Compare(want, got export.Artwork) diag.List {
	var l diag.List
	for _, w := range want.Layers {
		k := slices.IndexFunc(got.Layers, func(g export.Layer) bool { return g.Function == w.Function })
		if k < 0 {
			if len(w.Objects) > 0 || w.Function.Copper() {
				l.Add(diag.Error, "readback-layer-lost", "the layer %v was not written", w.Function).Ours()
			}
			continue
		}
		l = append(l, compareLayers(w, got.Layers[k])...)
	}
	for _, g := range got.Layers {
		// Component layers come from the board beside the artwork.
		if (g.Function < export.ComponentTop || g.Function > export.ComponentBottom) && !slices.ContainsFunc(want.Layers, func(w export.Layer) bool { return g.Function == w.Function }) {
			l.Add(diag.Error, "readback-layer-surplus", "a layer %v was written that the board does not have", g.Function).Ours()
		}
	}
	for _, plated := range [2]bool{true, false} {
		l = append(l, compareDrills(drillOf(want, plated), drillOf(got, plated), plated)...)
	}
	if want.Laminate != got.Laminate {
		l.Add(diag.Error, "readback-laminate", "the job file tells a board of %v with %v of copper, it is to be %v with %v",
			got.Laminate.Thickness, got.Laminate.Copper, want.Laminate.Thickness, want.Laminate.Copper).Ours()
	}
	return l.Capped(maxFindings).WithPanel(want.Name)
}

func drillOf(a export.Artwork, plated bool) export.Drill {
	for _, d := range a.Drills {
		if d.Plated == plated {
			return d
		}
	}
	return export.Drill{Plated: plated}
}

func compareLayers(want, got export.Layer) diag.List {
	var l diag.List
	if want.Negative != got.Negative {
		l.Add(diag.Error, "readback-differs", "the layer %v was written with the wrong polarity", want.Function).Ours()
	}
	a, b, same := sameObjects(want, got)
	if same {
		for i := range a {
			if f, g := useOf(want, a[i]), useOf(got, b[i]); f != g {
				at := spine(a[i]).Centre()
				l.Add(diag.Error, "readback-use-differs", "on the layer %v something is written as %q, it was to be %q", want.Function, g, f).
					At(at.X.MM(), at.Y.MM()).Ours()
			}
			parts := want.Function == export.ComponentTop || want.Function == export.ComponentBottom
			if (want.Function.Copper() || parts) && !sameNames(a[i], b[i]) {
				at, what := a[i].To, "a piece of copper"
				if a[i].Op == export.Region {
					at = a[i].Contour[0].Pt
				}
				if parts {
					what = "a part"
				}
				l.Add(diag.Error, "readback-net-differs", "on the layer %v %s is %s, it was to be %s", want.Function, what, names(b[i]), names(a[i])).
					At(at.X.MM(), at.Y.MM()).Ours()
			}
		}
		return l
	}
	gone, added := Apart(want, got, geom.Micrometre)
	for _, d := range [2]geom.Region{gone, added} {
		for _, p := range d {
			c := p.Outer.Box().Centre()
			l.Add(diag.Error, "readback-differs", "the layer %v as written differs from the board by %.4g mm²", want.Function, p.Area()).
				At(c.X.MM(), c.Y.MM()).Ours()
		}
	}
	if want.Function.Copper() {
		l = append(l, compareFlashes(want, got)...)
	}
	return l
}

// sameObjects returns the objects of both layers in one order, where they are the same but for their order within runs.
func sameObjects(want, got export.Layer) (a, b []export.Object, same bool) {
	allSame := func(a, b []export.Object) bool {
		for i := range a {
			if !sameObject(want, a[i], got, b[i]) {
				return false
			}
		}
		return true
	}
	a, b = want.Objects, got.Objects
	same = len(a) == len(b)
	if same && !allSame(a, b) {
		a, b = sortedRuns(want), sortedRuns(got)
		same = allSame(a, b)
	}
	return a, b, same
}

// Apart returns the areas that only one of two images has: gone are those of was, added those of is. Pieces that are thinner than
// least on average, as rounding leaves them, are left out.
func Apart(was, is export.Layer, least geom.Nm) (gone, added geom.Region) {
	if _, _, same := sameObjects(was, is); same {
		return nil, nil
	}
	u, v := Image(was), Image(is)
	thin := func(p geom.Polygon) bool { return !thick(p, least) }
	return slices.DeleteFunc(u.Minus(v), thin), slices.DeleteFunc(v.Minus(u), thin)
}

// thick reports whether a piece is more than rounding: wider than least on average.
func thick(p geom.Polygon, least geom.Nm) bool {
	around := 0.0
	for _, r := range p.Rings() {
		around += r.Perimeter()
	}
	return p.Area() > least.MM()*least.MM() && 2*p.Area() > around*least.MM()
}

// sortedRuns returns the objects, those of each run of one polarity in a fixed order: within a run the order does not
// matter to the image.
func sortedRuns(l export.Layer) []export.Object {
	out := slices.Clone(l.Objects)
	for i := 0; i < len(out); {
		j := i
		for j < len(out) && out[j].Clear == out[i].Clear {
			j++
		}
		slices.SortStableFunc(out[i:j], func(a, b export.Object) int {
			return cmp.Or(
				cmp.Compare(a.Op, b.Op),
				compareContours(a, b),
				comparePts(a.To, b.To),
				comparePts(a.From, b.From),
				cmp.Compare(width(l, a), width(l, b)),
				cmp.Compare(bent(a.Bulge), bent(b.Bulge)),
				strings.Compare(a.Net, b.Net),
				strings.Compare(useOf(l, a), useOf(l, b)),
			)
		})
		i = j
	}
	return out
}

func width(l export.Layer, o export.Object) geom.Nm {
	if o.Op == export.Region {
		return 0
	}
	return l.Apertures[o.Aperture].W
}

func bent(b float64) int { return cmp.Compare(b, 0) }

func compareContours(a, b export.Object) int {
	return slices.CompareFunc(a.Contour, b.Contour, func(u, v geom.Vertex) int {
		return cmp.Or(comparePts(u.Pt, v.Pt), cmp.Compare(bent(u.Bulge), bent(v.Bulge)))
	})
}

func comparePts(a, b geom.Pt) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) }

func sameObject(l export.Layer, a export.Object, m export.Layer, b export.Object) bool {
	if a.Op != b.Op || a.Clear != b.Clear {
		return false
	}
	if a.Op == export.Region {
		if len(a.Contour) != len(b.Contour) {
			return false
		}
		edges := b.Contour.Edges()
		for i, e := range a.Contour.Edges() {
			if !sameEdge(e, edges[i]) {
				return false
			}
		}
		return true
	}
	if !sameAperture(l.Apertures[a.Aperture], m.Apertures[b.Aperture]) {
		return false
	}
	if a.Op == export.Flash {
		return a.To == b.To
	}
	return sameEdge(geom.Arc{From: a.From, To: a.To, Bulge: a.Bulge}, geom.Arc{From: b.From, To: b.To, Bulge: b.Bulge})
}

// sameEdge compares edges; the height of an arc over its chord, half the chord times the bulge, may differ by 0.1 µm,
// because its centre was rounded.
func sameEdge(a, b geom.Arc) bool {
	return a.From == b.From && a.To == b.To && math.Abs(a.Bulge-b.Bulge)*a.From.Dist(a.To)/2 <= 100
}

func sameAperture(a, b export.Aperture) bool {
	if a.Shape == export.Circle || a.Shape == export.Diamond {
		a.H, b.H = a.W, b.W
	}
	if a.Shape != b.Shape || a.W != b.W || a.H != b.H || a.Slant != b.Slant {
		return false
	}
	return slices.EqualFunc(a.Contours, b.Contours, func(c, d geom.Contour) bool { return slices.Equal(c, d) })
}

func sameNames(a, b export.Object) bool {
	return a.Net == b.Net && a.HasNet == b.HasNet && a.Ref == b.Ref && a.Pin == b.Pin && a.PinFn == b.PinFn && samePart(a.Part, b.Part)
}

// samePart compares what component layers tell of a part: an assembler's machine turns and takes it by that.
func samePart(a, b *export.Component) bool {
	if a == nil || b == nil {
		return a == b
	}
	return a.Rotation == b.Rotation && a.Value == b.Value && a.Footprint == b.Footprint && a.Through == b.Through &&
		max(a.Height-b.Height, b.Height-a.Height) <= geom.Micrometre
}

// useOf returns the .AperFunction of an object.
func useOf(l export.Layer, o export.Object) string {
	if o.Op == export.Region {
		return o.Function
	}
	return l.Apertures[o.Aperture].Function
}

func names(o export.Object) string {
	s := "of no net"
	if o.HasNet {
		s = fmt.Sprintf("of net %q", o.Net)
	}
	if o.Pin != "" {
		s += fmt.Sprintf(", pin %s-%s %s", o.Ref, o.Pin, o.PinFn)
	}
	if c := o.Part; c != nil {
		s += fmt.Sprintf(", %s %s %s at %g degrees", o.Ref, c.Value, c.Footprint, c.Rotation)
	}
	return s
}

// compareFlashes compares the names on pads of layers whose objects differ.
func compareFlashes(want, got export.Layer) diag.List {
	var l diag.List
	places := Grid{}
	for i, o := range got.Objects {
		if o.Op == export.Flash {
			places.Put(o.To, i)
		}
	}
	for _, o := range want.Objects {
		if o.Op != export.Flash {
			continue
		}
		fits := false
		places.At(o.To, func(i int) bool {
			fits = fits || got.Objects[i].To == o.To && sameNames(o, got.Objects[i])
			return fits
		})
		if !fits {
			l.Add(diag.Error, "readback-net-differs", "on the layer %v the pad %s was not written", want.Function, names(o)).
				At(o.To.X.MM(), o.To.Y.MM()).Ours()
		}
	}
	return l
}

// compareDrills compares holes by place and size, to within near, and slots.
func compareDrills(want, got export.Drill, plated bool) diag.List {
	var l diag.List
	what := "unplated"
	if plated {
		what = "plated"
	}
	places := Grid{}
	for i, h := range got.Hits {
		places.Put(h.At, i)
	}
	met := make([]bool, len(got.Hits))
	for _, h := range want.Hits {
		found := false
		places.At(h.At, func(i int) bool {
			g := got.Hits[i]
			if !met[i] && g.At.Dist(h.At) <= float64(near) && got.Tools[g.Tool] == want.Tools[h.Tool] {
				met[i], found = true, true
			}
			return found
		})
		if !found {
			l.Add(diag.Error, "readback-hole-lost", "a %s hole of %v was not written, or not of that size and use", what, want.Tools[h.Tool].D).
				At(h.At.X.MM(), h.At.Y.MM()).Ours()
		}
	}
	for i, h := range got.Hits {
		if !met[i] {
			l.Add(diag.Error, "readback-hole-surplus", "a %s hole of %v was written that the board does not have", what, got.Tools[h.Tool].D).
				At(h.At.X.MM(), h.At.Y.MM()).Ours()
		}
	}
	slots := func(d export.Drill) []string {
		var out []string
		for _, s := range d.Slots {
			out = append(out, fmt.Sprint(d.Tools[s.Tool], s.Path))
		}
		slices.Sort(out)
		return out
	}
	if !slices.Equal(slots(want), slots(got)) {
		l.Add(diag.Error, "readback-slots-differ", "the %s slots were not written as they are on the board", what).Ours()
	}
	return l
}

// Enclosed returns what the profile encloses, drawn as lines or as an area.
func Enclosed(a export.Artwork) geom.Region {
	l, _ := a.Layer(export.Profile)
	curves := a.Edges()
	for _, o := range l.Objects {
		if o.Op == export.Region {
			curves = append(curves, o.Contour)
		}
	}
	var rings []geom.Ring
	for _, c := range curves {
		rings = append(rings, c.Ring(geom.FlattenTolerance))
	}
	return geom.NewRegion(rings...)
}
