package legend

import (
	"math"
	"strings"
	"unicode"

	"lampblack/panel/geom"
)

// The font is our own: single strokes on a grid of 4 by 6 units, capitals only (and the k of 1k3), corners cut at 45°, so
// that it stays legible at 1 mm with a line of 0.15 mm. A glyph is written as points "xy" in units, polylines parted by blanks.
const (
	capUnits = 6
	spacing  = 2 // units between glyphs
)

// glyph returns the strokes of r and whether there is one.
func glyph(r rune) (string, bool) {
	const glyphs = `
A 000516364540 0343
B 00063645443303 3342413000
C 4536160501103041
D 00062644422000
E 46060040 0333
F 460600 0333
G 45361605011030414323
H 0006 4046 0343
I 1016 0020 0626
J 0110304146
K 0006 4602 1340
k 0006 3401 1230
L 060040
M 0006234640
N 00064046
O 010516364541301001
P 00063645443303
Q 010516364541301001 2240
R 00063645443303 2340
S 453616050413334241301001
T 0646 2620
U 060110304146
V 062046
W 0610243046
X 0046 0640
Y 062346 2320
Z 06460040
0 010516364541301001 1234
1 042620 0040
2 05163645440040
3 0516364544334241301001 1333
4 30360242
5 460603334241301001
6 4536160501103041423303
7 064610
8 13040516364544331302011030414233
9 0110304145361605041343
+ 0343 2125
- 0343
. 0001
, 1100
: 0102 0405
/ 0046
( 16050110
) 06151100
_ 0040
= 0242 0444
# 1016 3036 0242 0444
% 0046 0506 4041
! 0206 0001
? 051636454432 3130
' 0406
* 0343 1135 1531
& 40143516 1405 0110
`
	for line := range strings.Lines(glyphs) {
		if rest, ok := strings.CutPrefix(line, string(r)+" "); ok {
			return strings.TrimSpace(rest), true
		}
	}
	return "", false
}

// plain returns what the font can write of s: capitals, letters without their accents, "?" for the rest. The k of a value
// stays small, so that board and lists say the same: 1k3.
func plain(s string) string {
	const from = "ÀÁÂÃÄÅÇÈÉÊËÌÍÎÏÑÒÓÔÕÖØÙÚÛÜÝŠŽ–—µΩ"
	const to = "AAAAAACEEEEIIIINOOOOOOUUUUYSZ--UR"
	targets := []rune(to)
	var out strings.Builder
	last := ' '
	for _, small := range strings.TrimSpace(s) {
		r := unicode.ToUpper(small)
		if small == 'k' && last >= '0' && last <= '9' {
			r = 'k'
		}
		last = small
		n := 0
		for _, f := range from {
			if f == r {
				r = targets[n]
				break
			}
			n++
		}
		if _, ok := glyph(r); !ok && r != ' ' {
			r = '?'
		}
		out.WriteRune(r)
	}
	return out.String()
}

// text is a line of lettering in font units, its lower left corner at the origin.
type text struct {
	lines [][][2]float64
	width float64
}

// setText lays out a line.
func setText(s string) text {
	var t text
	x := 0.0
	for i, r := range []rune(plain(s)) {
		if i > 0 {
			x += spacing
		}
		if r == ' ' {
			x += 2
			continue
		}
		strokes, _ := glyph(r)
		wide := 0.0
		for _, s := range strings.Fields(strokes) {
			var line [][2]float64
			for k := 0; k+1 < len(s); k += 2 {
				gx, gy := float64(s[k]-'0'), float64(s[k+1]-'0')
				wide = math.Max(wide, gx)
				line = append(line, [2]float64{x + gx, gy})
			}
			t.lines = append(t.lines, line)
		}
		x += wide
	}
	t.width = x
	return t
}

// size returns width and height of the lettering with capitals of height h, line width not included.
func (t text) size(h geom.Nm) (w, height geom.Nm) {
	return geom.Nm(math.Round(t.width * float64(h) / capUnits)), h
}

// at returns the strokes with capitals of height h, the text's middle at c, turned by quarter turns; mirrored it is
// read through the board.
func (t text) at(c geom.Pt, h geom.Nm, turn int, mirror bool) []geom.Polyline {
	unit := float64(h) / capUnits
	var out []geom.Polyline
	for _, line := range t.lines {
		var p geom.Polyline
		for _, q := range line {
			x, y := (q[0]-t.width/2)*unit, (q[1]-capUnits/2)*unit
			if mirror {
				x = -x
			}
			p = append(p, c.Add(geom.Vec{X: geom.Nm(math.Round(x)), Y: geom.Nm(math.Round(y))}.Quarter(turn)))
		}
		out = append(out, p)
	}
	return out
}
