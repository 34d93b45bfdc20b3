package desk

import (
	"context"
	"errors"
	"maps"
	"slices"

	"lampblack/cmd/lampblack/internal/page/talk"
	"lampblack/export/bundle"
)

// Home is where a project lies on disk, for an engine that was opened with one. Paths are the desk's; seen is the disk as the page knows
// it, ids by path.
type Home interface {
	Name() string
	Files() []bundle.File
	Built(path string) ([]byte, error) // a file of what the build command wrote the last time
	Assumed() []bundle.File
	Follow(ctx context.Context, seen map[string]string) ([]bundle.File, error)
	Save(seen map[string]string, files []bundle.File) (changed []string, err error)
	Keep(seen map[string]string, files []bundle.File) error
	Drafted() (seen map[string]string, files []bundle.File, gone []string)
}

// At has the engine answer for a project on disk, too.
func (e *Engine) At(h Home) *Engine {
	e.home = h
	return e
}

// Hello is who answers. With a folder, disk has the files that lie there, desk those to begin with: the same, but for a project file
// that bare drawings are taken with; draft is what was not saved the last time. All contents come with it.
type Hello struct {
	Version string    `json:"version"`
	Follows bool      `json:"follows"` // there is a folder, and follow, save and keep are answered
	Folder  string    `json:"folder,omitempty"`
	Disk    talk.Desk `json:"disk,omitempty"`
	Desk    talk.Desk `json:"desk,omitempty"`
	Draft   talk.Desk `json:"draft,omitempty"`
	Stale   []string  `json:"stale,omitempty"` // files of the draft that changed on disk since
}

func hello(a *asked) (given, error) {
	e := a.engine
	if e.home == nil {
		return given{gives: Hello{Version: e.version}}, nil
	}
	files := e.home.Files()
	h := Hello{Version: e.version, Follows: true, Folder: e.home.Name(), Disk: e.laid(files)}
	h.Desk = maps.Clone(h.Disk)
	assumed := e.home.Assumed()
	maps.Copy(h.Desk, e.laid(assumed))
	files = append(files, assumed...)
	if seen, kept, gone := e.home.Drafted(); len(kept)+len(gone) > 0 {
		h.Draft = maps.Clone(h.Desk)
		maps.Copy(h.Draft, e.laid(kept))
		for _, name := range gone {
			delete(h.Draft, name)
		}
		for _, f := range kept {
			if seen[f.Path] != h.Disk[f.Path] && h.Draft[f.Path] != h.Disk[f.Path] {
				h.Stale = append(h.Stale, f.Path)
			}
		}
		files = append(files, kept...)
	}
	return given{gives: h, files: files}, nil
}

// laid has the engine know the files, and returns their ids.
func (e *Engine) laid(files []bundle.File) talk.Desk {
	d := talk.Desk{}
	for _, f := range files {
		d[f.Path] = e.keep(f.Data)
	}
	return d
}

// Seen is what the page knows of the disk.
type Seen struct {
	Disk talk.Desk `json:"disk"`
}

// Disk is what there is on disk now. Changed, of save alone, are files that differ from what the page knows: nothing was written.
type Disk struct {
	Disk    talk.Desk `json:"disk"`
	Changed []string  `json:"changed,omitempty"`
}

// homely reads what the page knows, where there is a folder.
func (a *asked) homely() (in Seen, err error) {
	if a.engine.home == nil {
		return in, errors.New("this page has no folder of its own: take the files as a zip")
	}
	return in, a.with(&in)
}

// follow waits until the disk differs from what the page knows, and gives what is there, with the contents that are new to the page.
func follow(a *asked) (given, error) {
	in, err := a.homely()
	if err != nil {
		return given{}, err
	}
	files, err := a.engine.home.Follow(a.ctx, in.Disk)
	if err != nil {
		return given{}, err
	}
	return a.engine.disk(files, in, nil), nil
}

// disk tells what is on disk.
func (e *Engine) disk(files []bundle.File, in Seen, changed []string) given {
	now := e.laid(files)
	files = slices.DeleteFunc(files, func(f bundle.File) bool { return now[f.Path] == in.Disk[f.Path] })
	return given{gives: Disk{now, changed}, files: files}
}

// save writes the desk's files into the folder.
func save(a *asked) (given, error) {
	in, err := a.homely()
	if err != nil {
		return given{}, err
	}
	files, err := a.laidOut()
	if err != nil {
		return given{}, err
	}
	changed, err := a.engine.home.Save(in.Disk, files)
	if err != nil {
		return given{}, err
	}
	return a.engine.disk(a.engine.home.Files(), in, changed), nil
}

// keep has the desk's files as a draft beside the project.
func keep(a *asked) (given, error) {
	in, err := a.homely()
	if err != nil {
		return given{}, err
	}
	files, err := a.laidOut()
	if err != nil {
		return given{}, err
	}
	return given{gives: struct{}{}}, a.engine.home.Keep(in.Disk, files)
}

// laidOut are the desk's files with their contents.
func (a *asked) laidOut() ([]bundle.File, error) {
	if err := a.whole(); err != nil {
		return nil, err
	}
	var out []bundle.File
	for _, name := range slices.Sorted(maps.Keys(a.ask.Desk)) {
		b, err := a.content(a.ask.Desk[name])
		if err != nil {
			return nil, err
		}
		out = append(out, bundle.File{Path: name, Data: b})
	}
	return out, nil
}
