package sheet

import (
	"fmt"
	"math"
	"strconv"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// closing is a letter that does not stay open: what is left of the paint within it, or at its mouth, is narrower than the laser's spot.
type closing struct {
	rune  rune // of a symbol 0
	at    geom.Pt
	wide  geom.Nm // at its widest; 0: nothing of it is left
	mouth bool    // it is what leads into the letter, as of a c
	lines bool    // the letter is lines
	least geom.Nm // height of a capital from which on it would stay open; 0: unknown
}

// highestMouth bounds the letters that are looked at for narrow mouths: with a spot of 0.2 mm the mouth of a higher one is no narrower in any face that has
// one at all.
const highestMouth = 12 * geom.Millimetre

// letterLook is what letters look alike by: letters of one kind, font, size and turn.
type letterLook struct {
	r     rune
	w, h  geom.Nm // µm
	lines bool
}

// closings keeps what is found of letters, since texts repeat them.
type closings struct {
	watch *work.Watch
	known map[letterLook]*closing
	least map[rune]float64 // of letters of lines: the narrowest of their insides, stroke included, as a part of the height; 0: none
}

// checkClosing tells words with a letter whose inside or mouth closes, once each, of its letters the narrowest; and symbols.
func checkClosing(w *work.Watch, l *diag.List, p panel.Panel, e *lettering.Engraving) {
	c := closings{w, map[letterLook]*closing{}, map[rune]float64{}}
	for i, t := range p.Lettering {
		letters := e.Letters[i]
		for from := 0; from < len(letters); {
			to, word := from, ""
			var worst *closing
			for ; to < len(letters) && letters[to].Word == letters[from].Word; to++ {
				w.Step()
				k := &letters[to]
				if k.Rune == 0 {
					continue
				}
				word += string(k.Rune)
				if x := c.of(k, t.Height, e.Stems[i] == 0, e.Stroke); x != nil && (worst == nil || x.wide < worst.wide) {
					worst = x
				}
			}
			if worst != nil {
				worst.tell(l, word, "")
			}
			from = to
		}
	}
	for i, s := range p.Symbols {
		if s.Filled {
			w.Step()
			if x := narrowest(e.Symbols[i]); x != nil {
				x.tell(l, "", p.Symbols[i].Said())
			}
		}
	}
}

// of returns how a letter closes, nil where it does not.
func (c *closings) of(k *lettering.Character, high geom.Nm, lines bool, stroke geom.Nm) *closing {
	box := k.Region.Box()
	look := letterLook{k.Rune, box.W() / 1000, box.H() / 1000, lines}
	x, ok := c.known[look]
	if !ok {
		c.watch.Look()
		if x = narrowest(k.Region); x != nil {
			x.least = geom.Nm(float64(high) * float64(thinnest) / float64(max(x.wide, 1)))
		}
		if lines {
			part := c.inside(k.Rune)
			if x == nil && part > 0 && holes(k.Region) == 0 {
				x = &closing{at: box.Centre()}
			}
			if x != nil {
				x.lines, x.least = true, 0
				if part > 0 {
					x.least = geom.Nm(float64(thinnest+stroke) / part)
				}
			}
		}
		c.known[look] = x
	}
	if x == nil {
		return nil
	}
	out := *x
	out.rune = k.Rune
	if ok { // the same letter elsewhere
		out.at = box.Centre()
	}
	return &out
}

// inside returns how wide the narrowest inside of a letter of lines is between the middles of these, as a part of the height of a
// capital; 0 for one without.
func (c *closings) inside(r rune) float64 {
	part, ok := c.least[r]
	if !ok {
		const high = 100 * geom.Millimetre
		f := lettering.Faces{Usual: lettering.Named(lettering.SingleLine)}
		for _, hole := range f.Outline(panel.Text{Text: string(r), Height: high, Width: 1}) {
			for _, h := range hole.Holes {
				if v := (float64(inner(h)) + float64(lettering.Stroke)) / float64(high); part == 0 || v < part {
					part = v
				}
			}
		}
		c.least[r] = part
	}
	return part
}

func holes(g geom.Region) (n int) {
	for _, p := range g {
		n += len(p.Holes)
	}
	return n
}

// narrowest returns what closes first of an area when it is engraved: paint within it, or where its mouth leads into it, that is
// narrower than the spot; nil where all stays open.
func narrowest(g geom.Region) *closing {
	var worst *closing
	for _, p := range g {
		for _, h := range p.Holes {
			// The circle that fits in has at least the radius of area over perimeter (Bonnesen's inequality).
			if h.Area() >= h.Perimeter()*thinnest.MM()/2 {
				continue
			}
			if wide := inner(h); wide < thinnest && (worst == nil || wide < worst.wide) {
				worst = &closing{at: h.Box().Centre(), wide: wide}
			}
		}
	}
	if box := g.Box(); worst != nil || box.Empty() || max(box.W(), box.H()) > highestMouth {
		return worst
	}
	if at, ok := shut(g, thinnest/2); ok {
		open, closed := geom.Nm(0), thinnest/2
		for closed-open > geom.Micrometre {
			mid := (open + closed) / 2
			if q, is := shut(g, mid); is {
				at, closed = q, mid
			} else {
				open = mid
			}
		}
		return &closing{at: at, wide: 2 * closed, mouth: true}
	}
	return nil
}

// inner returns the diameter of the largest circle in the ring, within a micrometre.
func inner(h geom.Ring) geom.Nm {
	g := geom.NewRegion(h)
	b := g.Box()
	some, none := geom.Nm(0), min(b.W(), b.H())/2+1
	for none-some > geom.Micrometre/2 {
		if mid := (some + none) / 2; len(g.Shrunk(mid)) > 0 {
			some = mid
		} else {
			none = mid
		}
	}
	return 2 * some
}

// shut reports whether an area that grows by so much shuts something in that was open, larger than a crumb, and where.
func shut(g geom.Region, by geom.Nm) (at geom.Pt, ok bool) {
	for _, p := range g.Grown(by) {
		for _, h := range p.Holes {
			fresh := h.Area() > thinnest.MM()*thinnest.MM()/4
			for _, q := range g {
				for _, old := range q.Holes {
					fresh = fresh && old.Locate(h[0]) == geom.Outside
				}
			}
			if fresh {
				return h.Box().Centre(), true
			}
		}
	}
	return at, false
}

// tell tells a closing in a word, or of a symbol, which is named as it is said.
func (c *closing) tell(l *diag.List, word, symbol string) {
	what, subject := "inside", symbol
	if c.mouth {
		what = "mouth"
	}
	if word != "" {
		subject = "the letter " + strconv.Quote(string(c.rune))
		if word != string(c.rune) {
			subject += " of " + strconv.Quote(word)
		}
	}
	left := fmt.Sprintf("is %.2f mm wide, narrower than the laser's spot of %.1f mm", c.wide.MM(), thinnest.MM())
	if c.wide == 0 {
		left = "is filled by the width of its lines"
	}
	f := l.Add(diag.Warning, "sheet-letter-closes", "%s closes when it is engraved: its %s %s", subject, what, left).
		Together("%d words or symbols have letters that close when they are engraved").At(c.at.X.MM(), c.at.Y.MM())
	advice := "make it larger"
	if c.least > 0 {
		advice = fmt.Sprintf("make it at least %.1f mm high", math.Ceil(c.least.MM()*10)/10)
	}
	switch {
	case word == "":
	case c.lines:
		advice += ", or engrave thinner lines (engraving.width)"
	default:
		advice += ", or take a face whose letters are more open (font)"
	}
	f.Fix("%s", advice)
}
