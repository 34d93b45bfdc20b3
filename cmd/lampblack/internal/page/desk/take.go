package desk

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strconv"
	"strings"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/bundle"
	"lampblack/panel/diag"
)

// Taking names files that already lie on the desk and are to be taken into the project.
type Taking struct {
	Paths []string `json:"paths"`
}

// Bounds of what is taken: of a file and of a zip's contents, bytes, and how many files.
const (
	mostFile  = 64 << 20
	mostZip   = 256 << 20
	mostFiles = 2000
)

const mostNamed = 4 // of the drawings that were taken, in the words that say so

// take takes files in. A drawing that the project does not name becomes a panel of it, at the end of its chain; where there is no
// project one is begun. A zip is unpacked: the folder that holds all of it is stripped, and what a build wrote, below out, is left.
// Whatever else lies there, fonts and the like, stays. It answers with Told.
func take(a *asked) (given, error) {
	var in Taking
	if err := a.with(&in); err != nil {
		return given{}, err
	}
	if err := a.whole(); err != nil {
		return given{}, err
	}
	t := taking{asked: a, now: map[string][]byte{}}
	for _, name := range in.Paths {
		b, err := a.read(name)
		if errors.Is(err, fs.ErrNotExist) {
			return given{}, fmt.Errorf("there is no %s on the desk", name)
		}
		if err != nil {
			return given{}, err
		}
		if len(b) > mostFile {
			return given{}, fmt.Errorf("%s has %d MB: at most %d MB are taken", name, len(b)>>20, mostFile>>20)
		}
		if bytes.HasPrefix(b, []byte("PK\x03\x04")) || bytes.HasPrefix(b, []byte("PK\x05\x06")) {
			if err := t.unpack(name, b); err != nil {
				return given{}, err
			}
			continue
		}
		t.paths = append(t.paths, name)
	}
	t.stripped()
	if err := t.drawings(); err != nil {
		return given{}, err
	}
	g := given{gives: Told{Words: strings.Join(t.words, "; "), Gone: t.gone}}
	for _, f := range t.files {
		g.files = append(g.files, bundle.File{Path: f, Data: t.now[f]})
	}
	return g, nil
}

// taking is files on their way in.
type taking struct {
	asked *asked
	paths []string          // that are taken
	now   map[string][]byte // of files that the answer lays
	files []string          // their paths, in order
	gone  []string
	words []string
}

func (t *taking) lay(name string, b []byte) {
	if t.now[name] == nil {
		t.files = append(t.files, name)
	}
	t.now[name] = append([]byte{}, b...)
}

// has reports whether there is such a file, now.
func (t *taking) has(name string) bool {
	_, on := t.asked.ask.Desk[name]
	return t.now[name] != nil || on && !slices.Contains(t.gone, name)
}

func (t *taking) read(name string) ([]byte, error) {
	if b := t.now[name]; b != nil {
		return b, nil
	}
	return t.asked.read(name)
}

// unpack takes the files of a zip out of it.
func (t *taking) unpack(name string, b []byte) error {
	r, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		return fmt.Errorf("%s cannot be unpacked: %w", name, err)
	}
	type file struct {
		path string
		data []byte
	}
	var all []file
	total := 0
	for _, f := range r.File {
		p := strings.ReplaceAll(f.Name, `\`, "/")
		if strings.HasSuffix(p, "/") {
			continue
		}
		if path.IsAbs(p) || strings.Contains(p, ":") || !fs.ValidPath(path.Clean(p)) || slices.Contains(strings.Split(p, "/"), "..") {
			return fmt.Errorf("%s names a file outside its folder, %q: it is not unpacked", name, f.Name)
		}
		if p = path.Clean(p); hidden(p) {
			continue
		}
		if len(all) == mostFiles {
			return fmt.Errorf("%s holds more than %d files: zip the project's folder alone", name, mostFiles)
		}
		if f.UncompressedSize64 > mostFile {
			return tooLarge(name, p)
		}
		rc, err := f.Open()
		if err != nil {
			return fmt.Errorf("%s cannot be unpacked: %s: %w", name, p, err)
		}
		data, err := io.ReadAll(io.LimitReader(rc, mostFile+1))
		rc.Close()
		switch {
		case err != nil:
			return fmt.Errorf("%s cannot be unpacked: %s: %w", name, p, err)
		case len(data) > mostFile:
			return tooLarge(name, p)
		}
		if total += len(data); total > mostZip {
			return fmt.Errorf("%s holds more than %d MB: zip the project's folder alone", name, mostZip>>20)
		}
		all = append(all, file{p, data})
	}
	var paths []string
	for _, f := range all {
		paths = append(paths, f.path)
	}
	head := common(paths)
	n := 0
	for _, f := range all {
		p := strings.TrimPrefix(f.path, head)
		if strings.HasPrefix(p, "out/") {
			continue
		}
		if p == project.FileName && t.has(p) {
			return fmt.Errorf("%s holds a project, and there is one already: begin anew to open it", name)
		}
		if t.has(p) && !bytes.Equal(t.held(p), f.data) {
			return fmt.Errorf("%s holds another %s than there is: rename one of them", name, p)
		}
		t.lay(p, f.data)
		t.paths = append(t.paths, p)
		n++
	}
	t.gone = append(t.gone, cleaned(name))
	t.words = append(t.words, fmt.Sprintf("%s was unpacked: %s", path.Base(name), counted(n, "file", "files")))
	return nil
}

func (t *taking) held(name string) []byte {
	b, _ := t.read(name)
	return b
}

func tooLarge(name, p string) error {
	return fmt.Errorf("%s holds %s, which has more than %d MB: it is not unpacked", name, p, mostFile>>20)
}

// hidden reports what systems put beside the files of people.
func hidden(p string) bool {
	return slices.ContainsFunc(strings.Split(p, "/"), func(s string) bool { return strings.HasPrefix(s, ".") || s == "__MACOSX" })
}

// common returns the folder that holds all files, with a slash.
func common(paths []string) string {
	if len(paths) == 0 {
		return ""
	}
	head, _, ok := strings.Cut(paths[0], "/")
	for _, p := range paths {
		ok = ok && strings.HasPrefix(p, head+"/")
	}
	if !ok {
		return ""
	}
	return head + "/"
}

// stripped moves the files of a folder that was dropped with a project in it to where the project is.
func (t *taking) stripped() {
	if t.has(project.FileName) {
		return
	}
	head := common(t.paths)
	if head == "" || !slices.Contains(t.paths, head+project.FileName) {
		return
	}
	for i, p := range t.paths {
		b := t.held(p)
		t.paths[i] = strings.TrimPrefix(p, head)
		if t.now[p] != nil {
			delete(t.now, p)
			t.files = slices.DeleteFunc(t.files, func(f string) bool { return f == p })
		} else {
			t.gone = append(t.gone, p)
		}
		t.lay(t.paths[i], b)
	}
}

// drawings takes drawings that the project does not name as panels.
func (t *taking) drawings() error {
	var more []string
	for _, p := range t.paths {
		if p = cleaned(p); strings.EqualFold(path.Ext(p), ".dxf") && !strings.HasPrefix(p, "out/") {
			more = append(more, p)
		}
	}
	slices.Sort(more)
	more = slices.Compact(more)
	var src []byte
	var p project.Project
	if t.has(project.FileName) {
		var err error
		if src, err = t.read(project.FileName); err != nil {
			return err
		}
		p, _ = project.Read(src, project.FileName)
		more = slices.DeleteFunc(more, func(d string) bool {
			for i := range p.Panels {
				if cleaned(p.Path(i)) == d {
					return true
				}
			}
			return project.Mentions(src, d)
		})
	}
	if len(more) == 0 {
		return nil
	}
	taken := map[string]bool{}
	for _, q := range p.Panels {
		taken[strings.ToLower(q.Name)] = true
	}
	var names []string
	free := func(d string) string {
		name := project.NameOf(d)
		for n := 2; taken[strings.ToLower(name)]; n++ {
			name = project.NameOf(d) + "-" + strconv.Itoa(n)
		}
		taken[strings.ToLower(name)] = true
		names = append(names, name)
		return name
	}
	if src == nil {
		p, _ = project.Bare(more[:1])
		src = p.YAML("")
		free(more[0])
		p, _ = project.Read(src, project.FileName)
		more = more[1:]
	}
	var changes []diag.Change
	for _, d := range more {
		name := free(d)
		changes = append(changes, diag.Change{At: "panels", Do: diag.Add, Value: diag.Pairs{{Key: "name", Value: name}, {Key: "drawing", Value: d}}})
		switch n := len(p.Chains); {
		case p.Has("chain"):
			changes = append(changes, diag.Change{At: "chain", Do: diag.Add, Value: name})
		case p.Has("chains") && n > 0:
			at := "chains." + strconv.Itoa(n-1)
			if p.Has(at + ".boards") {
				at += ".boards"
			}
			changes = append(changes, diag.Change{At: at, Do: diag.Add, Value: name})
		}
	}
	src, err := project.Edited(src, project.FileName, changes)
	if err != nil {
		return err
	}
	t.lay(project.FileName, src)
	become := "a panel"
	if len(names) > 1 {
		become = "panels"
	}
	told := names
	if n := len(names); n > mostNamed {
		told = append(slices.Clone(names[:mostNamed-1]), strconv.Itoa(n-mostNamed+1)+" more")
	}
	t.words = append(t.words, fmt.Sprintf("%s became %s: %s", counted(len(names), "drawing", "drawings"), become, diag.Listed(told)))
	return nil
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}
