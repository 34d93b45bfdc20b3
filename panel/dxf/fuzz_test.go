package dxf

import (
	"math"
	"os"
	"path/filepath"
	"testing"
)

// FuzzRead: no input crashes the reader, and what comes out is sound.
func FuzzRead(f *testing.F) {
	for _, pattern := range []string{"../testdata/bad/*.dxf", "../testdata/focus/entities-only.dxf", "../testdata/focus/binary-r12.dxf"} {
		paths, _ := filepath.Glob(pattern)
		for _, p := range paths {
			b, err := os.ReadFile(p)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(b)
		}
	}
	f.Add(file("AC1015", "", "0 SPLINE,70 8,71 3,40 0,40 0,40 0,40 0,40 1,40 1,40 1,40 1,10 0,20 0,10 0,20 4,10 8,20 4,10 8,20 0",
		"0 SPLINE,71 3,11 0,21 0,11 5,21 5,11 9,21 0", "0 ELLIPSE,10 5,20 5,11 4,21 0,40 0.5,41 1,42 3", `0 MTEXT,40 3,1 {\H2x;A\PB}`))
	f.Fuzz(func(t *testing.T, src []byte) {
		d, l := Read(src, "fuzz.dxf")
		if len(d.Entities) == 0 && !l.HasErrors() {
			t.Fatal("an empty drawing without an error")
		}
		for _, e := range d.Entities {
			for _, v := range e.Path.Vertices {
				if math.IsNaN(v.X+v.Y+v.Bulge) || math.IsInf(v.X+v.Y+v.Bulge, 0) {
					t.Fatalf("unsound vertex in %s", e.Type)
				}
			}
		}
	})
}

// FuzzReal: where the quick number reader answers, it agrees with the slow one.
func FuzzReal(f *testing.F) {
	for _, s := range []string{"1.5", " -0.25 ", "1e5", "123456789.123456789"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		a, ok := parseReal(s)
		b, ok2 := parseSlow(s)
		if ok != ok2 || ok && a != b {
			t.Fatalf("%q: %v %v, %v %v", s, a, ok, b, ok2)
		}
	})
}
