package bundle

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"lampblack/panel/work"
)

// resultName is the file by which a folder is known to be ours, and that tells what belongs to it.
const resultName = "result.json"

// Owner is what an output folder was made from: a console with its drawings, or a pack.
type Owner struct {
	Console  string
	Drawings []string // their names; folders before them do not matter
	Pack     string   // the archive whose pictures the folder holds
}

// Is reports whether two outputs are of one project: of the same console, with a drawing in common, since a project gains and
// loses panels; or of one pack. A drawing and those that relight made of it count as one.
func (o Owner) Is(p Owner) bool {
	if o.Console != p.Console || o.Pack != p.Pack {
		return false
	}
	return o.Pack != "" || slices.ContainsFunc(o.Drawings, func(d string) bool {
		return slices.ContainsFunc(p.Drawings, func(e string) bool {
			return Original(path.Base(d)) == Original(path.Base(e))
		})
	})
}

func (o Owner) unknown() bool { return o.Console == "" && o.Pack == "" }

// String names the project as a person would know it.
func (o Owner) String() string {
	if o.Pack != "" {
		return "the pack " + o.Pack
	}
	names := make([]string, len(o.Drawings))
	for i, d := range o.Drawings {
		names[i] = path.Base(d)
	}
	slices.Sort(names)
	names = slices.Compact(names)
	if more := len(names) - 3; more > 0 {
		names = append(names[:3], fmt.Sprintf("%d more", more))
	}
	return fmt.Sprintf("%s (%s)", o.Console, strings.Join(names, ", "))
}

// Relit stands between the name of a drawing and its ending where relight wrote it.
const Relit = "-relit"

// Original returns the name of the drawing that relight made this one of: dome.dxf of dome-relit-2.dxf; of any other, its own.
func Original(drawing string) string {
	ext := path.Ext(drawing)
	base := strings.TrimSuffix(drawing, ext)
	if i := strings.LastIndex(base, Relit); i > 0 && strings.Trim(base[i+len(Relit):], "-0123456789") == "" {
		base = base[:i]
	}
	return base + ext
}

// Digests returns the SHA-256 of each file, in hexadecimal digits, by its path.
func Digests(w *work.Watch, files []File) map[string]string {
	out := map[string]string{}
	for _, f := range files {
		w.Look()
		out[f.Path] = digest(f.Data)
	}
	return out
}

func digest(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// output is what the result.json of a folder tells of it.
type output struct {
	owner   Owner
	files   []string          // with result.json; none: the folder is none of ours
	digests map[string]string // by path; a file without one counts as unchanged
}

// another reports whether the output is known to be of another project.
func (o output) another(by Owner) bool { return !o.owner.unknown() && !o.owner.Is(by) }

// outputOf reads the result.json in dir, if there is one of ours.
func outputOf(dir string) (output, error) {
	data, err := os.ReadFile(filepath.Join(dir, resultName))
	if errors.Is(err, fs.ErrNotExist) {
		return output{}, nil
	}
	if err != nil {
		return output{}, err
	}
	var result struct {
		Lampblack string            `json:"lampblack"`
		Console   string            `json:"console"`
		File      string            `json:"file"`
		Files     []string          `json:"files"`
		Digests   map[string]string `json:"digests"`
		Panels    []struct {
			Drawing string   `json:"drawing"`
			Files   []string `json:"files"`
			Boards  []struct {
				Files []string `json:"files"`
			} `json:"boards"`
		} `json:"panels"`
		Orders []struct {
			Files []string `json:"files"`
		} `json:"orders"`
		Nests []struct {
			Files []string `json:"files"`
		} `json:"nests"`
	}
	if json.Unmarshal(data, &result) != nil || result.Lampblack == "" {
		return output{}, nil // a file of that name that is none of ours
	}
	out := output{owner: Owner{Console: result.Console, Pack: result.File}, files: append(result.Files, resultName), digests: result.Digests}
	for _, p := range result.Panels {
		out.owner.Drawings = append(out.owner.Drawings, p.Drawing)
		out.files = append(out.files, p.Files...)
		for _, b := range p.Boards {
			out.files = append(out.files, b.Files...)
		}
	}
	for _, o := range result.Orders {
		out.files = append(out.files, o.Files...)
	}
	for _, n := range result.Nests {
		out.files = append(out.files, n.Files...)
	}
	return out, nil
}

// foreign returns the first file below dir, in the order of their names, that is not part of the output, or "". What systems
// leave in any folder they show does not count.
func (o output) foreign(dir string) (string, error) {
	known := map[string]bool{".DS_Store": true, "Thumbs.db": true, "desktop.ini": true}
	for _, f := range o.files {
		known[f] = true
	}
	found := ""
	err := filepath.WalkDir(dir, func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		rel, err := filepath.Rel(dir, name)
		if err != nil {
			return err
		}
		if rel = filepath.ToSlash(rel); !known[rel] && !known[path.Base(rel)] {
			found = rel
			return fs.SkipAll
		}
		return nil
	})
	return found, err
}

// edited returns the files of the output that are no longer as they were written, in the order of their names. Those that
// are gone do not count.
func (o output) edited(dir string) ([]string, error) {
	var out []string
	for _, f := range o.files {
		want, ok := o.digests[f]
		if !ok {
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(f)))
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, err
		}
		if digest(data) != want {
			out = append(out, f)
		}
	}
	slices.Sort(out)
	return out, nil
}
