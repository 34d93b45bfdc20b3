package compare

import (
	"fmt"
	"maps"
	"path"
	"slices"
	"strings"

	"lampblack/export/result"
)

// sheetFiles tells of sheets whose files differ although no figure of theirs does. Their DXF files carry
// neither date nor name nor revision; by another version they may be written otherwise.
func (d *Difference) sheetFiles(was, is result.Console) {
	if len(was.Digests) == 0 || len(is.Digests) == 0 {
		d.Unknown = append(d.Unknown, "the files themselves, as one side has no list of them")
		return
	}
	told := map[string]bool{}
	for _, c := range d.Changes {
		if strings.HasPrefix(c.Code, "sheet") {
			told[c.Panel] = true
		}
	}
	owner := ownersOf(was)
	maps.Copy(owner, ownersOf(is))
	differing := map[string][]string{}
	names := maps.Clone(was.Digests)
	maps.Copy(names, is.Digests)
	for _, f := range slices.Sorted(maps.Keys(names)) {
		panel, ok := owner[path.Dir(f)]
		if ok && named(was.Panels, panel) >= 0 && named(is.Panels, panel) >= 0 && path.Ext(f) == ".dxf" && was.Digests[f] != is.Digests[f] && !told[panel] {
			differing[panel] = append(differing[panel], path.Base(f))
		}
	}
	for _, p := range slices.Sorted(maps.Keys(differing)) {
		if was.Lampblack != is.Lampblack {
			d.Unknown = append(d.Unknown, fmt.Sprintf("sheets of %s beyond their figures, as another version of Lampblack wrote them: %s", p, strings.Join(differing[p], ", ")))
			continue
		}
		d.tell("sheet-cuts", p, "", "cuts or engraving run otherwise: %s", strings.Join(differing[p], ", "))
	}
}

// twice are kinds of change of a pack, and those of the console by which they were told already.
var twice = map[string]string{
	"board-size": "board-size panel-size",
	"copper":     "copper",
	"vias":       "copper",
	"nets":       "string references led-gone led-added",
	"references": "references string",
	"part":       "string led-hole",
	"part-gone":  "string led-gone",
	"part-added": "string led-added",
	"part-moved": "led-moved connector-moved string",
	"hole-gone":  "led-gone screw-gone string",
	"hole-added": "led-added screw-added string",
	"hole":       "led-moved screw-moved screw-hole connector-moved string",
}

// Packed adds what the packs of one board tell beyond the figures of the console, as pack.Boards has it, and what they say against using
// an old one.
func (d *Difference) Packed(panel, board string, made Difference) {
	one := ""
	if board != panel {
		one = board
	}
	known := slices.Clone(d.Changes)
	for _, c := range made.Changes {
		if !slices.ContainsFunc(known, func(k Change) bool { return k.Panel == panel && among(k.Code, twice[c.Code]) }) {
			d.tell(c.Code, panel, one, "%s", c.Text)
		}
	}
	d.Unknown = append(d.Unknown, made.Unknown...)
	for _, of := range made.Boards {
		switch {
		case of.Open:
			for _, w := range of.Why {
				d.Doubt(panel, board, w)
			}
		case !of.Fits:
			d.against(panel, board, of.Why...)
		}
	}
}

// against says why an old board cannot be used; nothing where something else is told that is against it.
func (d *Difference) against(panel, board string, why ...string) {
	for i := range d.Boards {
		if b := &d.Boards[i]; b.Panel == panel && b.Board == board && (b.Fits || b.Open) {
			b.Fits, b.Open, b.Why = false, false, why
		}
	}
}

// Doubt says why an old board of which nothing else is known that is against it is not proved to fit.
func (d *Difference) Doubt(panel, board, why string) {
	for i := range d.Boards {
		if b := &d.Boards[i]; b.Panel == panel && b.Board == board && (b.Fits || b.Open) {
			b.Fits, b.Open, b.Why = false, true, append(b.Why, why)
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
