package project

import (
	"path/filepath"
	"slices"
	"strings"
)

// Mentions reports whether the text of a project file, which may be broken, has a name in it.
func Mentions(src []byte, name string) bool {
	text, _ := decoded(src)
	return strings.Contains(text, name)
}

// Adding returns what is to be written into the project file so that more drawings become panels of it: the entries of panels,
// and the chain, where the file names one. Lines that are only words begin with #.
func (p Project) Adding(drawings []string) []string {
	out := []string{"panels:"}
	if len(p.Panels) > 0 {
		out[0] += "  # below those that are there"
	}
	var names []string
	for _, d := range drawings {
		names = append(names, NameOf(d))
		out = append(out, "  - {name: "+quoted(NameOf(d))+", drawing: "+quoted(relative(filepath.Dir(p.File), d))+"}")
	}
	switch {
	case p.Has("chain") && len(p.Chains) == 1:
		out = append(out, "chain: ["+quotedList(append(slices.Clone(p.Chains[0].Boards), names...))+"]")
	case p.Has("chains"):
		out = append(out, "# and in one of its chains: "+quotedList(names))
	}
	return out
}
