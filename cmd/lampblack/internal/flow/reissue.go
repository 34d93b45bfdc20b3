package flow

import (
	"bytes"
	"context"
	"encoding/json"
	"path"
	"slices"
	"strconv"
	"strings"

	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/export/bundle"
	"lampblack/export/compare/pack"
	"lampblack/export/result"
	"lampblack/panel/diag"
)

// reissueIn is the files of a board's pack, of an earlier build and of this one.
type reissueIn struct{ Was, Is []bundle.File }

// Reissued tells which boards of a build are otherwise than an earlier one made them and bear the same revision, so that nobody could
// tell the old from the new. before returns a file of the earlier build's folder. It is for whoever builds: what the files say cannot hang
// on what was there before them. Boards that were compared once are remembered, since a page asks after each edit.
func (e *Engine) Reissued(ctx context.Context, o Outcome, before func(path string) ([]byte, error)) (l diag.List) {
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
		in := reissueIn{old[board], is[board]}
		if len(in.Was) == 0 || slices.EqualFunc(in.Was, in.Is, sameBytes) {
			continue
		}
		other := false
		if f := guard(func() {
			k, err := memo.Do(ctx, e.memory, "reissue", board, in, redrawn)
			other = err == nil && k.Value
		}); f != nil {
			l = append(l, *f)
		}
		if other {
			changed = append(changed, board)
		}
	}
	if len(changed) == 0 || ctx.Err() != nil {
		return l
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
func redrawn(ctx context.Context, in reissueIn) bool {
	was, l := PackFolder(ctx, in.Was)
	is, _ := PackFolder(ctx, in.Is)
	return l.HasErrors() || len(pack.Boards(ctx, "", was, is).Changes) > 0
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
