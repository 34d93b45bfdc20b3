package project

import (
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/panel/diag"
	"lampblack/panel/lettering"
)

// StyleFont says which face the texts of a drawing's style are in.
type StyleFont struct {
	Style string
	Font  string // one of lettering.Names, or a file
}

// FontFile reports whether a name is that of a font file, and not of one of the program's faces.
func FontFile(name string) bool {
	switch strings.ToLower(path.Ext(filepath.ToSlash(name))) {
	case ".ttf", ".otf":
		return true
	}
	return false
}

// FontPath returns where a font file that the project names lies.
func (p Project) FontPath(name string) string { return p.beside(name) }

// beside returns where a file that the project names lies: relative to the project file's folder.
func (p Project) beside(name string) string {
	if p.File == "" || filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(filepath.Dir(p.File), filepath.FromSlash(name))
}

// FontFiles returns where the font files lie that the project names, each once, in the order of their names.
func (p Project) FontFiles() []string {
	var out []string
	for _, s := range append([]StyleFont{{Font: p.Font}}, p.Fonts...) {
		if FontFile(s.Font) {
			out = append(out, p.FontPath(s.Font))
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// face is the name of a face of the program, or of a font file.
type face struct{ leaf }

func (face) words() string { return strings.Join(lettering.Names(), ", ") }

func (c face) read(r *reader, n ast.Node, at spot, to *string) bool {
	s, ok := r.text(n, at)
	if !ok {
		return false
	}
	if i := slices.IndexFunc(lettering.Names(), func(name string) bool { return strings.EqualFold(name, s) }); i >= 0 {
		*to = lettering.Names()[i]
		return true
	}
	if FontFile(s) && len(s) <= 1000 {
		*to = s
		return true
	}
	f := r.add(n, "project-unknown-value", "%s: unknown %s", r.say(at.path), strconv.Quote(s))
	switch near, ok := diag.Nearest(s, lettering.Names()); {
	case ok:
		f.Fix("did you mean %s?", near).By("write "+near, diag.Set, at.path, near)
	case strings.Contains(path.Base(filepath.ToSlash(s)), "."):
		f.Fix("name a TrueType or OpenType file (.ttf, .otf), or one of %s", c.words())
	default:
		f.Fix("use one of %s, or a file beside the project, as plate.ttf; fonts of this machine are not looked for", c.words())
	}
	return false
}

func (c face) schema() *Schema {
	return &Schema{Type: "string", Pattern: `^(?:` + anyCaseOf(lettering.Names()) + `|.*\.(?:[tT][tT][fF]|[oO][tT][fF]))$`}
}

func anyCaseOf(words []string) string {
	var out []string
	for _, w := range words {
		out = append(out, anyCase(w))
	}
	return strings.Join(out, "|")
}

// styles are a drawing's text styles, each told its face.
type styles struct{ leaf }

func (styles) read(r *reader, n ast.Node, at spot, to *[]StyleFont) bool {
	m, ok := n.(ast.MapNode)
	if !ok {
		r.wrongKind(n, at, "styles of the drawings, each with a font")
		return false
	}
	good := true
	for it := m.MapRange(); it.Next(); {
		name, ok := scalar(it.Key())
		if !ok {
			r.add(it.Key(), "project-unknown-key", "this cannot be a style's name").Fix("write fonts: {TITLES: plate.ttf}")
			good = false
			continue
		}
		sub := spot{path: join(at.path, name), eg: []string{"plate.ttf", lettering.Condensed}}
		r.places[sub.path] = r.at(it.Key())
		if v := it.Value(); v == nil {
			continue
		} else if _, null := v.(*ast.NullNode); null {
			r.add(it.Key(), "project-no-value", "%s has no value", r.say(sub.path)).Fix("write one, or leave the key out")
			good = false
			continue
		}
		one := StyleFont{Style: name}
		if (face{}).read(r, it.Value(), sub, &one.Font) {
			if i := slices.IndexFunc(*to, func(s StyleFont) bool { return strings.EqualFold(s.Style, name) }); i >= 0 {
				r.add(it.Key(), "project-unknown-key", "the style %s stands twice", name).Fix("leave one of them")
				good = false
				continue
			}
			*to = append(*to, one)
		} else {
			good = false
		}
	}
	return good
}

func (styles) schema() *Schema {
	return &Schema{Type: "object", Additional: face{}.schema()}
}
