package picture

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/scene"
	"lampblack/panel/geom"
)

// mark is something on a page: where its paint lies, and how it is painted.
type mark struct {
	group  string // the named group that it is in
	text   string // of letters
	box    geom.Box
	fill   scene.Paint
	stroke scene.Stroke
	path   *scene.Path
}

// inks returns all that is painted on a page, in order.
func inks(p scene.Page) []mark {
	var out []mark
	var walk func(items []scene.Item, in string)
	walk = func(items []scene.Item, in string) {
		for _, it := range items {
			switch q := it.(type) {
			case *scene.Group:
				name := in
				if q.Name != "" {
					name = in + "/" + q.Name
				}
				walk(q.Items, name)
			case *scene.Path:
				box := boxOf(q.Shapes)
				if !q.Stroke.None() {
					box = box.Grown(q.Stroke.Width / 2)
				}
				out = append(out, mark{group: in, box: box, fill: q.Fill, stroke: q.Stroke, path: q})
			case *scene.Glyphs:
				out = append(out, mark{group: in, text: q.Text, box: boxOf(q.Outlines()), fill: q.Fill})
			}
		}
	}
	walk(p.Body.Items, "")
	return out
}

func boxOf(shapes []geom.Contour) geom.Box {
	b := geom.EmptyBox()
	for _, c := range shapes {
		b = b.Union(c.Box())
	}
	return b
}

// tidy demands that all ink lies within the page, and that no two texts share any of it.
func tidy(t *testing.T, p scene.Page) {
	t.Helper()
	whole := geom.Box{Max: geom.Pt{X: p.W, Y: p.H}}
	var texts []mark
	for _, i := range inks(p) {
		if i.box.Empty() {
			continue
		}
		if whole.Union(i.box) != whole {
			t.Fatalf("beyond the page: %q in %s, %v", i.text, i.group, i.box)
		}
		if i.text == "" {
			continue
		}
		for _, o := range texts {
			if overlap(i.box, o.box) != 0 {
				t.Fatalf("%q over %q", i.text, o.text)
			}
		}
		texts = append(texts, i)
	}
	require.NotEmpty(t, texts)
}
