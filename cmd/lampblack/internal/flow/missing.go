package flow

import (
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"lampblack/panel/diag"
)

// mostNamed bounds the files that advice names.
const mostNamed = 8

// listDrawings returns the names of the DXF files in a folder, in order.
func listDrawings(dir string) []string {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil
	}
	var out []string
	for _, e := range entries {
		if !e.IsDir() && strings.EqualFold(filepath.Ext(e.Name()), ".dxf") {
			out = append(out, e.Name())
		}
	}
	return out
}

// instead advises what to write for a drawing that is not there: one like it in the folder it was looked for in, or of its
// name beside the project file. drawing is as written, file where it was looked for, root the project's folder.
func instead(list func(dir string) []string, drawing, file, root string) string {
	const how = "check the name and where the file lies; drawings are looked for beside the project file"
	if list == nil {
		return how
	}
	written := drawing
	if strings.Contains(drawing, `\`) && filepath.Separator != '\\' { // a path of another system
		written = strings.ReplaceAll(drawing, `\`, "/")
		file = filepath.Join(root, filepath.FromSlash(written))
	}
	dir, base := filepath.Dir(file), filepath.Base(file)
	there := list(dir)
	near, ok := base, slices.Contains(there, base)
	if !ok {
		near, ok = diag.Nearest(base, there)
	}
	if !ok && slices.Contains(there, base+".dxf") {
		near, ok = base+".dxf", true
	}
	folder := path.Dir(filepath.ToSlash(written))
	switch {
	case ok:
		return "did you mean " + path.Join(folder, near) + "?"
	case slices.Contains(list(root), base):
		return "did you mean " + base + "? It lies beside the project file"
	case written != drawing:
		return "write the path with slashes, which every system understands: " + written
	case len(there) > 0:
		var names []string
		for _, n := range there[:min(len(there), mostNamed)] {
			names = append(names, path.Join(folder, n))
		}
		more := ""
		if len(there) > mostNamed {
			more = " and more"
		}
		return how + "; drawings there: " + strings.Join(names, ", ") + more
	}
	return how
}

// placed gives findings about what the project says of a drawing the place where it says it. entry is the drawing's.
func (s *session) placed(l diag.List, entry int, file string) {
	if s.project.File == "" {
		return
	}
	at := func(panel string) (int, bool) { return entry, panel == s.project.Panels[entry].Name }
	for i := range l {
		f := &l[i]
		if f.Place.Line > 0 || f.Place.At != nil {
			continue
		}
		if place, ok := s.project.Written(f.Subject.Keys, at); ok {
			f.Place = place
			f.Related = slices.Clone(f.Related) // what was read is kept for other runs
			f.Note(diag.Place{File: file}, "the drawing")
		}
	}
}
