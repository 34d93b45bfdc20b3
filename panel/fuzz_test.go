package panel

import (
	"testing"

	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/paneltest"
)

// FuzzInterpret: whatever a file holds, panels come out sound or findings say why not.
func FuzzInterpret(f *testing.F) {
	for _, x := range paneltest.Files(f, "testdata/bad/*.dxf") {
		f.Add(x.Data)
	}
	for _, x := range paneltest.Files(f, "testdata/focus/entities-only.dxf") {
		f.Add(x.Data)
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		d, l := dxf.Read(src, "fuzz.dxf")
		rep, more := Survey(d, Options{})
		l = append(l, more...)
		if len(rep.Panels) == 0 && !l.HasErrors() {
			t.Fatal("no panel and no error")
		}
		for _, p := range rep.Panels {
			sound(t, p)
		}
	})
}

func sound(t *testing.T, p Panel) {
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
