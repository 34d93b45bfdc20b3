package paper

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/scene"
	"lampblack/export/scene/pdf"
	"lampblack/export/table"
	"lampblack/panel/geom"
)

// square is a picture of one square, as large as its page.
func square(w, h float64) scene.Page {
	r := geom.Rect(geom.Box{Min: geom.Pt{}, Max: geom.Pt{X: geom.MM(w), Y: geom.MM(h)}})
	return scene.Page{W: geom.MM(w), H: geom.MM(h), Body: scene.Group{Items: []scene.Item{
		&scene.Path{Shapes: []geom.Contour{r}, Fill: scene.Solid(0xdddddd), Stroke: scene.Line(0, geom.MM(0.3))}}}}
}

// sample has every kind of block, and a table that no page holds.
func sample() Paper {
	t := table.New("Volts at each string", table.Text("string"), table.Number("least", "V"), table.Number("most", "V"), table.Long("where"))
	for i := range 90 {
		t.Add(fmt.Sprintf("S%d", i+1), table.Fixed(1.8+float64(i)/100, 2), table.Fixed(2.1+float64(i)/100, 2), "across the resistor beside the third switch of the upper row, where the board is narrow")
	}
	return Paper{Kind: "Building guide", Name: "Ridge observatory desk", Revision: "B", Version: "1.0", Summary: "Six boards in one chain.", Blocks: []Block{
		Mind{"Batteries and mains: follow the local code and have licensed people do it.", "Wear glasses when you cut leads: " + strings.Repeat("the ends fly far and are sharp, ", 8) + "so mind."},
		Chapter{Title: "What to buy"},
		Text(strings.Repeat("Solder the flat parts first, since the board then lies flat on the bench. ", 6)),
		Points{"flux", "a clamp", strings.Repeat("isopropyl alcohol for the board, never for acrylic ", 5)},
		Section("The first board"),
		Steps{"Solder R1.", "Solder D1 with its long lead in the round pad.", strings.Repeat("Look at both joints. ", 12)},
		Figures{{Page: square(190, 120), Caption: "The LED side", Alt: "the board"}, {Page: square(190, 120), Caption: "From behind: a caption that is longer than its picture is wide, and thus has several lines", Alt: "the board"}},
		Chapter{Title: "Tests", Fresh: true},
		Grid{Table: t.Read("Black probe to minus."), Tick: true, Write: "measured, V"},
		Figures{{Page: square(30, 30), Most: 1}},
	}}
}

// placed is where the outlines of a page lie.
func placed(g *scene.Group) geom.Box {
	box := geom.EmptyBox()
	for _, it := range g.Items {
		switch it := it.(type) {
		case *scene.Group:
			box = box.Union(placed(it))
		case *scene.Path:
			for _, c := range it.Shapes {
				box = box.Union(c.Box())
			}
		case *scene.Glyphs:
			for _, c := range it.Outlines() {
				box = box.Union(c.Box())
			}
		}
	}
	return box
}

func said(g *scene.Group) []string {
	var out []string
	for _, it := range g.Items {
		switch it := it.(type) {
		case *scene.Group:
			out = append(out, said(it)...)
		case *scene.Glyphs:
			out = append(out, it.Text)
		}
	}
	return out
}

// All that is on a page prints on A4 and, about the same middle, on Letter, which is 17.6 mm less high (ANSI/ASME Y14.1: 8.5 x 11 in);
// 6 mm of each edge are left to printers that cannot reach it (common practice).
func TestPagesFitBothPapers(t *testing.T) {
	pages := Pages(nil, sample())
	require.GreaterOrEqual(t, len(pages), 3)
	less := (geom.MM(297) - geom.MM(279.4)) / 2
	for i, p := range pages {
		require.Equal(t, [2]geom.Nm{geom.MM(210), geom.MM(297)}, [2]geom.Nm{p.W, p.H})
		box := placed(&p.Body)
		require.GreaterOrEqual(t, box.Min.Y, less+geom.MM(6), "page %d", i+1)
		require.LessOrEqual(t, box.Max.Y, p.H-less-geom.MM(6), "page %d", i+1)
		require.GreaterOrEqual(t, box.Min.X, geom.MM(6), "page %d", i+1)
		require.LessOrEqual(t, box.Max.X, geom.MM(204), "page %d", i+1)
	}
}

// Each page tells its number, all but the first, which has the title, the console's name and revision, and a table's head stands again
// where it goes on.
func TestPagesTellWhoseTheyAre(t *testing.T) {
	pages := Pages(nil, sample())
	heads := 0
	for i, p := range pages {
		words := said(&p.Body)
		require.Contains(t, words, fmt.Sprintf("page %d of %d", i+1, len(pages)))
		all := strings.Join(words, "\n")
		require.Contains(t, all, "Ridge observatory desk")
		require.Contains(t, all, "revision B")
		if strings.Contains(all, "least, V") {
			heads++
			require.Contains(t, all, "measured, V")
		}
	}
	require.Greater(t, heads, 1)
}

// Of a page less than a third stays empty but where a chapter ends: a picture that hardly finds room is drawn smaller instead.
func TestNoPageIsHalfEmpty(t *testing.T) {
	for n := range 40 {
		p := Paper{Kind: "Test", Name: "x", Blocks: []Block{Text(strings.Repeat("Words that fill lines, one after the other. ", 10*n))}}
		for range 6 {
			p.Blocks = append(p.Blocks, Section("A board"), Figures{{Page: square(170, 80), Caption: "it"}}, Text("And so on."))
		}
		pages := Pages(nil, p)
		for i, q := range pages[:len(pages)-1] {
			low := geom.Nm(0)
			for _, it := range q.Body.Items {
				if b := placed(&scene.Group{Items: []scene.Item{it}}); b.Max.Y < geom.MM(267) {
					low = max(low, b.Max.Y)
				}
			}
			require.Greater(t, low, geom.MM(170), "%d: page %d of %d", n, i+1, len(pages))
		}
	}
}

// A picture keeps its shape and its place on the page, and lines stay lines.
func TestPlaced(t *testing.T) {
	g := scene.Placed(square(40, 20), geom.Pt{X: geom.MM(10), Y: geom.MM(5)}, 0.5, geom.MM(0.2))
	p := g.Items[0].(*scene.Path)
	require.Equal(t, geom.Box{Min: geom.Pt{X: geom.MM(10), Y: geom.MM(5)}, Max: geom.Pt{X: geom.MM(30), Y: geom.MM(15)}}, p.Shapes[0].Box())
	require.Equal(t, geom.MM(0.2), p.Stroke.Width)
}

// The page for a browser says what the printed one says.
func TestHTMLSaysTheSame(t *testing.T) {
	p := sample()
	html := string(HTML(nil, p))
	for _, want := range []string{"Ridge observatory desk", "revision B", "Six boards in one chain.", "What to buy", "The first board", "flux", "Solder R1.", "Black probe to minus.", "measured, V", "The LED side", "1.80", "S90"} {
		require.Contains(t, html, want)
	}
	require.Equal(t, 90, strings.Count(html, `type="checkbox"`))
	require.Contains(t, html, "default-src 'none'")
	p.Name = `<script>alert("x")</script>`
	require.NotContains(t, string(HTML(nil, p)), "<script")
}

// LOOK=folder writes the sample, to look at.
func TestLook(t *testing.T) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		t.Skip("LOOK=folder writes a sample there")
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "sample.pdf"), pdf.Encode(nil, pdf.Document{Title: "sample"}, Pages(nil, sample())...), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "sample.html"), HTML(nil, sample()), 0o600))
}

// A text right before pictures stands on their page.
func TestTextLeadsToPictures(t *testing.T) {
	for n := range 12 {
		p := Paper{Name: "desk", Blocks: []Block{Points(strings.Split(strings.Repeat("flux\n", 30+n)+"flux", "\n")), Text("Look at the mark."), Figures{{Page: square(60, 60), Caption: "its mark", Most: 1}}}}
		for _, page := range Pages(nil, p) {
			words := said(&page.Body)
			require.Equal(t, slices.Contains(words, "Look at the mark."), slices.Contains(words, "its mark"), "%d points", 31+n)
		}
	}
}

// Whatever a console is called, its name stands in a string of CSS (CSS Syntax Module Level 3: a backslash, hexadecimal digits, a space that belongs to them) and nowhere else.
func TestEdgesQuote(t *testing.T) {
	got := string(Edges("a\"}</style>\n\\é 1", "B", ""))
	require.Contains(t, got, `@top-left{content:"a\22 \7d \3c \2f style\3e \a \5c \e9  1";`)
	require.Contains(t, got, `@top-right{content:"revision B";`)
	require.Contains(t, got, `counter(page) " of " counter(pages)`)
	require.Equal(t, strings.Count(got, "{"), strings.Count(got, "}"))
}

// A picture that finds no room lets words go before it rather than leave much of a page empty; tables and further chapters stay behind.
func TestWordsGoBeforeAPictureWithoutRoom(t *testing.T) {
	filled := Steps(slices.Repeat([]string{"a step"}, 20)) // some 110 of 236 mm
	tall := Figures{{Page: square(174, 190), Caption: "the board"}}
	grid := table.New("", table.Text("x"))
	grid.Add("in the table")
	pageOf := func(says string, blocks ...Block) int {
		for i, p := range Pages(nil, Paper{Blocks: blocks}) {
			if slices.Contains(said(&p.Body), says) {
				return i
			}
		}
		return -1
	}
	blocks := []Block{filled, Chapter{Title: "Board 2"}, tall, tall, Section("Solder"), Steps{"first the flat parts"}, Grid{Table: grid}}
	for says, page := range map[string]int{"Board 2": 0, "Solder": 0, "first the flat parts": 0, "the board": 1, "in the table": 2} {
		require.Equal(t, page, pageOf(says, blocks...), says)
	}
	blocks[4] = Chapter{Title: "Another"} // its words are not those of the picture
	require.Equal(t, 1, pageOf("Board 2", blocks...))
	require.Equal(t, 2, pageOf("first the flat parts", blocks...))
	nearly := append([]Block{Steps(slices.Repeat([]string{"a step"}, 20))}, blocks...) // little would stay empty
	nearly[5] = Section("Solder")
	require.Equal(t, 2, pageOf("Solder", nearly...))
}
