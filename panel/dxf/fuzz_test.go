package dxf

import (
	"math"
	"os"
	"path/filepath"
	"testing"
)

// FuzzRead: no input crashes the reader, and what comes out is sound.
func FuzzRead(f *testing.F) {
	for _, pattern := range []string{"../read/testdata/bad/*.dxf", "../read/testdata/focus/entities-only.dxf", "../read/testdata/focus/binary-r12.dxf", "../read/testdata/weather/filled.dxf", "../read/testdata/weather/curve-fit.dxf", "../read/testdata/weather/mtext.dxf"} {
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
		d, l := Read(t.Context(), src, "fuzz.dxf")
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

// FuzzTags: the tokenizers end, count lines upwards, and hand out no more than is there.
func FuzzTags(f *testing.F) {
	f.Add([]byte("  0\nLINE\n 10\n1.0\n999\nremark\n 11\n2\n"), false)
	f.Add([]byte("0\r\nEOF\r\n"), false)
	f.Add([]byte("\x00LINE\x00\x0a\x00\x00\x00\x00\x00\x00\xf0\x3f"), true)
	f.Add([]byte("\x00\x00LINE\x00\x0a\x00\x00\x00\x00\x00\x00\x00\xf0\x3f"), true)
	f.Fuzz(func(t *testing.T, src []byte, bin bool) {
		var s source = &ascii{src: string(src)}
		if bin {
			s = newBinary(sentinel + string(src))
		}
		var g group
		line, n := 0, 0
		for s.next(&g) {
			if n++; n > len(src) {
				t.Fatal("more groups than bytes")
			}
			if g.line < line {
				t.Fatal("lines run backwards")
			}
			line = g.line
			g.int()
			if v, ok := g.real(); ok && !(math.Abs(v) <= MaxCoordinate) {
				t.Fatal("a number out of bounds")
			}
		}
	})
}
