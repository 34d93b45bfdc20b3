package desk

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"path"
	"regexp"
	"slices"
	"strings"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/bundle"
	"lampblack/export/filename"
	"lampblack/led/light"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Unlit is a panel as its LEDs are moved on it. Lengths are mm in the drawing's frame, paths SVG's with Y up.
type Unlit struct {
	Panel     string     `json:"panel"`
	Box       [4]float64 `json:"box"`
	Outline   string     `json:"outline"`
	Openings  string     `json:"openings"` // and holes of screws
	Lettering string     `json:"lettering"`
	LEDs      []Lamp     `json:"leds"`
	Kinds     []LampKind `json:"kinds"` // that its LEDs have
	Sets      []string   `json:"sets"`  // of them, each of which lights all of the lettering by itself
}

// Lamp is an LED.
type Lamp struct {
	X    float64 `json:"x"`
	Y    float64 `json:"y"`
	Kind string  `json:"kind,omitempty"` // LampKind.Name; empty: the usual one
}

// LampKind is a kind of LEDs, and where such may be.
type LampKind struct {
	Name    string  `json:"name"`
	Words   string  `json:"words"`
	Colour  string  `json:"colour"` // "#rrggbb"
	D       float64 `json:"d"`      // of its hole
	Room    string  `json:"room"`   // path, even-odd: the middle of one may be here
	Spacing float64 `json:"spacing"`
}

// unlit gives what the page needs once to move LEDs on a panel.
func unlit(a *asked) (given, error) {
	var in BoardOf
	if err := a.with(&in); err != nil {
		return given{}, err
	}
	d, err := a.dark(in.Panel)
	if err != nil {
		return given{}, err
	}
	p := d.Panel
	to := frameOf(p)
	out := Unlit{
		Panel: p.Name, Box: to.box(p.Outline.Box()), Outline: to.closed(p.Outline),
		LEDs: lampsOf(d, d.LEDs()), Kinds: []LampKind{}, Sets: []string{},
	}
	var holes []geom.Contour
	for _, o := range p.Openings {
		holes = append(holes, o.Contour)
	}
	for _, m := range p.Mounts {
		holes = append(holes, geom.Circle(m.At, m.D))
	}
	out.Openings = to.closed(holes...)
	for _, g := range slices.Concat(d.Areas.Texts, d.Areas.Symbols) {
		out.Lettering += to.rings(g.Rings()...)
	}
	for _, k := range d.Kinds {
		c := k.Kind.RGB
		out.Kinds = append(out.Kinds, LampKind{
			Name: k.Name, Words: k.Kind.Name, Colour: fmt.Sprintf("#%02x%02x%02x", c[0], c[1], c[2]), D: k.Hole.MM(),
			Room: to.rings(k.Tight.Rings()...), Spacing: k.Spacing.MM(),
		})
	}
	for _, s := range d.Sets {
		out.Sets = append(out.Sets, s.Name)
	}
	return given{gives: out}, nil
}

func lampsOf(d *flow.Dark, leds []flow.LED) []Lamp {
	out := []Lamp{}
	for _, l := range leds {
		out = append(out, Lamp{d.Panel.Origin.X + l.At.X.MM(), d.Panel.Origin.Y + l.At.Y.MM(), l.Kind})
	}
	return out
}

// Lighting is what light takes.
type Lighting struct {
	Panel string  `json:"panel"`
	LEDs  []Lamp  `json:"leds"`  // null: those of the panel as they are
	Scale float64 `json:"scale"` // pixels a millimetre; 0: figures alone
	Set   string  `json:"set"`   // of LEDs that is seen; empty: the one whose light is the least even
	Day   bool    `json:"day"`   // by daylight
}

// Lit is the light of a panel with its LEDs at these places, and two pictures of one size as bytes: red, green, blue and 255 of each pixel,
// row by row from the top. The first is the panel without its lettering, the second as if all of it were lettering: seen through the
// lettering's outlines it is sharp at any zoom.
type Lit struct {
	W       int        `json:"w"`
	H       int        `json:"h"`
	Box     [4]float64 `json:"box"` // that the pictures show
	Set     string     `json:"set,omitempty"`
	Figures Evenness   `json:"figures"`
	Darkest *Darkest   `json:"darkest,omitempty"` // the word that gets least
	Assumed bool       `json:"assumed"`           // intensities are not known: ratios alone mean something
}

// Evenness is the figures of the lettering.
type Evenness struct {
	Mean      float64 `json:"mean"` // cd/m²
	MinToMean float64 `json:"min_to_mean"`
	MaxToMin  float64 `json:"max_to_min"` // 0: the darkest place has no light
	LEDs      int     `json:"leds"`
}

// Darkest is the word, or what is drawn, that gets the least light.
type Darkest struct {
	Text  string     `json:"text"` // as it stands in a sentence
	Box   [4]float64 `json:"box"`
	Share float64    `json:"share"` // of what lettering gets on average
}

// lit gives the light of a panel, whatever LEDs are put where.
func lit(a *asked) (given, error) {
	var in Lighting
	if err := a.with(&in); err != nil {
		return given{}, err
	}
	if !(in.Scale >= 0 && in.Scale <= 20) {
		return given{}, fmt.Errorf("a scale of %v pixels a millimetre: at most 20", in.Scale)
	}
	d, err := a.dark(in.Panel)
	if err != nil {
		return given{}, err
	}
	leds := d.LEDs()
	if in.LEDs != nil {
		if leds, err = onPanel(d, in.LEDs); err != nil {
			return given{}, err
		}
	}
	whole, err := d.Lit(a.ctx, leds)
	if err != nil {
		return given{}, err
	}
	set, f := whole.Alone()
	for _, one := range whole.Sets {
		if one.Set == in.Set {
			set, f = one.Set, one.Field
		}
	}
	out := Lit{Set: set, Figures: evenness(f, len(leds)), Assumed: whole.Assumed}
	if l, share, ok := f.Dimmest(); ok {
		out.Darkest = &Darkest{l.Said(), frameOf(d.Panel).box(l.Box), share}
	}
	if in.Scale == 0 {
		return given{gives: out}, nil
	}
	show := d.Dark
	if in.Day {
		show = d.Day
	}
	seen := show(a.ctx, f, in.Scale)
	if a.ctx.Err() != nil {
		return given{}, a.ctx.Err()
	}
	out.W, out.H = seen.Ground.Rect.Dx(), seen.Ground.Rect.Dy()
	out.Box = frameOf(d.Panel).box(seen.Box)
	return given{gives: out, passing: [][]byte{seen.Ground.Pix, seen.Lettering.Pix}}, nil
}

func evenness(f light.Field, leds int) Evenness {
	return Evenness{f.Mean, f.MinToMean, f.MaxToMin, leds}
}

// onPanel brings LEDs into the panel's frame.
func onPanel(d *flow.Dark, leds []Lamp) ([]flow.LED, error) {
	out := []flow.LED{}
	for _, l := range leds {
		x, y := l.X-d.Panel.Origin.X, l.Y-d.Panel.Origin.Y
		if far := geom.MaxCoord.MM() / 2; !(math.Abs(x) < far && math.Abs(y) < far) {
			return nil, fmt.Errorf("an LED at x %g, y %g mm is nowhere near the panel", l.X, l.Y)
		}
		out = append(out, flow.LED{At: geom.PtMM(x, y), Kind: l.Kind})
	}
	return out, nil
}

// Moving is what leds takes: where the LEDs of a panel are to be.
type Moving struct {
	Panel string `json:"panel"`
	LEDs  []Lamp `json:"leds"`
	Words string `json:"words,omitempty"` // what was done, for going back; empty: told by the number
}

// Moved is what became of them. The files are the drawing with the LEDs, and the project file that names it.
type Moved struct {
	Words  string    `json:"words"`
	LEDs   []Lamp    `json:"leds"`
	Before *Evenness `json:"before,omitempty"` // of place alone, and as it reckons: all LEDs at one current
	After  *Evenness `json:"after,omitempty"`
}

// moveLEDs writes the drawing of a panel anew with its LEDs elsewhere. The user's own drawing is never changed.
func moveLEDs(a *asked) (given, error) {
	var in Moving
	if err := a.with(&in); err != nil {
		return given{}, err
	}
	p, l, err := a.sound()
	if err != nil {
		return given{}, err
	}
	d, err := a.dark(in.Panel)
	if err != nil {
		return given{}, err
	}
	leds, err := onPanel(d, in.LEDs)
	if err != nil {
		return given{}, err
	}
	r, err := a.engine.flow.Move(a.ctx, p, a.quiet(l), in.Panel, leds)
	if err != nil {
		return given{}, err
	}
	if in.Words == "" {
		in.Words = fmt.Sprintf("%d LEDs on %s", len(leds), r.Panel)
	}
	return a.redrawn(p, r, Moved{Words: in.Words, LEDs: in.LEDs})
}

// Placing is what place takes: how many LEDs, or how even the light is to be.
type Placing struct {
	Panel string  `json:"panel"`
	Count int     `json:"count,omitempty"`
	Even  float64 `json:"even,omitempty"` // darkest place over mean; taken where count is 0
	Keep  bool    `json:"keep,omitempty"` // those that are there stay
}

// placeLEDs places LEDs anew, as relight does: only where a board with them is proven.
func placeLEDs(a *asked) (given, error) {
	var in Placing
	if err := a.with(&in); err != nil {
		return given{}, err
	}
	p, l, err := a.sound()
	if err != nil {
		return given{}, err
	}
	set := a.settings(l)
	step := set.Step
	set.Step = nil
	ask := flow.Ask{Panel: in.Panel, Count: in.Count, Even: in.Even, Keep: in.Keep, Seed: 1, Step: func(done, total int) { step(done, total, "placing LEDs") }}
	r, err := a.engine.flow.Relight(a.ctx, p, set, ask)
	if err != nil {
		return given{}, err
	}
	out := Moved{Words: fmt.Sprintf("%d LEDs placed on %s", len(r.Plan.LEDs), r.Panel)}
	if !r.Findings.HasErrors() {
		d, err := a.dark(r.Panel)
		if err != nil {
			return given{}, err
		}
		var leds []flow.LED
		for _, h := range r.Plan.LEDs {
			leds = append(leds, flow.LED{At: h.At, Kind: h.Kind})
		}
		out.LEDs = lampsOf(d, leds)
		before, after := Evenness{r.Plan.Before.Mean, r.Plan.Before.MinToMean, r.Plan.Before.MaxToMin, len(d.Panel.LEDs)}, Evenness{r.Plan.After.Mean, r.Plan.After.MinToMean, r.Plan.After.MaxToMin, len(leds)}
		out.Before, out.After = &before, &after
	}
	return a.redrawn(p, r, out)
}

// redrawn gives the files of a panel whose drawing was written anew, or tells why it was not.
func (a *asked) redrawn(p project.Project, r flow.Relit, out Moved) (given, error) {
	for _, f := range r.Findings {
		if f.Severity == diag.Error {
			if f.Advice == "" {
				return given{}, errors.New(f.Text)
			}
			return given{}, fmt.Errorf("%s: %s", f.Text, f.Advice)
		}
	}
	if r.DXF == nil {
		return given{}, errors.New("the drawing could not be written anew")
	}
	old := p.Panels[r.Entry].Drawing
	name := ownName(old, func(n string) bool { return a.ask.Desk[n] != "" })
	g := given{gives: out, files: []bundle.File{{Path: path.Clean(name), Data: r.DXF}}}
	if name == old {
		return g, nil
	}
	src, err := a.read(project.FileName)
	if err != nil {
		return given{}, err
	}
	changed, ok := project.Redrawn(src, project.FileName, r.Entry, name)
	if !ok {
		return given{}, fmt.Errorf("the drawing of %s is written in a way that is not changed by itself: write drawing: %s for it in the files view, then move LEDs", r.Panel, name)
	}
	g.files = append(g.files, bundle.File{Path: project.FileName, Data: changed})
	return g, nil
}

// ownName returns the name of the drawing that moved LEDs are written to: dome.dxf gives dome-leds.dxf, and that itself; the next free
// number where another panel has that one. there reports what lies on the desk: a name of this form whose drawing without it is not there
// is the user's own.
func ownName(drawing string, there func(string) bool) string {
	drawing = strings.ReplaceAll(drawing, `\`, "/")
	ext := path.Ext(drawing)
	base := strings.TrimSuffix(drawing, ext)
	if m := byLEDs.FindStringIndex(base); m != nil && there(path.Clean(base[:m[0]]+ext)) {
		return drawing
	}
	base = filename.Beside(base, "-leds"+ext)
	for n := 1; ; n++ {
		name := base + "-leds" + ext
		if n > 1 {
			name = fmt.Sprintf("%s-leds-%d%s", base, n, ext)
		}
		if !there(path.Clean(name)) {
			return name
		}
	}
}

var byLEDs = regexp.MustCompile(`-leds(-[0-9]+)?$`)

// sound is project, which must be without errors.
func (a *asked) sound() (project.Project, diag.List, error) {
	p, l, err := a.project()
	if err != nil {
		return p, l, err
	}
	if e := l.Err(); e != nil {
		return p, l, e
	}
	return p, l, nil
}

// quiet are settings for work that is too short for telling steps.
func (a *asked) quiet(l diag.List) flow.Settings {
	set := a.settings(l)
	set.Step = nil
	return set
}

// dark returns the panel in the dark: while LEDs are moved the desk is the same, and so is that.
func (a *asked) dark(panel string) (*flow.Dark, error) {
	p, l, err := a.sound()
	if err != nil {
		return nil, err
	}
	key := panel
	for _, n := range slices.Sorted(maps.Keys(a.ask.Desk)) {
		key += "\n" + n + "\t" + a.ask.Desk[n]
	}
	e := a.engine
	e.mu.Lock()
	d := e.dark[key]
	e.mu.Unlock()
	if d != nil {
		return d, nil
	}
	// Another ask for the same may be on its way and left off by now: this one does not wait for it.
	if d, err = e.flow.Dark(context.WithoutCancel(a.ctx), p, a.quiet(l), panel); err != nil {
		return nil, err
	}
	e.mu.Lock()
	defer e.mu.Unlock()
	if len(e.dark) >= mostDark {
		clear(e.dark)
	}
	e.dark[key] = d
	return d, nil
}

// mostDark is how many panels in the dark are kept.
const mostDark = 8
