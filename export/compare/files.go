package compare

import (
	"fmt"
	"maps"
	"path"
	"slices"
	"strings"

	"lampblack/export/result"
)

// shapes are the kinds of change from which other cuts and engraving of sheets follow.
var shapes = []string{"panel-size", "led-moved", "led-gone", "led-added", "led-hole", "screw-moved", "screw-gone", "screw-added", "screw-hole", "opening-gone", "opening-added",
	"body-gone", "body-added", "room-gone", "room-added", "behind", "board-size", "sheet", "sheet-gone", "sheet-added", "lettering-gone", "lettering-added"}

// sheetFiles tells of sheets whose files differ although no figure does and nothing is told from which it follows. They carry neither date
// nor name; by another version they may be written otherwise.
func (d *Difference) sheetFiles(was, is result.Console) {
	if len(was.Digests) == 0 || len(is.Digests) == 0 {
		d.Unknown = append(d.Unknown, "the files themselves, as one side has no list of them")
		return
	}
	shaped := map[string]bool{}
	for _, c := range d.Changes {
		if slices.Contains(shapes, c.Code) {
			shaped[c.Panel] = true
		}
	}
	owner := ownersOf(was)
	maps.Copy(owner, ownersOf(is))
	differing := map[string][]string{}
	names := maps.Clone(was.Digests)
	maps.Copy(names, is.Digests)
	for _, f := range slices.Sorted(maps.Keys(names)) {
		panel, ok := owner[path.Dir(f)]
		if ok && path.Ext(f) == ".dxf" && was.Digests[f] != is.Digests[f] && !shaped[panel] {
			differing[panel] = append(differing[panel], path.Base(f))
		}
	}
	for _, p := range slices.Sorted(maps.Keys(differing)) {
		if was.Lampblack != is.Lampblack {
			d.Unknown = append(d.Unknown, fmt.Sprintf("sheets of %s beyond their figures, as another version of Lampblack wrote them: %s", p, strings.Join(differing[p], ", ")))
			continue
		}
		d.add(Change{"sheet", p, "", "cuts or engraving run otherwise: " + strings.Join(differing[p], ", ")})
	}
}

// follows are kinds of change of a pack, and those of the console from which they follow; of these nothing more is said.
var follows = map[string][]string{
	"board-size": {"board-size"}, // told by its figures
	"copper":     {"copper"},
	"vias":       {"copper"},
	"nets":       {"string", "led-gone", "led-added"},
	"references": {"references", "string"},
	"net-names":  {"references", "string", "feed"},
	"part":       {"string", "led-hole"},
	"part-gone":  {"string", "led-gone"},
}

// moving are kinds of change from which it follows that parts and holes of a board are elsewhere.
var moving = []string{"led-moved", "led-gone", "led-added", "screw-moved", "screw-gone", "screw-added", "screw-hole", "opening-gone", "opening-added", "body-gone", "body-added",
	"room-gone", "room-added", "board-size", "panel-size", "string", "connector-moved"}

// Packed adds what the packs of one board tell beyond the figures of the console, as pack.Boards has it.
func (d *Difference) Packed(panel, board string, made Difference) {
	told := map[string]bool{}
	for _, c := range d.Changes {
		told[c.Code] = told[c.Code] || c.Panel == panel
	}
	one := ""
	if board != panel {
		one = board
	}
	for _, c := range made.Changes {
		from := follows[c.Code]
		if strings.HasPrefix(c.Code, "part") || strings.HasPrefix(c.Code, "hole") {
			from = append(slices.Clone(from), moving...)
		}
		if !slices.ContainsFunc(from, func(code string) bool { return told[code] }) {
			d.add(Change{c.Code, panel, one, c.Text})
		}
	}
	d.Unknown = append(d.Unknown, made.Unknown...)
	for _, of := range made.Boards {
		for i := range d.Boards {
			if b := &d.Boards[i]; b.Panel == panel && b.Board == board && b.Fits && !of.Fits {
				b.Fits, b.Why = false, of.Why
			}
		}
	}
}

// ownersOf returns whose panel the files in a folder are of: several boards behind a panel have folders of their own.
func ownersOf(c result.Console) map[string]string {
	out := map[string]string{}
	for _, p := range c.Panels {
		for _, f := range p.Files {
			out[path.Dir(f)] = p.Name
		}
		for _, b := range p.Boards {
			for _, f := range b.Files {
				out[path.Dir(f)] = p.Name
			}
		}
	}
	return out
}
