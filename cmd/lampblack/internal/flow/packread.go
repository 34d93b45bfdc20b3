package flow

import (
	"context"
	"path"
	"slices"
	"strings"

	"lampblack/export/bundle"
	"lampblack/export/readback"
	"lampblack/panel/diag"
)

// PackZip reads the bytes of a zip archive of fabrication files. The list tells what is wrong with it as an archive, or in its files.
func PackZip(ctx context.Context, name string, src []byte) (readback.Pack, diag.List) {
	files, l := unpacked(name, src)
	if l.HasErrors() {
		return readback.Pack{}, l
	}
	return readPack(ctx, files)
}

// PackFolder reads fabrication files that lie in one folder.
func PackFolder(ctx context.Context, files []bundle.File) (readback.Pack, diag.List) {
	in := make([]readback.File, len(files))
	for i, f := range files {
		in[i] = readback.File{Name: path.Base(f.Path), Data: f.Data}
	}
	slices.SortFunc(in, func(a, b readback.File) int { return strings.Compare(a.Name, b.Name) })
	return readPack(ctx, in)
}

func readPack(ctx context.Context, files []readback.File) (p readback.Pack, l diag.List) {
	if f := guard(func() { p, l = readback.Open(ctx, files) }); f != nil {
		l = append(l, *f)
	}
	return p, l
}
