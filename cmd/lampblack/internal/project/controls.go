package project

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/read"
)

// Sit says what sits in the openings that a rule takes.
type Sit struct {
	Rule   read.Rule
	Kind   string // of control
	Clamps panel.Clamp
	Turned bool // by a quarter, where no drawn body tells
	Shared bool // it is the defaults'
}

// mostControl bounds the lengths of controls.
const mostControl = 300 * geom.Millimetre

// clampWords are the words for what a control clamps, in the order of panel.Clamp from ClampsFace on.
func clampWords() []string { return []string{"face", "diffuser", "led-sheet", "stack", "plate"} }

// sits is what sits in openings: a list of rules, each with the kind of control in the openings that it takes, or a mapping of rules
// to kinds.
type sits struct{ leaf }

func (sits) rule() parsed[read.Rule] { return rules(panel.RoleOpening) }

func (s sits) one() mapping[Sit] {
	return mapping[Sit]{brief: true, keys: []key[Sit]{
		{name: "rule", is: bind(s.rule(), func(k *Sit) *read.Rule { return &k.Rule }), need: true,
			help: "which openings, as in roles", eg: []string{"circles 12.2 mm", "circles 7 mm near 40,25", "rest"}},
		{name: "kind", is: bind(text{}, func(k *Sit) *string { return &k.Kind }), need: true,
			help: "what sits there", eg: []string{"toggle-m12"}},
		{name: "clamps", is: adding(choice{words: clampWords(), more: []string{"leds", "led sheet", "led_sheet"}, means: func(string) string { return "led-sheet" }},
			func(k *Sit, w string) { k.Clamps = panel.Clamp(slices.Index(clampWords(), w)) + panel.ClampsFace }),
			help: "the sheet that lies between its shoulder and its nut: `face`; `diffuser`, the face and the diffuser together; `led-sheet`; `stack`, all of these; `plate`",
			eg:   []string{"face", "plate"}},
		{name: "turned", is: bind(yesNo{}, func(k *Sit) *bool { return &k.Turned }),
			help: "`yes`: by a quarter, where neither a drawn body nor the opening tells how it stands", eg: []string{"yes"}},
	}}
}

func (s sits) each() list[Sit] { return list[Sit]{word: "control", of: s.one()} }

func (s sits) read(r *reader, n ast.Node, at spot, to *[]Sit) bool {
	*to = nil
	m, keys := n.(ast.MapNode)
	if !keys {
		return s.each().read(r, n, at, to)
	}
	r.entry[at.path] = "control"
	good, i := true, 0
	for it := m.MapRange(); it.Next(); i++ {
		sub := spot{path: join(at.path, strconv.Itoa(i)), eg: []string{"toggle-m12"}}
		r.places[sub.path] = r.at(it.Key())
		one := Sit{}
		word, ok := scalar(it.Key())
		rule, err := s.rule().parse(strings.TrimSpace(word))
		switch v := it.Value(); {
		case !ok || err != nil:
			r.add(it.Key(), "project-unknown-key", "%s: %s tells no openings", r.say(at.path), strconv.Quote(word)).
				Fix("write controls: {circles 12.2 mm: toggle-m12}, or a list as [{rule: circles 12.2 mm, kind: toggle-m12}]")
			good = false
		case absent(v):
			r.add(it.Key(), "project-no-value", "%s has no value", word).Fix("write what sits there, or leave the key out")
			good = false
		default:
			one.Rule = rule
			good = (text{}).read(r, v, sub, &one.Kind) && good
		}
		*to = append(*to, one)
	}
	return good
}

func absent(n ast.Node) bool {
	_, null := n.(*ast.NullNode)
	return null || n == nil
}

func (s sits) schema() *Schema {
	return &Schema{AnyOf: []*Schema{s.each().schema(), {Type: "object", Additional: text{}.schema()}}}
}

const controlsHelp = "what sits in openings: a list of rules as in `roles`, each with the kind of control in the openings that it takes, " +
	"`[{rule: circles 12.2 mm, kind: toggle-m12}, {rule: 'circles 7 mm near 40,25', kind: encoder-7mm, clamps: face}]`, or rules and kinds alone, `{circles 12.2 mm: toggle-m12}`. " +
	"The nearest rule counts. Each sheet is then cut for it, its body is kept free, and what does not go together is told"

func controlsGood() []string {
	return []string{"{circles 12.2 mm: toggle-m12}", "[{rule: circles 7.2 mm, kind: pot-7mm, clamps: face}]"}
}

// extents are a diameter, or a width and a height; a unit behind the second counts for both.
func extents() parsed[control.Extent] {
	const by = `\s*[xX×*]\s*`
	side := upTo(mostControl.MM()) + `\s*(?:mm)?`
	one := lengths(0, mostControl)
	return parsed[control.Extent]{
		name: "extent", unit: "mm", numbers: [2]float64{0, mostControl.MM()},
		pattern: side + `|` + side + by + side + `|` + withUnits(part.Lengths(), func(scale float64) string { return upTo(mostControl.MM() / scale) }),
		advice:  "write a diameter, as 12.2 mm, or width and height, as 18 x 28 mm",
		parse: func(s string) (control.Extent, error) {
			two := regexp.MustCompile(by).Split(s, -1)
			if len(two) > 2 {
				return control.Extent{}, fmt.Errorf("%q is neither a diameter nor a width and a height", s)
			}
			w, err := one.parse(two[0])
			if len(two) == 1 {
				return control.Extent{W: w}, err
			}
			h, second := one.parse(two[1])
			return control.Extent{W: w, H: h}, errors.Join(err, second)
		},
		refuse: func(e control.Extent) string {
			switch {
			case max(e.W, e.H) > mostControl:
				return "more than " + mostControl.String()
			case e.W == 0:
				return "nothing"
			}
			return ""
		},
	}
}

// controlKind is a kind of the user's own.
type controlKind struct {
	control.Kind
	like, from string
}

func controlKindKeys() mapping[controlKind] {
	length := func(name, help, usual, eg string, of func(*control.Kind) *geom.Nm) key[controlKind] {
		return key[controlKind]{name: name, is: bind(lengths(0, mostControl), func(k *controlKind) *geom.Nm { return of(&k.Kind) }), help: help, usual: usual, eg: []string{eg}}
	}
	keys := []key[controlKind]{
		{name: "name", is: bind(fileName(), func(k *controlKind) *string { return &k.Name }), need: true, help: "by which `controls` call it", usual: "needed", eg: []string{"dimmer"}},
		{name: "like", is: bind(choice{words: control.Names()}, func(k *controlKind) *string { return &k.like }), help: "one of ours, whose values it has where it says nothing", usual: "none", eg: []string{"pot-7mm"}},
		{name: "words", is: bind(line(), func(k *controlKind) *string { return &k.Words }), help: "what it is, for lists", usual: "its name", eg: []string{"dimmer knob"}},
		{name: "use", is: adding(choice{words: control.Uses()}, func(k *controlKind, w string) { k.Use = control.Use(slices.Index(control.Uses(), w)) }),
			help: "by which its distance from others is judged: `" + strings.Join(control.Uses(), "`, `") + "`", usual: "`toggle`", eg: []string{"knob"}},
		{name: "held", is: adding(choice{words: control.Holds()}, func(k *controlKind, w string) { k.Held = control.Held(slices.Index(control.Holds(), w)) }),
			help: "`nut-in-front`: its bush comes from behind; `nut-behind`: it comes from the front, up to its flange; `clips`: it snaps in; `screws`: it is held from behind by what you draw", usual: "`nut-in-front`", eg: []string{"nut-behind"}},
		{name: "hole", is: bind(extents(), func(k *controlKind) *control.Extent { return &k.Hole }), help: "that it wants in the sheet that it clamps", usual: "0.2 mm wider than `bush`", eg: []string{"12.2 mm", "19.2 x 13 mm"}},
		length("bush", "across its thread", "needed where a nut holds it", "12 mm", func(k *control.Kind) *geom.Nm { return &k.Bush }),
		length("flat", "across a bush that is flattened against turning, from the flat to the other side", "round", "11 mm", func(k *control.Kind) *geom.Nm { return &k.Flat }),
		length("thread", "length of the bush: from the shoulder forward, with `nut-behind` from the flange back", "needed where a nut holds it", "9 mm", func(k *control.Kind) *geom.Nm { return &k.Thread }),
		length("nut", "across flats", "needed where a nut holds it", "14 mm", func(k *control.Kind) *geom.Nm { return &k.Nut }),
		length("nut_thickness", "of the nut", "needed where a nut holds it", "2 mm", func(k *control.Kind) *geom.Nm { return &k.NutThick }),
		length("washer", "across the washer below the nut", "none", "16 mm", func(k *control.Kind) *geom.Nm { return &k.Washer }),
		length("washer_thickness", "of the washer", "0 mm", "0.8 mm", func(k *control.Kind) *geom.Nm { return &k.WasherThick }),
		length("lock_washer", "thickness of a toothed washer on the other side of the sheet", "none", "0.8 mm", func(k *control.Kind) *geom.Nm { return &k.LockWasher }),
		length("tab", "hole for its key or locking tab", "none", "3 mm", func(k *control.Kind) *geom.Nm { return &k.Tab }),
		length("tab_at", "from the axis up to the middle of that hole, as the body stands", "none", "10 mm", func(k *control.Kind) *geom.Nm { return &k.TabAt }),
		length("sheet_min", "thinnest that it holds on", "not told", "0.8 mm", func(k *control.Kind) *geom.Nm { return &k.LeastSheet }),
		length("sheet_max", "thickest that it holds on", "as the thread allows", "3.2 mm", func(k *control.Kind) *geom.Nm { return &k.MostSheet }),
		{name: "body", is: bind(extents(), func(k *controlKind) *control.Extent { return &k.Body }), help: "behind the shoulder, as it stands upright", usual: "not known", eg: []string{"17 mm", "18 x 28 mm"}},
		length("depth", "of the body, behind the shoulder or the flange", "not known", "22 mm", func(k *control.Kind) *geom.Nm { return &k.Depth }),
		length("terminals", "behind the body", "0 mm", "8 mm", func(k *control.Kind) *geom.Nm { return &k.Terminals }),
		length("shaft", "across the shaft or lever", "none", "6 mm", func(k *control.Kind) *geom.Nm { return &k.Shaft }),
		length("shaft_length", "in front of the bush", "none", "18 mm", func(k *control.Kind) *geom.Nm { return &k.ShaftLength }),
		length("handle", "across what fingers hold: a knob, a button, a lever's end", "the shaft or the flange", "20 mm", func(k *control.Kind) *geom.Nm { return &k.Handle }),
		length("flange", "across what lies on the sheet in front", "2 mm more than the hole", "18 mm", func(k *control.Kind) *geom.Nm { return &k.Flange }),
		length("flange_thickness", "of that", "0 mm", "2 mm", func(k *control.Kind) *geom.Nm { return &k.FlangeThick }),
		{name: "source", is: bind(line(), func(k *controlKind) *string { return &k.from }), help: "where its values are from, for whoever reads the project file", usual: "not told", eg: []string{"data sheet of 2025"}},
	}
	return mapping[controlKind]{keys: keys, whole: func(r *reader, n ast.Node, at spot, k *controlKind) {
		if like, ok := control.Find(k.like); ok && !r.diags.HasErrors() {
			// Its keys are read once more, over the other's values: they may stand before "like".
			over := controlKind{Kind: like}
			over.Words = ""
			// What follows from others of its values follows from its own.
			if r.has(join(at.path, "bush")) {
				over.Hole, over.Flat = control.Extent{}, 0
			}
			if r.has(join(at.path, "body")) {
				over.Beyond = 0
			}
			mapping[controlKind]{keys: keys}.read(r, n, at, &over)
			*k = over
		}
		k.Kind = k.Kind.Completed()
		if k.Words == "" {
			k.Words = k.Name
		}
		k.Sources = []control.Source{{Of: "all", From: orText(k.from, "the project file")}}
		if k.like != "" {
			k.Sources = append(k.Sources, control.Source{Of: "what it does not say", From: "as " + k.like})
		}
		if k.Name == "" || r.diags.HasErrors() {
			return // told
		}
		if err := k.Check(); err != nil {
			_, what, _ := strings.Cut(err.Error(), ": ")
			r.add(n, "project-impossible-value", "%s: %s", r.say(at.path), what).Fix("check its sizes against the data sheet")
		}
	}}
}

func orText(s, otherwise string) string {
	if s == "" {
		return otherwise
	}
	return s
}

// ControlKind returns the kind of control of that name: the project's own, or the catalogue's.
func (p Project) ControlKind(name string) (control.Kind, bool) {
	for _, k := range p.ControlKinds {
		if strings.EqualFold(k.Name, name) {
			return k, true
		}
	}
	return control.Find(name)
}

// controlSense tells kinds of controls that nobody describes, and controls on a plate that there is not.
func (r *reader) controlSense(p *Project) {
	var known []string
	for _, k := range p.ControlKinds {
		if k.Name != "" {
			known = append(known, k.Name)
		}
	}
	known = append(known, control.Names()...)
	check := func(path string, all []Sit) {
		for i, s := range all {
			key := join(path, strconv.Itoa(i))
			if s.Shared || s.Kind == "" {
				continue
			}
			if _, ok := p.ControlKind(s.Kind); !ok {
				f := r.diags.Add(diag.Error, "project-unknown-control", "there is no kind of control %s", strconv.Quote(s.Kind))
				f.Place = p.Place(key)
				if near, ok := diag.Nearest(s.Kind, known); ok {
					f.Fix("did you mean %s? The kinds are: %s", near, strings.Join(known, ", ")).By("write "+near, diag.Set, key+".kind", near)
				} else {
					f.Fix("use one of %s, or describe it under control_kinds", strings.Join(known, ", "))
				}
			}
			if s.Clamps == panel.ClampsPlate && p.Plate == 0 {
				f := r.diags.Add(diag.Error, "project-no-plate", "controls clamp the plate, and the stack has none")
				f.Place = p.Place(key)
				f.Fix("write stack: {plate: 1.6 mm} with its thickness, or another sheet")
			}
		}
	}
	check("defaults.controls", p.Defaults.Controls)
	for i, q := range p.Panels {
		check("panels."+strconv.Itoa(i)+".controls", q.Controls)
	}
}
