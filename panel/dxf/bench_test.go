package dxf

import (
	"fmt"
	"math"
	"strings"
	"testing"

	yofu "github.com/yofu/dxf"
)

// big is a drawing of n entities as CAD writes them: lines, arcs, circles and polylines, about 110 bytes each.
func big(n int) []byte {
	var b strings.Builder
	b.WriteString("  0\nSECTION\n  2\nENTITIES\n")
	for i := range n {
		x, y := float64(i%1000)*1.25, float64(i/1000)*2.5
		switch i % 4 {
		case 0, 1:
			fmt.Fprintf(&b, "  0\nLINE\n  5\n%X\n  8\nOUTLINE\n 10\n%.6f\n 20\n%.6f\n 30\n0.0\n 11\n%.6f\n 21\n%.6f\n 31\n0.0\n", i+32, x, y, x+1.0/3, y+1.0/7)
		case 2:
			fmt.Fprintf(&b, "  0\nARC\n  5\n%X\n  8\nOPENING\n 10\n%.6f\n 20\n%.6f\n 30\n0.0\n 40\n%.6f\n 50\n15.0\n 51\n%.4f\n", i+32, x, y, 1+x/1e4, 90+y/100)
		case 3:
			fmt.Fprintf(&b, "  0\nLWPOLYLINE\n  5\n%X\n  8\nBODY\n 90\n3\n 70\n1\n 10\n%.6f\n 20\n%.6f\n 10\n%.6f\n 20\n%.6f\n 42\n0.414214\n 10\n%.6f\n 20\n%.6f\n", i+32, x, y, x+1, y, x+1, y+1)
		}
	}
	b.WriteString("  0\nENDSEC\n  0\nEOF\n")
	return []byte(b.String())
}

func BenchmarkRead(b *testing.B) {
	for _, n := range []int{1000, 100_000, 1_000_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			src := big(n)
			b.SetBytes(int64(len(src)))
			b.ReportAllocs()
			for b.Loop() {
				if d, _ := Read(b.Context(), src, "big.dxf"); len(d.Entities) != n {
					b.Fatal(len(d.Entities))
				}
			}
		})
	}
}

// both is a drawing of n entities, all of which the pinned github.com/yofu/dxf reads too: it knows no bulges.
func both(n int) []byte {
	d := Drawing{}
	for i := range n {
		at := XY{X: float64(i%1000) * 1.25, Y: float64(i/1000) * 2.5}
		e := Entity{Layer: "LED", Path: Path{Vertices: []Vertex{{at, 0}, {at.Add(XY{X: 1.0 / 3, Y: 1.0 / 7}), 0}}}}
		switch i % 3 {
		case 1:
			e.Path = Path{Closed: true, Vertices: []Vertex{{at, 1}, {at.Add(XY{X: math.Pi, Y: 0}), 1}}}
		case 2:
			e.Path = Path{Closed: true, Vertices: []Vertex{{at, 0}, {at.Add(XY{X: 1, Y: 0}), 0}, {at.Add(XY{X: 1, Y: 1}), 0}}}
		}
		d.Entities = append(d.Entities, e)
	}
	src, err := Write(d, Options{})
	if err != nil {
		panic(err)
	}
	return src
}

// BenchmarkReaders reads the same file with our reader and with the library that writes ours.
func BenchmarkReaders(b *testing.B) {
	const n = 30_000
	src := both(n)
	b.Run("ours", func(b *testing.B) {
		b.SetBytes(int64(len(src)))
		b.ReportAllocs()
		for b.Loop() {
			if d, _ := Read(b.Context(), src, "both.dxf"); len(d.Entities) != n {
				b.Fatal(len(d.Entities))
			}
		}
	})
	b.Run("yofu", func(b *testing.B) {
		b.SetBytes(int64(len(src)))
		b.ReportAllocs()
		for b.Loop() {
			d, err := yofu.FromStringData(string(src))
			if err != nil || len(d.Entities()) != n {
				b.Fatal(err, len(d.Entities()))
			}
		}
	})
}
