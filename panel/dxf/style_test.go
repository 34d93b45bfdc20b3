package dxf

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/writing"
)

// multiLine strips an MTEXT of its inline codes and returns its lines joined by "\n" and the factor by which its
// first character is taller than the entity's height.
func multiLine(s string) (text string, tall float64) {
	m := newMarks(1, writing.Run{})
	m.read(s)
	return m.text(), m.tall
}

// runsOf writes a text's runs as its looks tell them: "[under]DOME".
func runsOf(t *testing.T, body string) []writing.Run {
	x := one(t, body).Text
	require.NotNil(t, x.Block, body)
	var out []writing.Run
	for _, p := range x.Block.Paragraphs {
		out = append(out, p.Runs...)
	}
	return out
}

// Codes of a TEXT that are no characters (DXF Reference, TEXT; references.md section 19): a drawing each.
func TestTextLooks(t *testing.T) {
	x := one(t, "0 TEXT,10 0,20 0,40 3,1 DOME,41 1.5,51 20").Text
	require.InDelta(t, 1.5, x.Width, 1e-12)
	require.InDelta(t, 20*deg, x.Slant, 1e-12)
	require.Nil(t, x.Block)

	runs := runsOf(t, "0 TEXT,10 0,20 0,40 3,1 A%%uB%%u C%%oD%%kE")
	require.Equal(t, []writing.Run{{Text: "A"}, {Text: "B", Under: true}, {Text: " C"}, {Text: "D", Over: true}, {Text: "E", Over: true, Through: true}}, runs)
	require.Equal(t, "AB CDE", one(t, "0 TEXT,10 0,20 0,40 3,1 A%%uB%%u C%%oD%%kE").Text.Text)
	require.Nil(t, one(t, "0 TEXT,10 0,20 0,40 3,1 5%%%u 90%%d").Text.Block, "a percent sign and a u")

	// Upside down is a half turn and a mirror; a block that is wider than high leans what is turned in it.
	require.True(t, one(t, "0 TEXT,10 0,20 0,40 3,1 DOME,71 4").Text.Mirror)
	const block = "0 SECTION,2 BLOCKS,0 BLOCK,2 TAG,10 0,20 0,0 TEXT,10 0,20 0,40 3,1 DOME,50 45,0 ENDBLK,0 ENDSEC"
	d, _ := Read(t.Context(), file("AC1015", block, "0 INSERT,2 TAG,10 0,20 0,41 2,42 1"), "x.dxf")
	got := d.Entities[0].Text
	require.InDelta(t, math.Atan2(1, 2), got.Angle, 1e-12)
	// Along (2,1)/sqrt 2, up (-2,1)/sqrt 2: their lengths are sqrt 2.5, the cross product is 2 and the dot product -1.5.
	require.InDelta(t, math.Atan(-1.5/2), got.Slant, 1e-12)
	require.InDelta(t, 3*2/math.Sqrt(2.5), got.Height, 1e-12)
}

// Styles give texts their font, and MTEXT width and slant; their height where a text tells none.
func TestStyles(t *testing.T) {
	const table = "0 SECTION,2 TABLES,0 TABLE,2 STYLE,0 STYLE,2 Titles,3 plate.ttf,40 7,41 1.25,50 10,70 0,1001 ACAD,1000 Plate Gothic,1071 33554432,0 ENDTAB,0 ENDSEC"
	d, _ := Read(t.Context(), file("AC1015", table, "0 TEXT,10 0,20 0,1 A,7 TITLES", "0 MTEXT,10 0,20 0,40 3,1 B,7 titles", "0 TEXT,10 0,20 0,40 3,1 C"), "x.dxf")
	font := writing.Font{Style: "Titles", File: "plate.ttf", Family: "Plate Gothic", Bold: true}
	require.Equal(t, font, d.Entities[0].Text.Font)
	require.InDelta(t, 7, d.Entities[0].Text.Height, 1e-12)
	run := d.Entities[1].Text.Block.Paragraphs[0].Runs[0]
	require.Equal(t, font, run.Font)
	require.InDelta(t, 1.25, run.Width, 1e-12)
	require.InDelta(t, 10*deg, run.Slant, 1e-12)
	require.Zero(t, d.Entities[2].Text.Font, "the standard style that no table tells")
}

// Inline codes of MTEXT, a drawing each (references.md section 19).
func TestMTextLooks(t *testing.T) {
	fifteen := 15.0
	for body, want := range map[string][]writing.Run{
		`{\H2x;A}b`:                     {{Text: "A"}, {Text: "b", Height: 0.5}},
		`a\H6;b`:                        {{Text: "a"}, {Text: "b", Height: 2}},
		`a\W1.5;b`:                      {{Text: "a"}, {Text: "b", Width: 1.5}},
		`a\Q15;b`:                       {{Text: "a"}, {Text: "b", Slant: fifteen * deg}},
		`a\T2;b`:                        {{Text: "a"}, {Text: "b", Tracking: 2}},
		`a\A1;b\A2;c`:                   {{Text: "a"}, {Text: "b", Rise: writing.Centred}, {Text: "c", Rise: writing.AtTop}},
		`\La\l\Ob\o\Kc\k`:               {{Text: "a", Under: true}, {Text: "b", Over: true}, {Text: "c", Through: true}},
		`a{\fPlate|b1|i1|c0|p34;b}`:     {{Text: "a"}, {Text: "b", Font: writing.Font{Family: "Plate", Bold: true, Italic: true}}},
		`a{\Flines.shx;b}`:              {{Text: "a"}, {Text: "b", Font: writing.Font{File: "lines.shx"}}},
		`a\S1/2;`:                       {{Text: "a"}, {Stack: &writing.Stack{Above: "1", Below: "2", Bar: writing.Level}}},
		`a\S1/2/3;`:                     {{Text: "a"}, {Stack: &writing.Stack{Above: "1", Below: "2/3", Bar: writing.Level}}},
		`a\S1#2;`:                       {{Text: "a"}, {Stack: &writing.Stack{Above: "1", Below: "2", Bar: writing.Diagonal}}},
		`a\S+1^ -2;`:                    {{Text: "a"}, {Stack: &writing.Stack{Above: "+1", Below: "-2"}}},
		`a^Ib\~c`:                       {{Text: "a\tb\u00a0c"}},
		`{\fPlate|b0|i0|c0|p34;A}\Pb`:   {{Text: "A", Font: writing.Font{Family: "Plate"}}, {Text: "b"}},
		`a\C1;b\c255;c{\C256;d}\P\P\Pe`: {{Text: "abcd"}, {}, {}, {Text: "e"}},
	} {
		runs := []writing.Run{}
		x := one(t, "0 MTEXT,10 0,20 0,40 3,41 900,1 "+body).Text
		for _, p := range x.Block.Paragraphs {
			runs = append(runs, p.Runs...)
		}
		require.Equal(t, want, runs, body)
	}
	m := newMarks(3, writing.Run{})
	m.read(`\pi-1,l2,r3,qj,t4,c8,r12;a`) // commas, which the files of these tests are written with
	require.Equal(t, writing.Paragraph{Runs: []writing.Run{{Text: "a"}}, First: -1, Left: 2, Right: 3, Align: writing.Justified,
		Tabs: []writing.Tab{{At: 4, Align: writing.AtLeft}, {At: 8, Align: writing.AtCentre}, {At: 12, Align: writing.AtRight}}}, m.block().Paragraphs[0])

	x := one(t, `0 MTEXT,10 0,20 0,40 3,41 60,44 1.5,73 2,1 a\Nb`).Text
	require.InDelta(t, 20, x.Block.Width, 1e-12, "in heights")
	require.InDelta(t, 1.5, x.Block.Spacing, 1e-12)
	require.True(t, x.Block.Exact)
	require.True(t, x.Block.Paragraphs[1].NewColumn)

	x = one(t, `0 MTEXT,10 0,20 0,40 3,75 1,76 2,48 30,49 6,1 a\Nb`).Text
	require.Equal(t, writing.Columns{Count: 2, Width: 10, Gutter: 2}, x.Block.Columns)
	x = one(t, `0 MTEXT,10 0,20 0,40 3,1 a b,101 Embedded Object,70 1,41 12,42 66,71 1,72 2,44 30,45 6,73 0,74 0`).Text
	require.Equal(t, writing.Columns{Count: 2, Width: 10, Gutter: 2, Heights: []float64{4, 4}}, x.Block.Columns)

	// One colour for all of a text is the entity's; several are nobody's.
	require.EqualValues(t, 1, one(t, `0 MTEXT,10 0,20 0,40 3,62 5,1 \C1;RED`).Colour)
	require.EqualValues(t, 5, one(t, `0 MTEXT,10 0,20 0,40 3,62 5,1 \C1;RED\C2;MORE`).Colour)
	require.EqualValues(t, TrueColour|0xff0000, one(t, `0 MTEXT,10 0,20 0,40 3,1 \c255;RED`).Colour)

	// Pieces of 250 in group 3, codes across their ends.
	x = one(t, `0 MTEXT,10 0,20 0,40 3,3 `+strings.Repeat("x", 249)+`\,1 Pb`).Text
	require.Equal(t, strings.Repeat("x", 249)+"\nb", x.Text)
}

// A constant attribute is shown as it stands in its block, others where the block is placed.
func TestAttributes(t *testing.T) {
	const block = "0 SECTION,2 BLOCKS,0 BLOCK,2 TAG,10 0,20 0,0 ATTDEF,10 0,20 0,40 3,1 FIXED,2 A,70 2,0 ATTDEF,10 0,20 9,40 3,1 LOOSE,2 B,70 0,0 ENDBLK,0 ENDSEC"
	d, _ := Read(t.Context(), file("AC1015", block, "0 INSERT,2 TAG,10 0,20 0,66 1,0 ATTRIB,10 0,20 9,40 3,1 PARK,2 B,51 12,0 SEQEND"), "x.dxf")
	var texts []string
	for _, e := range d.Entities {
		texts = append(texts, e.Text.Text)
	}
	require.Equal(t, []string{"FIXED", "PARK"}, texts)
	require.InDelta(t, 12*deg, d.Entities[1].Text.Slant, 1e-12)
}

// Whatever stands in a text, reading it ends and what comes of it can be told.
func FuzzMarks(f *testing.F) {
	for _, s := range []string{`{\H2x;A}\S1/2;`, `\pxi-3,l4,qc,t4,c8;a^I`, `\A1;\C1;\f|b1;\N\P\\`, `\S^;`, `\H`, `{{{}}}`, `\p`, `\pt;`, `\c9;`} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		m := newMarks(3, writing.Run{})
		m.read(s)
		b := m.block()
		require.NotEmpty(t, b.Paragraphs)
		plainly(b)
		switches(s)
	})
}
