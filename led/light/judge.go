package light

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// Limits say when light is worth a finding. A limit of 0 is not looked at.
type Limits struct {
	Dark   float64 // a word's mean as a share of the panel's, at least
	Uneven float64 // brightest to darkest place within a character, at most
	Hot    float64 // the brightest place to the panel's mean, at most
	Arc    float64 // height of a capital, minutes of arc as the panel is read, at least
	Stroke geom.Nm // of a line of engraving, at least
	Ground float64 // of the lettering's mean to the brightest place of the paint, at least
}

// UsualLimits returns a word no darker than a third of the mean, a character that changes by no more than two to one, no
// place above three times the mean (common practice for lit legends, from memory; the figures of MIL-DTL-7788 could not be
// verified); capitals of 16 minutes of arc (ISO 9241-3 and NUREG-0700 rev. 2, 1.3.1-4: references.md section 11) and strokes
// of 0.2 mm (common practice for engraving through paint); and lettering ten times as bright as its ground (NUREG-0700 rev. 3 has 6 at
// least and 10 better, of screens).
func UsualLimits() Limits {
	return Limits{Dark: 1.0 / 3, Uneven: 2, Hot: 3, Arc: 16, Stroke: geom.MM(0.2), Ground: 10}
}

// unseen is the luminance, cd/m², that the eye at its most sensitive takes for darkness (CIE: scotopic vision begins at about 1e-6).
const unseen = 1e-6

// mostSame bounds the findings of one code, for a drawing full of lettering.
const mostSame = 1000

// Judge tells what of the light and the lettering a reader would stumble over. Places are in the panel's frame, mm.
func Judge(watch *work.Watch, p panel.Panel, e *lettering.Engraving, f Field, s Stack, lim Limits) diag.List {
	var l diag.List
	add := func(sev diag.Severity, code string, at geom.Pt, advice any, format string, args ...any) *diag.Finding {
		return l.Add(sev, code, format, args...).At(at.X.MM(), at.Y.MM()).Fix("%s", advice)
	}
	relit := func(first string) any {
		return diag.Deed{Typed: first + "place them anew: lampblack relight " + p.Name + " --even 0.7", Clicked: first + "place them anew under Light"}
	}
	if lim.Dark > 0 && len(p.LEDs) > 0 {
		for _, w := range append(f.Words[:len(f.Words):len(f.Words)], symbols(f)...) {
			watch.Step()
			mean := f.mean(w)
			if w.Mean >= lim.Dark*mean && w.Mean > unseen {
				continue
			}
			advice := relit("put an LED nearer to it, or ")
			if slices.ContainsFunc(p.InDiffuser(), func(c geom.Contour) bool { return c.Ring(wallTolerance).Locate(w.At) != geom.Outside }) {
				advice = "move it off the body that begins behind the face there, as the diffuser is cut for that"
			}
			one, many := w.said(), "words"
			switch {
			case w.window:
				many = "windows"
			case w.drawn:
				many = "drawn lines or shapes"
			}
			if w.Mean <= unseen {
				add(diag.Warning, "light-dark-word", w.At, advice, "no light reaches %s", one).
					Together("no light reaches %d " + many)
				continue
			}
			add(diag.Warning, "light-dark-word", w.At, advice,
				"%s is too dark: it gets %s of the light that the lettering gets on average", one, share(w.Mean/mean)).
				Together("%d " + many + " are too dark: each gets less than " + share(lim.Dark) + " of the light that the lettering gets on average")
		}
	}
	if f.Mean > 0 {
		if lim.Uneven > 0 {
			next := 0
			for _, w := range f.Words {
				watch.Step()
				chars := f.Chars[next : next+len([]rune(w.Text))]
				next += len(chars)
				n, worst := 0, Lit{}
				for _, c := range chars {
					watch.Step()
					// A dark word is told as such.
					if c.Max > lim.Uneven*c.Min && c.Max > lim.Dark*f.mean(w) {
						if n++; n == 1 || float64(c.Max*worst.Min) > float64(worst.Max*c.Min) {
							worst = c
						}
					}
				}
				if n == 0 {
					continue
				}
				within := ""
				if len(chars) > 1 {
					within = fmt.Sprintf(" of %q", w.Text)
				}
				what := fmt.Sprintf("the character %q%s is unevenly lit: %s", worst.Text, within, ratio(worst))
				if n > 1 {
					what = fmt.Sprintf("%d characters%s are unevenly lit: up to %s", n, within, ratio(worst))
				}
				add(diag.Warning, "light-uneven-character", worst.Darkest, relit("spread the LEDs more evenly, put the diffuser farther from them, or "),
					"%s from the brightest place to the darkest", what).
					Together(fmt.Sprintf("%%d words are unevenly lit: more than %.3g:1 from the brightest place of a character to its darkest", lim.Uneven))
			}
		}
		for _, t := range f.Windows() {
			if lim.Uneven > 0 && t.Max > lim.Uneven*t.Min && t.Mean > lim.Dark*f.mean(t) {
				add(diag.Warning, "light-uneven-window", t.Darkest, relit("put more LEDs behind it, spread evenly, or the diffuser farther from them; or "),
					"%s is unevenly lit: %s from the brightest place to the darkest", t.said(), ratio(t)).
					Together(fmt.Sprintf("%%d windows are unevenly lit: more than %.3g:1 from the brightest place to the darkest", lim.Uneven))
			}
		}
		if lim.Hot > 0 {
			for _, t := range f.Texts {
				watch.Step()
				if mean := f.mean(t); t.Max > lim.Hot*mean {
					add(diag.Warning, "light-hot-spot", t.Brightest, "move the LED behind it aside, or lessen its current",
						"a bright spot shows in %s: %.1f times the light that the lettering gets on average", t.said(), t.Max/mean).
						Together(fmt.Sprintf("bright spots show in %%d texts: each more than %.3g times the light that the lettering gets on average", lim.Hot))
				}
			}
		}
	}
	if c := f.Contrast(); lim.Ground > 0 && c > 0 && c < lim.Ground {
		l.Add(diag.Warning, "light-paint-thin", "the paint glows: the lettering is on average only %.2g times as bright as the brightest place of the paint, which lets %.3g %% of the light through", c, 100*s.Paint).
			About("stack.paint_transmission").
			Fix("give it another coat, so that at most %.2g %% come through, or spread the LEDs more evenly", 100*float64(s.Paint*c)/lim.Ground)
	}
	if f.Mean > 0 && lim.Hot > 0 {
		l = append(l, judgeBare(s, f)...)
	}
	l = append(l, judgeColours(f, lim, []string{diag.PanelKey(p.Name, "led"), "defaults.led"})...)
	if f.Assumed {
		l.Add(diag.Note, "light-intensity-unknown", "the luminous intensity of an LED kind is not known: only ratios of its light mean something").
			About(diag.PanelKey(p.Name, "led"), "defaults.led").Fix("write its data sheet's value: intensity: 800 mcd at the current of at")
	}
	least := geom.Nm(0)
	if lim.Arc > 0 && s.Viewed > 0 {
		// NUREG-0700: height = 6.283·D·MA/21600, which is D times the angle.
		least = geom.Nm(float64(s.Viewed) * lim.Arc * (2 * math.Pi / 21600))
	}
	e = e.Or(watch, p)
	for i, t := range p.Lettering {
		watch.Step()
		if t.Height <= 0 {
			continue
		}
		if t.Height < least {
			add(diag.Note, "light-small-lettering", t.At, fmt.Sprintf("make capitals at least %.1f mm high, or read it from nearer", math.Ceil(least.MM()*10)/10),
				"%q is small: its capitals are %.2g mm high, and from %.0f mm away %.1f mm are read with ease", t.Text, t.Height.MM(), s.Viewed.MM(), least.MM()).
				Together(fmt.Sprintf("%%d texts are small: from %.0f mm away capitals of %.1f mm are read with ease", s.Viewed.MM(), least.MM()))
		}
		if thin := e.Stems[i]; thin > 0 && thin < lim.Stroke {
			add(diag.Note, "light-thin-stroke", t.At, "make the lettering larger or wider; light letters on a dark ground want strokes of 1/7 to 1/8 of their height",
				"strokes of %q are %.2f mm wide, less than the %.2g mm that engraving through paint keeps clean", t.Text, thin.MM(), lim.Stroke.MM()).
				Together(fmt.Sprintf("strokes of %%d texts are narrower than the %.2g mm that engraving through paint keeps clean", lim.Stroke.MM()))
		}
	}
	return l.Capped(mostSame).WithPanel(p.Name)
}

// symbols returns the figures of the drawn symbols.
func symbols(f Field) []Lit {
	var out []Lit
	for _, t := range f.Texts {
		if t.drawn {
			out = append(out, t)
		}
	}
	return out
}

// said names a word, a text or a symbol in a sentence.
func (t Lit) said() string {
	if t.drawn {
		return t.Text
	}
	return strconv.Quote(t.Text)
}

// share says a part in hundredths: "27 %".
func share(v float64) string {
	if v <= 0 {
		return "nothing"
	}
	if v < 0.01 {
		return "less than 1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*v)
}

func ratio(c Lit) string {
	if c.Min <= 0 || c.MaxToMin > 100 {
		return "more than 100:1"
	}
	return fmt.Sprintf("%.1f:1", c.MaxToMin)
}
