// Package examples has the two example projects in it: what the page begins with where there is no disk.
package examples

import (
	"embed"
	"io/fs"
	"path"
	"slices"

	"lampblack/export/bundle"
)

//go:embed observatory/*.yaml observatory/*.dxf greenhouse/*.yaml greenhouse/*.dxf
var projects embed.FS

// Named returns the files of an example, by paths below its folder; ok is false where there is none of that name.
func Named(name string) (files []bundle.File, ok bool) {
	all, err := projects.ReadDir(name)
	if err != nil || !slices.Contains([]string{"observatory", "greenhouse"}, name) {
		return nil, false
	}
	for _, e := range all {
		data, err := fs.ReadFile(projects, path.Join(name, e.Name()))
		if err != nil {
			return nil, false
		}
		files = append(files, bundle.File{Path: e.Name(), Data: data})
	}
	return files, true
}
