package lettering

import (
	"strconv"
	"strings"
	"sync"

	"golang.org/x/text/unicode/norm"
)

// The stroke letters are our own: single lines on a grid in which a capital is 6 units high, corners cut at 45°, so that they stay
// legible at 1 mm with a line of 0.15 mm. They are printed on boards and engraved as lines.
const (
	// StrokeUnits is the height of a capital in units of the grid.
	StrokeUnits = 6
	// strokeGap is the distance between two letters.
	strokeGap = 2
	// strokeBlank is the width of a blank, and markGap how far accents stand off their letters.
	strokeBlank = 4
	markGap     = 0.8
)

// Strokes returns the lines of a stroke letter, in units of the grid, its left edge at 0 and Y up from the baseline, and whether there
// is such a letter. Letters with accents are put together.
func Strokes(r rune) (lines [][][2]float64, ok bool) {
	if found := strokeTable()[r]; found != nil {
		return found, true
	}
	parts := []rune(norm.NFD.String(string(r)))
	if len(parts) < 2 {
		return nil, false
	}
	base := parts[0]
	if base == 'i' || base == 'j' {
		base += 'ı' - 'i' // without its dot
		if parts[0] == 'j' {
			base = 'ȷ'
		}
	}
	body := strokeTable()[base]
	if body == nil {
		return nil, false
	}
	lines = append(lines, body...)
	left, right, top := reach(body)
	for _, mark := range parts[1:] {
		m, below := strokeMarks()[mark], mark == '\u0327' || mark == '\u0328'
		if m == nil {
			return nil, false
		}
		_, _, high := reach(m)
		for _, line := range m {
			moved := make([][2]float64, len(line))
			for i, p := range line {
				moved[i] = [2]float64{p[0] + (left+right)/2, p[1]}
				if !below {
					moved[i][1] += max(top, 4) + markGap
				}
			}
			lines = append(lines, moved)
		}
		if !below {
			top += markGap + high
		}
	}
	return lines, true
}

// reach returns the left, right and upper edge of lines.
func reach(lines [][][2]float64) (left, right, top float64) {
	left, right = 9, -9
	for _, line := range lines {
		for _, p := range line {
			left, right, top = min(left, p[0]), max(right, p[0]), max(top, p[1])
		}
	}
	return left, right, top
}

// lineFace is a face of the stroke letters.
func lineFace(name string) *Face {
	return &Face{name: name, narrow: 1, capital: StrokeUnits, descent: 2, glyphs: map[rune]glyph{}}
}

// lineGlyph is a stroke letter with its room on both sides.
func lineGlyph(r rune) glyph {
	if r == ' ' {
		return glyph{advance: strokeBlank}
	}
	lines, ok := Strokes(r)
	if !ok {
		return glyph{advance: 4 + strokeGap, lacking: true}
	}
	left, right, _ := reach(lines)
	left = min(left, 0)
	g := glyph{advance: right - left + strokeGap}
	for _, line := range lines {
		var moved []point
		for _, p := range line {
			moved = append(moved, point{p[0] - left + strokeGap/2, p[1]})
		}
		g.lines = append(g.lines, moved)
	}
	return g
}

var strokeTable = sync.OnceValue(func() map[rune][][][2]float64 { return strokesOf(strokeLetters) })

var strokeMarks = sync.OnceValue(func() map[rune][][][2]float64 {
	all := strokesOf(strokeAccents)
	out := map[rune][][][2]float64{}
	for i, r := range []rune("`´^~¯˘˙¨˚˝ˇ¸˛") {
		out[[]rune("\u0300\u0301\u0302\u0303\u0304\u0306\u0307\u0308\u030a\u030b\u030c\u0327\u0328")[i]] = all[r]
	}
	return out
})

// strokesOf reads a table: a letter, and its lines parted by blanks. A line's points are pairs of digits, or where they lie between
// lines of the grid or below the baseline, pairs of numbers parted by semicolons.
func strokesOf(table string) map[rune][][][2]float64 {
	out := map[rune][][][2]float64{}
	for line := range strings.Lines(table) {
		words := strings.Fields(line)
		if len(words) == 0 {
			continue
		}
		lines := [][][2]float64{}
		for _, w := range words[1:] {
			var one [][2]float64
			if strings.Contains(w, ";") {
				for _, p := range strings.Split(w, "|") {
					x, y, _ := strings.Cut(p, ";")
					one = append(one, [2]float64{number(x), number(y)})
				}
			} else {
				for k := 0; k+1 < len(w); k += 2 {
					one = append(one, [2]float64{float64(w[k] - '0'), float64(w[k+1] - '0')})
				}
			}
			lines = append(lines, one)
		}
		out[[]rune(words[0])[0]] = lines
	}
	return out
}

func number(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic("lettering: a stroke letter's number: " + s)
	}
	return v
}

const strokeLetters = `
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
a 3430 3324140301102031
b 0006 0314243331201001
c 3324140301102031
d 3630 3324140301102031
e 02323324140301102031
f 101526 0424
g 3;4|3;-1|2;-2|1;-2|0;-1 3324140301102031
h 0006 0314243330
i 0004 0;5.2|0;5.8
ı 0004
j 1;4|1;-1|0;-2 1;5.2|1;5.8
ȷ 1;4|1;-1|0;-2
k 0006 3401 1230
l 060110
m 0004 03142320 23344340
n 0004 0314243330
o 140301102031332414
p 0;4|0;-2 0314243331201001
q 3;4|3;-2 3324140301102031
r 0004 031424
s 33241403122231201001
t 161120 0424
u 0401102031 3430
v 0;4|1.5;0|3;4
w 0410233044
x 0034 0430
y 0;4|1.5;0 3;4|0.75;-2
z 04340030
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
; 1100 1314
/ 0046
\ 0640
( 16050110
) 06151100
[ 16060010
] 06161000
{ 2;6|1;5|1;4|0;3|1;2|1;1|2;0
} 0;6|1;5|1;4|2;3|1;2|1;1|0;0
_ 0040
= 0242 0444
# 1016 3036 0242 0444
% 0046 0506 4041
! 0206 0001
? 051636454432 3130
' 0406
" 0406 2426
* 0343 1135 1531
& 40143516 1405 0110
< 350331
> 053301
| 0006
^ 042644
~ 0;2.5|1;3.5|3;2.5|4;3.5
$ 453616050413334241301001 2;-1|2;7
@ 4;0.6|3.4;0|1;0|0;1|0;5|1;6|3;6|4;5|4;2|3;2|3;4|2;4|1.3;3.4|1.3;2.6|2;2|3;2
§ 3;5.4|2.4;6|0.6;6|0;5.4|0;4.8|3;3|3;2.4|2.4;1.8 0.6;4.2|0;3.6|0;3|3;1.2|3;0.6|2.4;0|0.6;0|0;0.6
– 0343
— 0;3|6;3
− 0343
· 0;2.7|0;3.3
• 1;2.4|1.6;3|1;3.6|0.4;3|1;2.4
° 0;5|0;5.4|0.6;6|1;6|1.6;5.4|1.6;5|1;4.4|0.6;4.4|0;5
± 2;2|2;6 0444 0040
× 0;1|4;5 0;5|4;1
÷ 0343 2;1|2;1.4 2;4.6|2;5
² 0;5.4|0.6;6|1.4;6|2;5.4|2;5|0;3|2;3
³ 0;6|2;6|1;5|2;4.4|2;3.6|1.4;3|0.6;3|0;3.6
µ 0;4|0;-2 0110203134 3130
μ 0;4|0;-2 0110203134 3130
Ω 0;0|1.4;0|1.4;0.6|0;2.4|0;5|1;6|3;6|4;5|4;2.4|2.6;0.6|2.6;0|4;0
Ω 0;0|1.4;0|1.4;0.6|0;2.4|0;5|1;6|3;6|4;5|4;2.4|2.6;0.6|2.6;0|4;0
Ø 010516364541301001 0046
∅ 010516364541301001 0046
ø 140301102031332414 0;-0.5|3;4.5
Æ 0;0|0;3|2;6|5;6 2;6|2;0|5;0 0;2|2;2 2;3|4.4;3
æ 03142423 2;2|1;2|0;1|0;0.6|0.6;0|1.4;0|2;0.6|2;3 2;2|4;2|4;3|3;4|2;3 2;0.6|2.6;0|3.4;0|4;0.6
ß 0;0|0;5|1;6|2;6|3;5|3;4.4|1.8;3.4|3;2.2|3;1|2;0|1;0
Đ 00062644422000 0;3|2;3
đ 3630 3324140301102031 2;5|4;5
Ł 060040 0;2.5|2.5;4
ł 060110 0;2.5|1.5;3.8
Ð 00062644422000 0;3|2;3
Þ 0006 0;5|3;5|4;4|4;3|3;2|0;2
þ 0;6|0;-2 0314243331201001
Œ 2616050110 2;0|1;0 2;6|2;0 2;6|5;6 2;0|5;0 2;3|4.4;3
€ 4536160501103041 0;3.6|2.6;3.6 0;2.4|2.6;2.4
£ 4;5|3;6|2;6|1;5|1;1|0;0|4;0 0;3|3;3
« 1;4|0;3|1;2 2.4;4|1.4;3|2.4;2
» 0;4|1;3|0;2 1.4;4|2.4;3|1.4;2
¿ 4;1|3;0|1;0|0;1|0;2|2;4 2;5.4|2;6
¡ 0004 0506
→ 0343 3;4|4;3|3;2
← 0343 1;4|0;3|1;2
↑ 2;0|2;6 1;5|2;6|3;5
↓ 2;0|2;6 1;1|2;0|3;1
≤ 350331 0;0|3;0
≥ 053301 0;0|3;0
≈ 0;2|1;3|3;2|4;3 0;4|1;5|3;4|4;5
≠ 0242 0444 1135
∞ 0;3|0.8;4|1.6;4|3.2;2|4;2|4.8;3|4;4|3.2;4|1.6;2|0.8;2|0;3
√ 0;3|1;3|2;0|3;6|5;6
Δ 00264000
△ 00264000
`

// strokeAccents stand over the middle of a letter, from its top, or below the baseline.
const strokeAccents = "\n" + "` -0.8;1.2|0.4;0" + `
´ -0.4;0|0.8;1.2
^ -1;0|0;1|1;0
~ -1.2;0|-0.5;0.8|0.5;0|1.2;0.8
¯ -1;0.4|1;0.4
˘ -1;1|-0.5;0.2|0.5;0.2|1;1
˙ 0;0.2|0;0.7
¨ -0.9;0.2|-0.9;0.7 0.9;0.2|0.9;0.7
˚ -0.6;0.2|-0.6;0.8|-0.2;1.2|0.2;1.2|0.6;0.8|0.6;0.2|0.2;-0.2|-0.2;-0.2|-0.6;0.2
˝ -0.8;0|0;1.2 0.4;0|1.2;1.2
ˇ -1;1|0;0|1;1
¸ 0;0|0;-0.6|0.6;-1|0;-1.6|-0.6;-1.6
˛ 0.4;0|-0.2;-0.8|0.2;-1.5|0.8;-1.5
`
