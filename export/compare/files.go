package compare

import (
	"maps"
	"path"
	"slices"
	"strings"

	"lampblack/export/result"
)

// files tells of files that differ where nothing else does: what they say has no figure in result.json.
func (d *Difference) files(was, is result.Console) {
	if was.Lampblack != is.Lampblack || was.Date != is.Date {
		d.Unknown = append(d.Unknown, "the files themselves, as they carry another version of Lampblack or another date: thickness of copper, what is printed on boards")
		return
	}
	if len(was.Digests) == 0 || len(is.Digests) == 0 {
		d.Unknown = append(d.Unknown, "the files themselves, as one side has no list of them")
		return
	}
	if was.Console != is.Console || was.Revision != is.Revision {
		d.Unknown = append(d.Unknown, "the files themselves, as the console's name and revision stand in all of them: thickness of copper, what is printed on boards")
		return
	}
	changed := map[string]bool{}
	for _, c := range d.Changes {
		changed[c.Panel] = true
	}
	owner := ownersOf(was)
	maps.Copy(owner, ownersOf(is))
	differing := map[string][]string{}
	names := maps.Clone(was.Digests)
	maps.Copy(names, is.Digests)
	for _, f := range slices.Sorted(maps.Keys(names)) {
		panel, ok := owner[path.Dir(f)]
		if ok && made[path.Ext(f)] && was.Digests[f] != is.Digests[f] && !changed[panel] {
			differing[panel] = append(differing[panel], path.Base(f))
		}
	}
	for _, p := range slices.Sorted(maps.Keys(differing)) {
		d.add(Change{"files", p, "", "files differ in what no figure tells, as thickness of copper or what is printed: " + strings.Join(differing[p], ", ")})
	}
}

// made are the endings of the files that a board or a sheet is made by; pictures and lists follow from figures of the whole.
var made = map[string]bool{".gbr": true, ".drl": true, ".gbrjob": true, ".ipc": true, ".dxf": true}

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
