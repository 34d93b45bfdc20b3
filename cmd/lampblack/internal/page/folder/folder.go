// Package folder is the project on disk that the workshop was opened with: what of it the page gets, what is followed, what is written.
//
// Paths are those of the page's desk: as the project file names things, with slashes, seen from the project's folder. Reachable are the
// project file and what it names, nothing else. Written are the project file and drawings below the folder, only by Save, whole or not
// at all, and never over a content that the page has not seen; beside them one file of ours, Draft, in which Keep has what is not saved.
package folder

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/bundle"
	"lampblack/export/filename"
)

// Draft is the name of the file beside the project that has what was changed in the page and is not saved.
const Draft = ".lampblack-draft.json"

// Folder is a project's folder. It is safe for several goroutines.
type Folder struct {
	dir  string
	file string        // of the project, below dir
	bare []bundle.File // the project file that is assumed, as long as there is none, of bare drawings

	mu    sync.Mutex // of what is written
	known map[string]read
}

// read is a file as it was read.
type read struct {
	stat stat
	data []byte
}

// stat tells whether a file changed.
type stat struct {
	size int64
	at   time.Time
}

// Of returns the folder of a project that was opened from a file; or of drawings in dir without one, with the project as it is assumed.
func Of(p project.Project, dir string) *Folder {
	f := &Folder{dir: dir, file: project.FileName, known: map[string]read{}}
	if p.File != "" {
		f.file = filepath.Base(p.File)
	} else {
		f.bare = []bundle.File{{Path: project.FileName, Data: p.YAML(dir)}}
	}
	return f
}

// Built returns a file of the folder that the build command writes to unless told another; the page never gets it.
func (f *Folder) Built(name string) ([]byte, error) {
	return os.ReadFile(filepath.Join(f.dir, "out", filepath.FromSlash(name)))
}

// Name is the folder's, for people.
func (f *Folder) Name() string {
	if abs, err := filepath.Abs(f.dir); err == nil {
		return abs
	}
	return f.dir
}

// Assumed is the project file of bare drawings, which is not on disk; none where there is one.
func (f *Folder) Assumed() []bundle.File {
	if _, err := os.Stat(f.on(project.FileName)); err == nil {
		return nil
	}
	return f.bare
}

// on is where a path of the desk is on disk.
func (f *Folder) on(name string) string {
	if name == project.FileName {
		name = f.file
	}
	if filepath.IsAbs(filepath.FromSlash(name)) {
		return filepath.FromSlash(name)
	}
	return filepath.Join(f.dir, filepath.FromSlash(name))
}

// Files are the project file and what it names, as far as that is there.
func (f *Folder) Files() []bundle.File {
	f.mu.Lock()
	defer f.mu.Unlock()
	var out []bundle.File
	src, err := f.read(project.FileName)
	if err == nil {
		out = append(out, bundle.File{Path: project.FileName, Data: src})
	} else {
		for _, b := range f.bare {
			src = b.Data
		}
	}
	for _, name := range named(src) {
		if data, err := f.read(name); err == nil {
			out = append(out, bundle.File{Path: name, Data: data})
		}
	}
	return out
}

// named are the paths that a project file names. A file that cannot be read in full names what of it can be.
func named(src []byte) []string {
	p, _ := project.Read(src, project.FileName)
	var out []string
	for i := range p.Panels {
		if p.Panels[i].Drawing != "" {
			out = append(out, p.Path(i))
		}
	}
	out = append(out, p.Beside()...)
	for i := range out {
		out[i] = path.Clean(filepath.ToSlash(out[i]))
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// read returns a file's content; what did not change is not read again.
func (f *Folder) read(name string) ([]byte, error) {
	st, err := os.Stat(f.on(name))
	if err != nil {
		return nil, err
	}
	now := stat{st.Size(), st.ModTime()}
	if was, ok := f.known[name]; ok && was.stat == now {
		return was.data, nil
	}
	data, err := flow.ReadFile(f.on(name))
	if err != nil {
		return nil, err
	}
	f.known[name] = read{now, data}
	return data, nil
}

// Pauses of Follow: how often it looks, and for how long files must be as they are.
const (
	look  = 150 * time.Millisecond
	still = 300 * time.Millisecond
)

// Follow waits until what is on disk differs from seen, ids by path, and has been still for a while. It returns all that is there then,
// or ctx's error. A program that saves by writing another file and renaming it lets a file be gone for a moment: that is waited for.
func (f *Folder) Follow(ctx context.Context, seen map[string]string) ([]bundle.File, error) {
	tick := time.NewTicker(look)
	defer tick.Stop()
	var last map[string]stat
	var since time.Time
	compared := false // files as they are now are as seen has them
	for {
		if now := f.stats(seen); last == nil || !maps.Equal(now, last) {
			last, since, compared = now, time.Now(), false
		} else if !compared && time.Since(since) >= still {
			files := f.Files()
			if compared = maps.Equal(f.stats(seen), last); compared && !maps.Equal(ids(files), seen) {
				return files, nil
			}
		}
		select {
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-tick.C:
		}
	}
}

// stats are of all that is named, and of what was seen.
func (f *Folder) stats(seen map[string]string) map[string]stat {
	f.mu.Lock()
	defer f.mu.Unlock()
	out := map[string]stat{}
	names := []string{project.FileName}
	for name := range seen {
		names = append(names, name)
	}
	if src, ok := f.known[project.FileName]; ok {
		names = append(names, named(src.data)...)
	}
	for _, name := range names {
		if st, err := os.Stat(f.on(name)); err == nil {
			out[name] = stat{st.Size(), st.ModTime()}
		}
	}
	return out
}

// id is the id of a content, as an engine gives it.
func id(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

func ids(files []bundle.File) map[string]string {
	out := map[string]string{}
	for _, f := range files {
		out[f.Path] = id(f.Data)
	}
	return out
}

// Save writes what differs from seen, the disk as the page knows it, and does away with the draft. Where a file is no longer as seen has
// it nothing is written, and their paths are returned. Files that the page no longer has stay on disk.
func (f *Folder) Save(seen map[string]string, files []bundle.File) (changed []string, err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	var write []bundle.File
	for _, file := range files {
		if seen[file.Path] == id(file.Data) {
			continue
		}
		if err := f.writable(file.Path); err != nil {
			return nil, err
		}
		now, err := flow.ReadFile(f.on(file.Path))
		switch {
		case errors.Is(err, fs.ErrNotExist) && seen[file.Path] == "":
		case err == nil && (id(now) == seen[file.Path] || bytes.Equal(now, file.Data)):
		case err != nil && !errors.Is(err, fs.ErrNotExist):
			return nil, err
		default:
			changed = append(changed, file.Path)
			continue
		}
		write = append(write, file)
	}
	if changed != nil {
		return changed, nil
	}
	// The project file comes last: what it names is there by then.
	slices.SortStableFunc(write, func(a, b bundle.File) int {
		return strings.Compare(order(a.Path), order(b.Path))
	})
	for _, file := range write {
		if err := bundle.Save(f.on(file.Path), func(now []byte) bool {
			return id(now) == seen[file.Path] || bytes.Equal(now, file.Data)
		}, file.Data); err != nil {
			return nil, err
		}
	}
	return nil, f.forget()
}

func order(name string) string {
	if name == project.FileName {
		return "2"
	}
	return "1" + name
}

// writable refuses paths that the page has no business with.
func (f *Folder) writable(name string) error {
	if name == project.FileName {
		return nil
	}
	clean := path.Clean(name)
	ext := strings.ToLower(path.Ext(clean))
	if clean != name || !filepath.IsLocal(filepath.FromSlash(name)) || strings.Contains(name, `\`) || ext != ".dxf" && !project.FontFile(name) ||
		strings.HasPrefix(strings.ToLower(name), "out/") {
		return fmt.Errorf("%s is not written: only drawings and fonts in the project's folder are", name)
	}
	if _, err := os.Lstat(f.on(name)); err != nil { // what the user has, he has
		for part := range strings.SplitSeq(name, "/") {
			if why := filename.Why(part); why != "" {
				return fmt.Errorf("%s is not written: the name %s %s; rename it", name, part, why)
			}
		}
	}
	// Nor through a link out of the folder.
	dir, err := filepath.EvalSymlinks(f.dir)
	if err != nil {
		return err
	}
	for at := f.on(name); ; at = filepath.Dir(at) {
		real, err := filepath.EvalSymlinks(at)
		if errors.Is(err, fs.ErrNotExist) {
			if _, err := os.Lstat(at); err == nil {
				return fmt.Errorf("%s is not written: it is a link to nothing", name)
			}
			continue
		}
		if err != nil {
			return err
		}
		if rel, err := filepath.Rel(dir, real); err != nil || !filepath.IsLocal(rel) {
			return fmt.Errorf("%s is not written: it leads out of the project's folder", name)
		}
		return nil
	}
}

// draft is what the file of that name has.
type draft struct {
	About string            `json:"about"`
	Seen  map[string]string `json:"seen"`           // the disk that it began from
	Files map[string][]byte `json:"files"`          // that differ from it
	Gone  []string          `json:"gone,omitempty"` // of the disk, that the page has no more
}

// Keep writes the page's files as a draft; where they are as seen has them, there is none.
func (f *Folder) Keep(seen map[string]string, files []bundle.File) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	d := draft{About: "What was changed in Lampblack's workshop and is not saved yet. It may be deleted.", Seen: seen, Files: map[string][]byte{}}
	now := ids(files)
	for _, file := range files {
		if seen[file.Path] != now[file.Path] {
			d.Files[file.Path] = file.Data
		}
	}
	for name := range seen {
		if now[name] == "" {
			d.Gone = append(d.Gone, name)
		}
	}
	slices.Sort(d.Gone)
	if len(d.Files)+len(d.Gone) == 0 {
		return f.forget()
	}
	data, err := json.Marshal(d)
	if err != nil {
		return err
	}
	return bundle.Save(filepath.Join(f.dir, Draft), func([]byte) bool { return true }, data)
}

// forget does away with the draft.
func (f *Folder) forget() error { return bundle.Drop(filepath.Join(f.dir, Draft)) }

// Drafted returns the files of the draft and the disk that it began from; none where there is no draft, or it cannot be read.
func (f *Folder) Drafted() (seen map[string]string, files []bundle.File, gone []string) {
	src, err := flow.ReadFile(filepath.Join(f.dir, Draft))
	if err != nil {
		return nil, nil, nil
	}
	var d draft
	if json.Unmarshal(src, &d) != nil {
		return nil, nil, nil
	}
	for name, data := range d.Files {
		files = append(files, bundle.File{Path: name, Data: data})
	}
	slices.SortFunc(files, func(a, b bundle.File) int { return strings.Compare(a.Path, b.Path) })
	return d.Seen, files, d.Gone
}
