package project

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/export/scene"
	"lampblack/export/sheet"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
)

// widestLine is the widest line that laser programs take for one to cut, and not for an area to engrave (common practice).
const widestLine = 250 * geom.Micrometre

func laserKeys() mapping[sheet.Laser] {
	return mapping[sheet.Laser]{keys: []key[sheet.Laser]{
		{name: "cut", is: bind(colours(), func(l *sheet.Laser) *scene.Colour { return &l.Cut }),
			help: "colour of the outer cut: one of `" + strings.Join(colourWords(), "`, `") + "`, or as `'#ff0000'`", usual: "`red`", eg: []string{"red", "'#ff0000'"}},
		{name: "inner", is: bind(colours(), func(l *sheet.Laser) *scene.Colour { return &l.Inner }),
			help: "colour of the cuts within it, which are to be made first", usual: "`blue`", eg: []string{"blue"}},
		{name: "engrave", is: bind(colours(), func(l *sheet.Laser) *scene.Colour { return &l.Engrave }),
			help: "colour of what is engraved", usual: "`black`", eg: []string{"black"}},
		{name: "line", is: bind(lengths(0, widestLine), func(l *sheet.Laser) *geom.Nm { return &l.Line }),
			help: "width of lines to cut", usual: "0.01 mm", eg: []string{"0.01 mm"}},
		{name: "dxf", is: adding(choice{words: dxfReleases()}, func(l *sheet.Laser, w string) { l.Release = releaseOf(w) }),
			help: "release of the DXF files: `" + strings.Join(dxfReleases(), "`, `") + "`", usual: "`R2000`", eg: []string{"R2000"}},
	}, whole: func(r *reader, n ast.Node, at spot, l *sheet.Laser) {
		if l.Cut == l.Inner || l.Cut == l.Engrave || l.Inner == l.Engrave {
			f := r.diags.Add(diag.Warning, "project-one-colour", "two kinds of work for the laser have one colour: its program can tell them apart by their layers alone")
			f.Place = r.at(n)
			f.Fix("give cut, inner and engrave a colour each")
		}
	}}
}

func dxfReleases() []string { return []string{"R2000", "R12"} }

func releaseOf(word string) dxf.Release {
	if word == "R12" {
		return dxf.R12
	}
	return dxf.R2000
}

// word is a colour that has a name (CSS Color Module Level 4, section 6.1).
type word struct {
	name string
	is   scene.Colour
}

func words() []word {
	return []word{{"black", 0x000000}, {"red", 0xff0000}, {"blue", 0x0000ff}, {"lime", 0x00ff00}, {"green", 0x008000}, {"magenta", 0xff00ff},
		{"cyan", 0x00ffff}, {"yellow", 0xffff00}, {"orange", 0xffa500}}
}

func colourWords() []string {
	var out []string
	for _, w := range words() {
		out = append(out, w.name)
	}
	return out
}

func anyColour() string {
	var all []string
	for _, w := range words() {
		all = append(all, anyCase(w.name))
	}
	return strings.Join(all, "|")
}

// colours are names, or six hexadecimal digits behind a #.
func colours() parsed[scene.Colour] {
	return parsed[scene.Colour]{
		name:    "colour",
		pattern: `^(?:#?[0-9a-fA-F]{6}|` + anyColour() + `)$`,
		advice:  "write one of " + strings.Join(colourWords(), ", ") + ", or six hexadecimal digits in quotes, as '#ff0000'",
		parse: func(s string) (scene.Colour, error) {
			all := words()
			if i := slices.IndexFunc(all, func(w word) bool { return strings.EqualFold(w.name, s) }); i >= 0 {
				return all[i].is, nil
			}
			if hex := strings.TrimPrefix(s, "#"); len(hex) == 6 {
				if v, err := strconv.ParseUint(hex, 16, 32); err == nil {
					return scene.Colour(v), nil
				}
			}
			return 0, fmt.Errorf("unknown colour %q", s)
		},
	}
}
