package height

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"lampblack/board"
	"lampblack/board/fasten"
	"lampblack/board/footprint"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Told is the free depth that the project tells; 0 is not told.
type Told struct {
	Behind geom.Nm // a board's back
	Depth  geom.Nm // the face's front
}

// differ is by how much parts of one sort differ in height: a typical height that is more than that over what is free does not fit,
// whatever is bought. What the project tells is exact.
const differ = geom.Millimetre

// most is how many findings of one code are told one by one.
const most = 300

// Free returns the depth that is free behind a board, and the keys that tell it; not ok where none does.
func (in In) Free(b board.Board, t Told) (free geom.Nm, keys []string, ok bool) {
	_, back := in.Span(b)
	behind := []string{diag.PanelKey(in.Panel.Name, "space_behind"), "defaults.space_behind"}
	deep := []string{"stack.depth", "stack"}
	switch {
	case t.Depth > 0 && (t.Behind == 0 || t.Depth-back < t.Behind):
		return t.Depth - back, append(deep, behind...), true
	case t.Behind > 0:
		return t.Behind, behind, true
	}
	return 0, nil, false
}

// Behind tells parts that are taller than what is free behind their board: an error where they cannot fit, a warning where that hangs
// on the very part that is bought, or on how its wires are led.
func (in In) Behind(t Told) diag.List {
	var l diag.List
	for _, b := range in.Boards {
		free, keys, ok := in.Free(b, t)
		if !ok {
			continue
		}
		for _, q := range b.Parts {
			in.behind(&l, b, q, free, keys, t)
		}
	}
	return l.Sorted().Capped(most)
}

// behind tells a part that is too tall for what is free behind its board.
func (in In) behind(l *diag.List, b board.Board, q board.Part, free geom.Nm, keys []string, t Told) {
	k := in.Kinds.of(q.Footprint)
	high, what := k.Height, fmt.Sprintf("%s (%s) is %v tall", q.Ref, q.Footprint, k.Height)
	if k.Side.Plug > 0 {
		what += " with its plug"
	}
	if q.On == geom.Top {
		if len(q.Pads) == 0 || !q.Pads[0].Through {
			return
		}
		high, what = cutLead, fmt.Sprintf("the joints of %s stand about %v out of the bottom", q.Ref, cutLead)
	}
	least := high - differ
	if q.On == geom.Bottom && in.Kinds.told(q.Footprint).Height > 0 {
		least = high
	}
	var f *diag.Finding
	switch {
	case least > free || high > free && least == high:
		f = l.Add(diag.Error, "height-too-tall", "%s, and behind the board are only %v", what, free)
	case high > free:
		f = l.Add(diag.Warning, "height-tall", "%s, and behind the board are %v: parts of one sort differ by as much", what, free)
	case q.On == geom.Bottom && high+k.wires > free:
		f = l.Add(diag.Warning, "height-wires", "%s, its wires turn aside within %v more, and behind the board are only %v", what, k.wires, free)
	default:
		in.thick(l, b, q, high, free, t, what)
		return
	}
	f.OfPart(q.Ref).Of(b.Name).About(keys...).At(q.At.X.MM(), q.At.Y.MM())
	if f.Code == "height-wires" {
		f.Together("the wires of %d connectors have too little room to turn aside behind the board")
	} else {
		f.Together("%d parts or their joints are taller than what is free behind the board")
	}
	switch {
	case q.On == geom.Top:
		f.Fix("make room behind, or use surface-mount LEDs")
	case q.Kind == board.Connector:
		f.Fix("%s", in.Kinds.lower(free))
	case high > free:
		f.Fix("use resistors 1206 or 0805, which lie flat, or make room behind")
	}
}

// lower proposes connectors that fit behind a board.
func (k Kinds) lower(free geom.Nm) string {
	fit := k.Fitting(free)
	if len(fit) == 0 {
		return "make room behind: no connector is so low"
	}
	var words []string
	for _, name := range fit {
		words = append(words, fmt.Sprintf("%s (%v)", name, k.reach(name)))
	}
	return "a connector that fits is " + strings.Join(words, " or ") + ": write connector: " + fit[0] + ", or make room behind"
}

// reach is how far a body with its plug and wires reaches behind the board.
func (k Kinds) reach(name string) geom.Nm {
	one := k.of(name)
	return one.Height + one.wires
}

// Fitting returns the connectors that reach no farther behind a board than that, the highest first, since a lower one is less to hold
// on to. Their poles do not count: a row is as high as a pair.
func (k Kinds) Fitting(free geom.Nm) []string {
	var out []string
	for _, name := range footprint.Names() {
		fp, _ := footprint.Lookup(name)
		if len(fp.Pads) == 0 || fp.Pads[0].Function != "+" {
			continue
		}
		if k.reach(name) <= free {
			out = append(out, name)
		}
	}
	slices.SortStableFunc(out, func(a, b string) int { return cmp.Compare(k.reach(b), k.reach(a)) })
	return out
}

// Judge tells what else does not fit between the sheets and what is behind: controls and screws deeper than the case, LEDs without
// leads that meet the LED sheet.
func (in In) Judge(t Told) diag.List {
	var l diag.List
	in.deep(&l, t)
	in.screws(&l, t)
	in.deeper(&l, t)
	for _, b := range in.Boards {
		in.lamps(&l, b)
	}
	return l.Sorted().Capped(most)
}

// deep tells what reaches farther back than the case is deep.
func (in In) deep(l *diag.List, t Told) {
	told := map[string]bool{}
	pieces := in.Pieces()
	for _, q := range pieces {
		if t.Depth == 0 || q.To <= t.Depth || q.Board != "" && q.Whose != Screw {
			continue
		}
		at := q.Shape.Box().Centre()
		key := fmt.Sprint(q.Of, at)
		if told[key] {
			continue
		}
		told[key] = true
		far := q.To
		for _, o := range pieces { // of the same thing, what reaches farthest
			if o.Whose == q.Whose && o.Of == q.Of && o.Shape.Box().Centre() == at {
				far = max(far, o.To)
			}
		}
		f := l.Add(diag.Warning, "height-deep", "the %s %s reaches %v behind the face's front, and the case is %v deep", q.Whose, q.Of, far, t.Depth).
			Together("%d controls or screws reach farther behind the face's front than the case is deep").
			About("stack.depth", "stack").At(at.X.MM(), at.Y.MM())
		if q.Whose == Screw {
			f.Fix("cut it off behind the nut, or take a deeper case")
		} else {
			f.Fix("take a lower one, hold it farther in front (clamps), or take a deeper case; typical sizes are told: control_kinds tells those of a data sheet")
		}
	}
}

// lamps tells LEDs without leads that do not go into their holes and are higher than the LED sheet is away.
func (in In) lamps(l *diag.List, b board.Board) {
	room := in.Room(b) + in.Stack.Plate
	_, likely := in.Stack.Room(fasten.RiseOf(b, in.Stack))
	for _, q := range b.Parts {
		if q.Kind != board.LED || q.On != geom.Top || len(q.Pads) == 0 || q.Pads[0].Through || q.Height <= min(room, likely.Least) || in.passes(q) {
			continue
		}
		if q.Height <= room {
			l.Add(diag.Warning, "height-thin", "%s is %v high, the LED sheet is %v away, but only %v where what lies between comes out thin, and its body does not go into its hole there", q.Ref, q.Height, room, likely.Least).
				Together("%d LEDs are higher than the way to the LED sheet where what lies between comes out thin, and do not go into their holes").
				OfPart(q.Ref).Of(b.Name).About(in.keys()...).At(q.At.X.MM(), q.At.Y.MM()).
				Fix("measure %s: %v or more is wanted; or make the holes %v wide, so that they take the whole body in", in.between(), q.Height, widest(q))
			continue
		}
		l.Add(diag.Warning, "height-led-under-sheet", "%s is %v high, the LED sheet is only %v away, and its body does not go into its hole there", q.Ref, q.Height, room).
			Together("%d LEDs are higher than the way to the LED sheet, and do not go into their holes").
			OfPart(q.Ref).Of(b.Name).About(in.keys()...).At(q.At.X.MM(), q.At.Y.MM()).
			Fix("bring the board %v behind the LED sheet (sheet_distance), or make the holes %v wide, so that they take the whole body in", q.Height, widest(q))
	}
}

// passes reports whether an LED's body goes into the hole of the LED sheet that it looks through.
func (in In) passes(q board.Part) bool {
	for _, h := range in.Panel.LEDs {
		if h.At == q.At {
			return h.D >= widest(q)
		}
	}
	return false
}

// widest is the diameter of the circle round a part's middle that takes in its body, rounded up to a tenth of a millimetre.
func widest(q board.Part) geom.Nm {
	const step = geom.Millimetre / 10
	d := geom.Nm(0)
	for _, p := range q.Body {
		d = max(d, geom.Nm(2*p.Dist(q.At))+1)
	}
	return (d + step - 1) / step * step
}
