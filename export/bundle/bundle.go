// Package bundle puts files where they belong, all of them or none.
//
// Zip packs files into an archive whose bytes depend on nothing but the files. All that lampblack writes to the disk goes
// through here, so that nothing of the user's is ever lost: New and Fill write only where there is nothing; a Folder is
// replaced whole, and only if it holds nothing but what an earlier output of the same project wrote, unchanged since; a
// Picture only if it bears our mark and is unchanged; and Replace keeps the old file. What they refuse is a *Refusal.
package bundle

import (
	"cmp"
	"fmt"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"lampblack/export/filename"
)

// File is a file to be written: its slash-separated path below the folder, and its bytes.
type File struct {
	Path string
	Data []byte
}

// sorted returns the files in the order of their paths.
func sorted(files []File) []File {
	out := slices.Clone(files)
	slices.SortStableFunc(out, func(a, b File) int { return cmp.Compare(a.Path, b.Path) })
	return out
}

// check reports a path that does not stay inside the folder, or that some system could not tell from another.
func check(files []File) error {
	taken := map[string]string{} // by the path in lower case: some systems do not tell case apart
	for _, f := range files {
		if f.Path == "" || path.Clean(f.Path) != f.Path || strings.ContainsAny(f.Path, `\:`) ||
			!filepath.IsLocal(filepath.FromSlash(f.Path)) || f.Path == "." {
			return fmt.Errorf("%q is no path inside the output folder", f.Path)
		}
		for name := range strings.SplitSeq(f.Path, "/") {
			if why := filename.Why(name); why != "" {
				return fmt.Errorf("%q: the name %q %s", f.Path, name, why)
			}
		}
		key := strings.ToLower(f.Path)
		if other, ok := taken[key]; ok {
			return fmt.Errorf("two files would be written to %q and %q, which some systems take for one", other, f.Path)
		}
		taken[key] = f.Path
	}
	for _, f := range files {
		for dir := path.Dir(strings.ToLower(f.Path)); dir != "."; dir = path.Dir(dir) {
			if other, ok := taken[dir]; ok {
				return fmt.Errorf("%q would be a file and a folder (for %q)", other, f.Path)
			}
		}
	}
	return nil
}
