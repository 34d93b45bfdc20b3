package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/bundle"
	"lampblack/export/readback"
	"lampblack/export/result"
	"lampblack/panel/diag"
)

// side is what compare sets against another: a console with its files, or a pack alone.
type side struct {
	name    string
	console *result.Console
	files   map[string][]byte // of a console, below its output folder
	pack    *readback.Pack    // alone
	partly  string            // what is wrong with that one's files

	unsealed bool // nothing proves that its result.json is as it was written
}

// sides reads both. Projects are built last, under the date of the other side.
func (a *app) sides(ctx context.Context, names [2]string) (both [2]side, err error) {
	var date time.Time
	var built []int
	for i, name := range names {
		both[i].name = name
		ok, err := both[i].read(ctx)
		switch {
		case err != nil:
			return both, failed("%s cannot be compared: %w", name, err)
		case !ok:
			built = append(built, i)
		case both[i].console != nil:
			if date, err = dateOf(*both[i].console); err != nil {
				return both, failed("%s cannot be compared: %w", name, err)
			}
		}
	}
	for _, i := range built {
		done, err := a.inMemory(ctx, names[i], date)
		if err != nil {
			return both, err
		}
		both[i].console, both[i].files = &done.Result, map[string][]byte{}
		for _, f := range done.Files {
			both[i].files[f.Path] = f.Data
		}
		if date, err = dateOf(done.Result); err != nil {
			return both, failed("%s cannot be compared: %w", names[i], err)
		}
	}
	return both, nil
}

// read reads a pack or an output folder; ok is false where the side is neither, but a project or a drawing.
func (s *side) read(ctx context.Context) (ok bool, err error) {
	st, err := os.Stat(s.name)
	switch {
	case err != nil && strings.EqualFold(filepath.Ext(s.name), ".zip"):
		return false, fmt.Errorf("there is no such pack: %w", cause(err))
	case err != nil:
		return false, nil // whoever opens it as a project tells
	}
	has := func(name string) bool { _, err := os.Stat(filepath.Join(s.name, name)); return err == nil }
	switch {
	case !st.IsDir() && strings.EqualFold(filepath.Ext(s.name), ".zip"):
		src, err := flow.ReadFile(s.name)
		if err != nil {
			return false, cause(err)
		}
		p, l := flow.PackZip(ctx, s.name, src)
		return true, s.alone(p, l)
	case !st.IsDir() || has(project.FileName):
		return false, nil
	case has(string(result.ResultJSON)):
		return true, s.output()
	}
	files, err := folderOf(s.name)
	if err != nil {
		return false, err
	}
	p, l := flow.PackFolder(ctx, files)
	if !slices.ContainsFunc(p.Files, func(e readback.Entry) bool { return e.Kind == "gerber" }) {
		return false, fmt.Errorf("it has neither a %s nor a %s, and holds no layers of a board: name a project, an output folder, a pack, or the folder %s of one", project.FileName, result.ResultJSON, result.PackFolder)
	}
	return true, s.alone(p, l)
}

// alone takes a pack as the side. One without any layer is none.
func (s *side) alone(p readback.Pack, l diag.List) error {
	if len(p.Artwork.Layers) == 0 {
		for _, f := range l {
			if f.Severity == diag.Error {
				return fmt.Errorf("%s", f.Text)
			}
		}
		return fmt.Errorf("it holds no layer of a board that could be read")
	}
	s.pack, s.partly = &p, unread(l)
	return nil
}

// unread says what is wrong with a pack's files, if anything is.
func unread(l diag.List) string {
	var all []string
	for _, f := range l {
		if f.Severity == diag.Error {
			all = append(all, f.Text)
		}
	}
	switch len(all) {
	case 0:
		return ""
	case 1:
		return all[0]
	}
	return fmt.Sprintf("%s, and %d more", all[0], len(all)-1)
}

// folderOf reads the files of one folder, as many and as large as a pack may be.
func folderOf(dir string) ([]bundle.File, error) {
	all, err := os.ReadDir(dir)
	if err != nil {
		return nil, cause(err)
	}
	var files []bundle.File
	for _, e := range all {
		if e.Type()&fs.ModeType != 0 {
			continue
		}
		if len(files) == flow.MostEntries {
			return nil, fmt.Errorf("it holds more than %d files, which no pack does", flow.MostEntries)
		}
		b, err := flow.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			return nil, fmt.Errorf("its file %s cannot be read: %w", result.Printable(e.Name()), cause(err))
		}
		files = append(files, bundle.File{Path: e.Name(), Data: b})
	}
	return files, nil
}

// output reads the output folder of an earlier build. Files that are gone or were edited since are an error: what lies there is not
// what result.json tells of.
func (s *side) output() error {
	file := filepath.Join(s.name, string(result.ResultJSON))
	src, err := flow.ReadFile(file)
	if err != nil {
		return fmt.Errorf("it has no readable %s: %w", result.ResultJSON, cause(err))
	}
	c, err := consoleOf(src)
	if err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	switch result.SealOf(src) {
	case result.Broken:
		return fmt.Errorf("its %s was edited since it was built, so that it tells of another console than the files: build it again, or put the file back", result.ResultJSON)
	case result.Unsealed:
		s.unsealed = true
	}
	s.files = map[string][]byte{}
	for _, f := range slices.Sorted(maps.Keys(c.Digests)) {
		if !filepath.IsLocal(filepath.FromSlash(f)) {
			return fmt.Errorf("%s names a file outside its folder: %q", file, result.Printable(f))
		}
		b, err := flow.ReadFile(filepath.Join(s.name, filepath.FromSlash(f)))
		if err != nil {
			return fmt.Errorf("its file %s cannot be read: %w", result.Printable(f), cause(err))
		}
		if bundle.Digests(nil, []bundle.File{{Path: f, Data: b}})[f] != c.Digests[f] {
			return fmt.Errorf("its file %s was changed since it was built: build it again, or put the file back", result.Printable(f))
		}
		s.files[f] = b
	}
	s.console = &c
	return nil
}

// consoleOf reads a result.json, also one of anybody's making.
func consoleOf(src []byte) (result.Console, error) {
	var c result.Console
	if err := json.Unmarshal(src, &c); err != nil {
		return c, err
	}
	if c.Lampblack == "" || len(c.Panels) == 0 {
		return c, fmt.Errorf("it does not tell of a console and its panels")
	}
	return c, nil
}

// inMemory builds a project or a drawing. One with errors in what it says is no side to compare.
func (a *app) inMemory(ctx context.Context, name string, date time.Time) (flow.Outcome, error) {
	o, err := a.open([]string{name}, "")
	if err != nil {
		return flow.Outcome{}, err
	}
	done, err := a.work(o, func(p project.Project, set flow.Settings) (flow.Outcome, error) {
		set.Date, set.Pack = date, true
		return flow.Build(ctx, p, set)
	})
	if err != nil {
		return flow.Outcome{}, err
	}
	if done.Unreadable || o.findings.HasErrors() || done.Packs == 0 && done.Findings.HasErrors() {
		_ = a.tell(done.Findings, true)
		return flow.Outcome{}, failed("%s cannot be compared: it could not be built", name)
	}
	return done, nil
}

func dateOf(c result.Console) (time.Time, error) {
	if c.Date == "" {
		return time.Time{}, nil
	}
	return project.ParseDate(c.Date)
}

// packFiles returns the files of the pack of one of a console's boards, in the order of their names.
func (s side) packFiles(board string) []bundle.File {
	dir := path.Join(board, result.PackFolder)
	var files []bundle.File
	for _, name := range slices.Sorted(maps.Keys(s.files)) {
		if path.Dir(name) == dir {
			files = append(files, bundle.File{Path: name, Data: s.files[name]})
		}
	}
	return files
}

// boards names the boards of a console that have packs.
func (s side) boards() []string {
	var out []string
	for name := range s.files {
		if dir, ok := strings.CutSuffix(path.Dir(name), "/"+strings.TrimSuffix(result.PackFolder, "/")); ok && !slices.Contains(out, dir) {
			out = append(out, dir)
		}
	}
	slices.Sort(out)
	return out
}
