package read

import (
	"slices"
	"testing"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/paneltest"
)

// FuzzPanels: whatever a file holds, panels come out sound or findings say why not.
func FuzzPanels(f *testing.F) {
	for _, x := range paneltest.Files(f, "testdata/bad/*.dxf") {
		f.Add(x.Data)
	}
	for _, name := range []string{"focus/entities-only", "focus/no-layers", "weather/filled", "weather/twice", "weather/rings"} {
		for _, x := range paneltest.Files(f, "testdata/"+name+".dxf") {
			f.Add(x.Data)
		}
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		d, l := dxf.Read(t.Context(), src, "fuzz.dxf")
		rep, more := Survey(t.Context(), d, Options{})
		rules := Options{}
		for _, p := range rep.Proposal {
			rules.Rules = append(rules.Rules, p.Rule)
		}
		ruled, _ := Panels(t.Context(), d, rules)
		for _, p := range ruled {
			sound(t, p)
		}
		l = append(l, more...)
		sized := !slices.ContainsFunc(l, func(f diag.Finding) bool { return f.Code == panelTooLarge || f.Code == panelTooSmall })
		if len(rep.Panels) == 0 && sized && !l.HasErrors() {
			t.Fatal("no panel and no error")
		}
		for _, p := range rep.Panels {
			sound(t, p)
		}
	})
}

func sound(t *testing.T, p panel.Panel) {
	within := func(c geom.Contour) {
		for _, v := range c {
			if v.X < -geom.MaxCoord || v.X > geom.MaxCoord || v.Y < -geom.MaxCoord || v.Y > geom.MaxCoord {
				t.Fatalf("%v lies beyond geom.MaxCoord", v)
			}
		}
	}
	if p.Name == "" || len(p.Outline) < 2 {
		t.Fatal("a panel without name or outline")
	}
	within(p.Outline)
	if p.Outline.SignedArea() < 0 {
		t.Fatal("the outline runs clockwise")
	}
	for _, o := range p.Openings {
		within(o.Contour)
	}
	for _, b := range p.Bodies {
		within(b)
	}
	for _, s := range p.Symbols {
		within(s.Shape)
	}
	for _, h := range append(p.LEDs, p.Mounts...) {
		within(geom.Contour{{Pt: h.At}})
		if h.D < 0 {
			t.Fatal("a hole of negative diameter")
		}
	}
}

// FuzzJoin: whatever lines and arcs are thrown together, the healer ends, loses no closed curve that it was given, and
// what it closes is closed. Bytes are read as a walk on a coarse grid, so that ends meet, overlap and cross often.
func FuzzJoin(f *testing.F) {
	f.Add([]byte{0, 0, 40, 0, 0, 40, 0, 40, 40, 0, 40, 40, 0, 40, 0, 0, 40, 0, 0, 0}, false, true)
	f.Add([]byte{0, 0, 60, 0, 0, 40, 0, 99, 0, 0, 99, 0, 99, 50, 3, 99, 50, 0, 50, 0, 0, 50, 0, 0, 0}, true, false)
	f.Add([]byte{10, 10, 30, 10, 1, 30, 10, 10, 10, 1, 5, 5, 5, 5, 0}, false, false)
	f.Fuzz(func(t *testing.T, walk []byte, keep, cross bool) {
		if len(walk) > 4000 {
			return
		}
		var es []*dxf.Entity
		for ; len(walk) >= 5; walk = walk[5:] {
			p := dxf.Path{Vertices: []dxf.Vertex{
				{XY: dxf.XY{X: float64(walk[0]) * 0.5, Y: float64(walk[1]) * 0.5}, Bulge: float64(int8(walk[4]&0xfe)) / 64},
				{XY: dxf.XY{X: float64(walk[2])*0.5 + float64(walk[4]>>5)*0.004, Y: float64(walk[3]) * 0.5}}}}
			if walk[4]&1 == 1 {
				p.Closed = true
				p.Vertices[1].Bulge = p.Vertices[0].Bulge
			}
			es = append(es, &dxf.Entity{Type: "LINE", Layer: "OUTLINE", Path: p})
		}
		j := joinOf(nil, es, 0.1, keep, cross)
		for _, l := range append(j.loops, j.outers...) {
			if !l.path.Closed || len(l.path.Vertices) < 2 || l.path.SignedArea() < -1e-6*(1+l.area) || !(l.area >= 0) {
				t.Fatalf("unsound loop %v", l.path)
			}
		}
		for _, e := range j.ends {
			if e.of < 0 || e.of >= len(j.open) {
				t.Fatal("an end of nothing")
			}
		}
		if n := len(j.loops) + len(j.outers) + len(j.open) + len(j.same) + len(j.none); len(es) > 0 && n == 0 {
			t.Fatal("all things vanished")
		}
	})
}

// FuzzParseRule: rules that are understood are written so that they are understood again, as the same.
func FuzzParseRule(f *testing.F) {
	for _, s := range []string{"layer CUTOUTS", "circles 3.0 mm", "circles 3 .. 3.2 mm on layer A B", "shapes 1/2 x 3", "shapes 20 x 10 in", "largest", "rest", "circle 0.125in"} {
		f.Add("led", s)
	}
	f.Fuzz(func(t *testing.T, role, s string) {
		r, err := ParseRule(panel.Role(role), s)
		if err != nil {
			return
		}
		again, err := ParseRule(panel.Role(role), r.String())
		if err != nil || again != r {
			t.Fatalf("%q: %+v, %q: %+v %v", s, r, r.String(), again, err)
		}
	})
}
