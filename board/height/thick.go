package height

import (
	"strings"

	"lampblack/board"
	"lampblack/board/fasten"
	"lampblack/panel/control"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/material"
	"lampblack/panel/seat"
)

// thickness is how thick what lies in front of something likely is, and who could know better.
type thickness struct {
	material.Range
	sheets     geom.Nm  // of these sheets as they are called
	unmeasured []string // that nobody measured
}

// front returns what lies before a depth: all whose back does. A board is the one that lies there, if any.
func (in In) front(depth geom.Nm, b board.Board) thickness {
	var t thickness
	var all []material.Range
	at := geom.Nm(0)
	for _, one := range in.Stack.Parts(fasten.RiseOf(b, in.Stack), b.Laminate.Thickness) {
		if at += one.Nominal; at > depth {
			break
		}
		if all = append(all, one.Range); one.Unmeasured != "" {
			t.unmeasured, t.sheets = append(t.unmeasured, one.Unmeasured), t.sheets+one.Nominal
		}
	}
	_, t.Range = material.Total(all...)
	return t
}

// advise says which sheets to measure, and how thick they may be together where so much is to spare as they are called.
func (t thickness) advise(f *diag.Finding, spare geom.Nm, or string) {
	const step = geom.Millimetre / 10
	most, them, keys := (t.sheets+spare)/step*step, "they are together", []string(nil)
	for _, name := range t.unmeasured {
		keys = append(keys, strings.ReplaceAll(strings.ToLower(name), " ", "_")+": ...")
	}
	if len(t.unmeasured) == 1 {
		them = "it is"
	}
	f.Fix("measure the %s: it fits while %s no thicker than %v, sold as %v; write what you measure, stack: {measured: {%s}}; or %s",
		diag.Listed(t.unmeasured), them, most, t.sheets, strings.Join(keys, ", "), or)
}

// thick tells a part that fits behind its board with sheets as they are called, and does not where they likely come out thick.
func (in In) thick(l *diag.List, b board.Board, q board.Part, high, free geom.Nm, t Told, what string) {
	_, back := in.Span(b)
	deep := in.front(back, b)
	if spare := free - high; free == t.Depth-back && spare < deep.Thick() && len(deep.unmeasured) > 0 {
		f := l.Add(diag.Warning, "height-thick", "%s, and behind the board are %v, but only %v where the sheets come out thick", what, free, free-deep.Thick()).
			Together("%d parts or their joints are taller than what is free behind the board where the sheets come out thick").
			OfPart(q.Ref).Of(b.Name).About("stack.measured", "stack.depth", "stack").At(q.At.X.MM(), q.At.Y.MM())
		deep.advise(f, spare, "make room behind")
	}
}

// deeper tells controls that fit into the case with sheets as they are called, and do not where they likely come out thick. Screws are as
// long as they are, from the face's front.
func (in In) deeper(l *diag.List, t Told) {
	for _, c := range in.Panel.Controls {
		far := geom.Nm(0)
		for _, q := range seat.Pieces(in.Panel, c) {
			far = max(far, q.To)
		}
		base := c.To // its body is measured from the back of what it clamps, or from its front
		if c.Kind.Held == control.NutBehind || c.Kind.Held == control.Clips {
			base = c.From
		}
		deep := in.front(base, board.Board{})
		if spare := t.Depth - far; t.Depth > 0 && spare >= 0 && spare < deep.Thick() && len(deep.unmeasured) > 0 {
			f := l.Add(diag.Warning, "height-thick", "the control %s reaches %v behind the face's front, but %v where the sheets come out thick, and the case is %v deep", c.Kind.Name, far, far+deep.Thick(), t.Depth).
				Together("%d controls reach farther behind the face's front than the case is deep where the sheets come out thick").
				About("stack.measured", "stack.depth", "stack").At(c.At.X.MM(), c.At.Y.MM())
			deep.advise(f, spare, "take a lower one or a deeper case")
		}
	}
}

// between names what keeps a board off the LED sheet.
func (in In) between() string {
	switch {
	case in.Stack.Drilled && in.Stack.Plate > 0:
		return "the plate and the spacer sheet together"
	case in.Stack.Drilled:
		return "the spacer sheet"
	case in.Stack.Plate > 0:
		return "the plate and the spacers together"
	}
	return "the spacers"
}
