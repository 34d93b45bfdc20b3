package lettering

import (
	"path"
	"strings"

	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/writing"
)

// known is a font that drawings ask for by name: which of the program's faces it is, or how wide its letters are.
type known struct {
	names  string // of families and files, without blanks, dashes and endings, in lower case, parted by blanks
	is     string // the program's face that it is
	widths string // the program's face whose letters are as wide in an em; where is is empty
	// Measures of that font against those of the face, in its units: the height of a capital, and its letters' width.
	capital, narrow float64
	instead         string // the face that is taken for it
}

// Liberation Sans has the widths of the common grotesques of office programs, by its makers' word; those fonts' capitals are
// 1467 of 2048 units high, and the narrow cuts 0.82 as wide (common knowledge of their published metrics).
func knownFonts() []known {
	return []known{
		{names: "go goregular gobold", is: Plain},
		{names: "liberationsans liberationsansregular liberationsansbold arimo", is: Grotesque},
		{names: "lmsansquot8 lmsansquot8regular latinmodernsansquotation", is: Technical},
		{names: "arial arialbd ariali arialbi arialmt helvetica", widths: Grotesque, capital: 1467, narrow: 1, instead: Grotesque},
		{names: "arialn arialnb arialnarrow helveticanarrow", widths: Grotesque, capital: 1467, narrow: 0.82, instead: Condensed},
	}
}

// plainName is a font's name as knownFonts have it.
func plainName(name string) string {
	if name == "" {
		return ""
	}
	name = strings.ToLower(path.Base(strings.ReplaceAll(name, `\`, "/")))
	switch ext := path.Ext(name); ext {
	case ".ttf", ".otf", ".ttc", ".shx":
		name = strings.TrimSuffix(name, ext)
	}
	return strings.NewReplacer(" ", "", "-", "", "_", "").Replace(name)
}

// SameName reports whether two names, of files or families, are of one font.
func SameName(a, b string) bool { return plainName(a) != "" && plainName(a) == plainName(b) }

// StrokeFont reports whether a font's file holds stroke letters, which only CAD programs can read.
func StrokeFont(file string) bool { return strings.EqualFold(path.Ext(file), ".shx") }

func knownFont(a writing.Font) (known, bool) {
	for _, name := range []string{a.Family, a.File} {
		if name == "" || StrokeFont(name) {
			continue
		}
		for _, k := range knownFonts() {
			for _, n := range strings.Fields(k.names) {
				if n == plainName(name) {
					return k, true
				}
			}
		}
	}
	return known{}, false
}

// Instead returns the program's face that what is asked for is set in where its own font is not to be had, and whether it is that
// very font.
func Instead(a writing.Font) (face string, same bool) {
	k, ok := knownFont(a)
	switch {
	case ok && k.is != "":
		return k.is, true
	case ok:
		return k.instead, false
	case StrokeFont(a.File):
		return SingleLine, false
	}
	for _, word := range []string{"narrow", "cond"} {
		if strings.Contains(plainName(a.Family), word) || strings.Contains(plainName(a.File), word) {
			return Condensed, false
		}
	}
	return Plain, false
}

// WidthAsked returns how wide the text would be in the font that it asks for; false where that font's widths are not known.
func WidthAsked(t panel.Text) (geom.Nm, bool) {
	k, ok := knownFont(t.Font)
	if !ok || k.widths == "" || t.Span > 0 || t.Block != nil {
		return 0, false
	}
	f := Named(k.widths)
	w := (&Faces{Usual: f}).Advance(t)
	return geom.Nm(float64(w) * f.capital / k.capital * k.narrow), true
}
