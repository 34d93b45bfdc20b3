package flow

import (
	"bytes"
	"context"
	"encoding/json"
	"path"
	"slices"
	"strconv"
	"strings"

	"lampblack/export/bundle"
	"lampblack/export/compare/pack"
	"lampblack/export/result"
	"lampblack/panel/diag"
)

// Reissued tells which boards of a build are otherwise than an earlier one made them and bear the same revision, so that nobody could
// tell the old from the new. before returns a file of the earlier build's folder. It is for whoever builds: what the files say cannot hang
// on what was there before them.
func (o Outcome) Reissued(ctx context.Context, before func(path string) ([]byte, error)) (l diag.List) {
	src, err := before(string(result.ResultJSON))
	if err != nil {
		return nil
	}
	var was result.Console
	if json.Unmarshal(src, &was) != nil || was.Revision == "" || was.Revision != o.Result.Revision || was.Console != o.Result.Console {
		return nil
	}
	arrays := map[string]bool{} // as their boards
	for _, a := range o.Orders {
		arrays[result.OrderFolder(a.Name)] = true
	}
	var boards []string
	is, old := map[string][]bundle.File{}, map[string][]bundle.File{}
	for _, f := range o.Files {
		board, _, ok := strings.Cut(f.Path, "/"+result.PackFolder)
		if !ok || arrays[board] {
			continue
		}
		if is[board] == nil {
			boards = append(boards, board)
		}
		is[board] = append(is[board], bundle.File{Path: path.Base(f.Path), Data: f.Data})
		if data, err := before(f.Path); err == nil {
			old[board] = append(old[board], bundle.File{Path: path.Base(f.Path), Data: data})
		}
	}
	var changed []string
	for _, board := range boards {
		if len(old[board]) > 0 && !slices.EqualFunc(old[board], is[board], sameBytes) && redrawn(ctx, board, old[board], is[board]) {
			changed = append(changed, board)
		}
	}
	if len(changed) == 0 || ctx.Err() != nil {
		return nil
	}
	it, one := "boards", "them"
	if len(changed) == 1 {
		it, one = "board", "it"
	}
	f := l.Add(diag.Note, "build-same-revision", "the %s of %s changed since the build that is replaced, and revision %s is still printed on %s",
		it, diag.Listed(changed), was.Revision, one).About("revision")
	if next := following(was.Revision); next != "" {
		f.Fix("if the earlier ones were ordered, raise the revision before you order again: revision: %s", next).By("call it revision "+next, diag.Set, "revision", next)
	} else {
		f.Fix("if the earlier ones were ordered, write another revision into the project file before you order again")
	}
	return l
}

func sameBytes(a, b bundle.File) bool { return bytes.Equal(a.Data, b.Data) }

// redrawn reports whether packs show different boards: dates and versions are none.
func redrawn(ctx context.Context, board string, a, b []bundle.File) bool {
	was, l := PackFolder(ctx, a)
	is, _ := PackFolder(ctx, b)
	return l.HasErrors() || len(pack.Boards(ctx, board, was, is).Changes) > 0
}

// following is the revision after one that is a letter or a number; empty where that cannot be told.
func following(revision string) string {
	if n, err := strconv.Atoi(revision); err == nil && n >= 0 && n < 1000 {
		return strconv.Itoa(n + 1)
	}
	if len(revision) == 1 && (revision >= "A" && revision < "Z" || revision >= "a" && revision < "z") {
		return string(revision[0] + 1)
	}
	return ""
}
