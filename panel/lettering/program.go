package lettering

import (
	"strings"
	"sync"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"github.com/go-fonts/latin-modern/lmsansquot8regular"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/gofont/goregular"
)

// Names of the program's faces, as project files have them.
const (
	Plain      = "plain"       // Go Regular and Go Bold
	Condensed  = "condensed"   // Go Medium at three quarters of its width, whose stems are then 2/15 of the height
	Technical  = "technical"   // Latin Modern Sans Quotation: even strokes with round ends
	Grotesque  = "grotesque"   // Liberation Sans and its bold cut: as wide as the letters that office programs set
	SingleLine = "single-line" // our own stroke letters, as lines of engraving
)

// Names returns the names of the program's faces.
func Names() []string { return []string{Plain, Condensed, Technical, Grotesque, SingleLine} }

// Named returns the program's face of a name, whatever its case; nil: there is none.
func Named(name string) *Face {
	switch strings.ToLower(name) {
	case Plain:
		return plain()
	case Condensed:
		return condensed()
	case Technical:
		return technical()
	case Grotesque:
		return grotesque()
	case SingleLine:
		return singleLine()
	}
	return nil
}

// Each face is read once, when it is first asked for, and does not change after that.
var (
	plain      = sync.OnceValue(func() *Face { return ours(Plain, goregular.TTF, 1, gobold.TTF) })
	condensed  = sync.OnceValue(func() *Face { return ours(Condensed, gomedium.TTF, 0.75, nil) })
	technical  = sync.OnceValue(func() *Face { return ours(Technical, lmsansquot8regular.TTF, 1, nil) })
	grotesque  = sync.OnceValue(func() *Face { return ours(Grotesque, liberationsansregular.TTF, 1, liberationsansbold.TTF) })
	singleLine = sync.OnceValue(func() *Face { return lineFace(SingleLine) })
)

// ours reads a face that comes with the program: its letters drawn narrow times as wide, and its bold cut, if it has one.
func ours(name string, data []byte, narrow float64, bold []byte) *Face {
	f, err := parse(name, data)
	if err != nil {
		panic("lettering: the program's own font " + name + ": " + err.Error())
	}
	f.narrow = narrow
	if name == Plain || name == Condensed { // these carry no kerning
		f.pairs = kern
	}
	if bold != nil {
		f.bold = sync.OnceValue(func() *Face { g := ours(name, bold, narrow, nil); g.isBold = true; return g })
	}
	return f
}
