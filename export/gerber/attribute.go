package gerber

import (
	"fmt"
	"strings"

	"lampblack/export"
)

// fileFunction returns the value of .FileFunction (5.6.3).
func fileFunction(f export.Function) string {
	switch f {
	case export.CopperTop:
		return "Copper,L1,Top"
	case export.CopperBottom:
		return "Copper,L2,Bot"
	case export.SoldermaskTop:
		return "Soldermask,Top"
	case export.SoldermaskBottom:
		return "Soldermask,Bot"
	case export.SilkscreenTop:
		return "Legend,Top"
	case export.SilkscreenBottom:
		return "Legend,Bot"
	case export.PasteTop:
		return "Paste,Top"
	case export.PasteBottom:
		return "Paste,Bot"
	case export.Profile:
		return "Profile,NP"
	case export.ComponentTop:
		return "Component,L1,Top"
	case export.ComponentBottom:
		return "Component,L2,Bot"
	case export.Vcut:
		return "Vcut"
	}
	panic(fmt.Sprintf("export/gerber: no file function for layer %d", f))
}

func polarity(negative bool) string {
	if negative {
		return "Negative"
	}
	return "Positive"
}

// guid returns the identity of the board.
func guid(a export.Artwork, m Meta) string { return export.Identity(a, m.Project, m.revision()) }

// field escapes s for one field of an attribute: the characters that end words, commands and fields (3.4.3). Control
// characters become spaces, and bytes that are no UTF-8 the replacement character.
func field(s string) string { return escape(s, true) }

// fields escapes s, in which commas part the fields.
func fields(s string) string { return escape(s, false) }

func escape(s string, comma bool) string {
	plain := true
	for i := 0; i < len(s) && plain; i++ {
		c := s[i]
		plain = c >= ' ' && c < 0x7f && c != '%' && c != '*' && c != '\\' && (c != ',' || !comma)
	}
	if plain {
		return s
	}
	var b strings.Builder
	for _, r := range strings.ToValidUTF8(s, "\uFFFD") {
		switch {
		case r == '%', r == '*', r == '\\', r == ',' && comma:
			fmt.Fprintf(&b, `\u%04X`, r)
		case r < ' ', r >= 0x7f && r < 0xa0, r == '\u2028', r == '\u2029':
			b.WriteByte(' ')
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}
