package desk

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/page/talk"
	"lampblack/export/bundle"
	"lampblack/export/filename"
	"lampblack/export/result"
	"lampblack/panel/work"
)

// Made is what a build made: the result as result.json has it, and the files, with their contents' ids, to be fetched.
type Made struct {
	Result result.Console `json:"result"`
	Files  []Written      `json:"files"`
	Packs  int            `json:"packs"` // panels that got a fabrication pack
}

// Written is a file that a build made, and what it is, in a few words. They come in the order in which people are told of them.
type Written struct {
	talk.Content
	What string `json:"what,omitempty"`
	rank int
}

// Building is what a build takes.
type Building struct {
	Only  string `json:"only,omitempty"`  // the panel whose boards are made; empty: all, and the console's files
	Later bool   `json:"later,omitempty"` // without the files that are only looked at or read: pictures, solids, papers
}

// build does all that the command of that name does.
func build(a *asked) (given, error) {
	out, err := a.built()
	if err != nil {
		return given{}, err
	}
	made := Made{Result: out.Result, Files: []Written{}, Packs: out.Packs}
	if a.engine.home != nil {
		made.Result.Findings = append(made.Result.Findings, result.FindingsOf(a.engine.flow.Reissued(a.ctx, out, a.engine.home.Built))...)
	}
	now, all := map[string]bool{}, result.Files()
	for _, f := range slices.Concat(out.Files, out.Stuck) {
		id := a.engine.keep(f.Data)
		now[id] = true
		what, _ := result.FileAt(f.Path)
		rank := slices.IndexFunc(all, func(g result.File) bool { return g.Name == what.Name })
		made.Files = append(made.Files, Written{talk.Content{ID: id, Path: f.Path, Size: len(f.Data)}, what.What, rank})
	}
	slices.SortStableFunc(made.Files, func(a, b Written) int { return cmp.Compare(a.rank, b.rank) })
	e := a.engine
	e.mu.Lock()
	defer e.mu.Unlock()
	for id := range e.made {
		if !now[id] && !slices.ContainsFunc(deskIDs(a.ask.Desk), func(d string) bool { return d == id }) {
			delete(e.contents, id)
		}
	}
	e.made = now
	return given{gives: made}, nil
}

func deskIDs(d talk.Desk) []string {
	var out []string
	for _, id := range d {
		out = append(out, id)
	}
	return out
}

// built runs the build that the ask is for.
func (a *asked) built() (flow.Outcome, error) {
	var in Building
	if err := a.with(&in); err != nil {
		return flow.Outcome{}, err
	}
	p, l, err := a.project()
	if err != nil {
		return flow.Outcome{}, err
	}
	if l.HasErrors() {
		return flow.Refused(p, l, false, a.engine.version), nil
	}
	set := a.settings(l)
	set.Pack, set.Only, set.Later = true, in.Only, in.Later
	return a.engine.flow.Build(a.ctx, p, set)
}

// supply gives the result as far as currents go, without boards.
func supply(a *asked) (given, error) {
	p, l, err := a.project()
	if err != nil {
		return given{}, err
	}
	if l.HasErrors() {
		return given{gives: flow.Refused(p, l, false, a.engine.version).Result}, nil
	}
	out, err := a.engine.flow.Supply(a.ctx, p, a.settings(l))
	return given{gives: out.Result}, err
}

// Fetch is the ids of contents that are wanted.
type Fetch struct {
	IDs []string `json:"ids"`
}

// fetch gives contents, in the order of their ids.
func fetch(a *asked) (given, error) {
	var in Fetch
	if err := a.with(&in); err != nil {
		return given{}, err
	}
	g := given{gives: struct{}{}}
	var missing lacks
	for _, id := range in.IDs {
		b, err := a.content(id)
		if err != nil {
			missing = append(missing, id)
			continue
		}
		g.files = append(g.files, bundle.File{Data: b})
	}
	if missing != nil {
		return given{}, missing
	}
	return g, nil
}

// Zip says what is to be packed into one file.
type Zip struct {
	What string `json:"what"` // "all": what build writes; "project": the files of the desk
}

// zipped gives one zip: everything that build makes, as its folder out has it, or the project.
func zipped(a *asked) (given, error) {
	var in Zip
	if err := a.with(&in); err != nil {
		return given{}, err
	}
	p, _, err := a.project()
	if err != nil {
		return given{}, err
	}
	var files []bundle.File
	switch in.What {
	case "project":
		for path, id := range a.ask.Desk {
			b, err := a.content(id)
			if err != nil {
				return given{}, err
			}
			files = append(files, bundle.File{Path: path, Data: b})
		}
	case "all":
		a.ask.With = nil
		out, err := a.built()
		if err != nil {
			return given{}, err
		}
		if files = out.Files; out.Packs == 0 {
			return given{}, errors.New("there is no board without an error yet: mend what the findings name, then take the files")
		}
	default:
		return given{}, fmt.Errorf("there is no zip of %q", in.What)
	}
	g := given{gives: struct{}{}}
	work.Until(a.ctx, func(w *work.Watch) {
		g.files = []bundle.File{{Path: filename.Of(p.Console, "console") + ".zip", Data: bundle.Zip(w, files)}}
	})
	return g, nil
}
