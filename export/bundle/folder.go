package bundle

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"

	"lampblack/panel/work"
)

// ErrForeign is the error of Swap when the folder to be replaced holds something that is not an earlier output.
var ErrForeign = errors.New("the folder holds something that lampblack did not write")

// resultName is the file by which a folder is known to be ours, and that tells what belongs to it.
const resultName = "result.json"

// Swap puts the files into dir in place of what it held, all or none.
//
// They are written to a temporary folder beside dir, on the same file system, and renamed in whole. Until that moment dir
// is untouched; if the renaming fails, the old folder is put back. A dir that is a link is replaced where it points.
func Swap(dir string, files []File) (err error) {
	if err := check(files); err != nil {
		return err
	}
	dir, exists, err := target(dir)
	if err != nil {
		return err
	}
	parent := filepath.Dir(dir)
	if err := os.MkdirAll(parent, 0o777); err != nil {
		return fmt.Errorf("make the folder for the output: %w", err)
	}
	work, err := os.MkdirTemp(parent, "."+filepath.Base(dir)+"-*")
	if err != nil {
		return fmt.Errorf("make a temporary folder beside the output: %w", err)
	}
	defer func() {
		if e := os.RemoveAll(work); e != nil && err == nil {
			err = fmt.Errorf("the output is in place, but its old content could not be removed: %w", e)
		}
	}()
	fresh, old := filepath.Join(work, "new"), filepath.Join(work, "old")
	if err := writeAll(fresh, files); err != nil {
		return err
	}
	if exists {
		if err := os.Rename(dir, old); err != nil {
			return fmt.Errorf("move the old output away: %w", err)
		}
	}
	if err := os.Rename(fresh, dir); err != nil {
		err = fmt.Errorf("move the new output into place: %w", err)
		if exists {
			if back := os.Rename(old, dir); back != nil {
				// Rather a stray folder than a lost one.
				kept := work + "-saved"
				return errors.Join(err, fmt.Errorf("put the old output back: %w", back), os.Rename(old, kept),
					fmt.Errorf("the old output is kept in %s", kept))
			}
		}
		return err
	}
	syncDir(parent)
	return nil
}

// target returns the absolute path of the folder to be replaced, and whether it is there.
func target(dir string) (string, bool, error) {
	abs, err := filepath.Abs(dir)
	if err != nil {
		return "", false, fmt.Errorf("find the output folder: %w", err)
	}
	real, err := filepath.EvalSymlinks(abs)
	if errors.Is(err, fs.ErrNotExist) {
		if _, e := os.Lstat(abs); e == nil {
			return "", false, fmt.Errorf("write to %s: it is a link that leads nowhere", dir)
		}
		return abs, false, nil
	}
	if err != nil {
		return "", false, fmt.Errorf("find the output folder: %w", err)
	}
	if filepath.Dir(real) == real {
		return "", false, fmt.Errorf("write to %s: it is the root of the file system", dir)
	}
	foreign, err := Foreign(real)
	if err != nil {
		return "", false, fmt.Errorf("look into the output folder: %w", err)
	}
	if foreign != "" {
		return "", false, fmt.Errorf("write to %s: %w (%s); choose another folder, or move that away", dir, ErrForeign, foreign)
	}
	return real, true, nil
}

// Foreign returns the first file below dir, in the order of their names, that is not part of an earlier output, or "". What
// an earlier output wrote stands in its result.json; what systems leave in any folder they show does not count.
func Foreign(dir string) (string, error) {
	known := map[string]bool{".DS_Store": true, "Thumbs.db": true, "desktop.ini": true}
	listed, err := Listed(dir)
	if err != nil {
		return "", err
	}
	for _, f := range listed {
		known[f] = true
	}
	found := ""
	err = filepath.WalkDir(dir, func(name string, e fs.DirEntry, err error) error {
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

// Listed returns the files that the output in dir says it consists of, nil when there is none.
func Listed(dir string) ([]string, error) {
	data, err := os.ReadFile(filepath.Join(dir, resultName))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var result struct {
		Lampblack string   `json:"lampblack"`
		Files     []string `json:"files"`
		Panels    []struct {
			Files []string `json:"files"`
		} `json:"panels"`
		Orders []struct {
			Files []string `json:"files"`
		} `json:"orders"`
	}
	if json.Unmarshal(data, &result) != nil || result.Lampblack == "" {
		return nil, nil // a file of that name that is none of ours
	}
	out := append(result.Files, resultName)
	for _, p := range result.Panels {
		out = append(out, p.Files...)
	}
	for _, o := range result.Orders {
		out = append(out, o.Files...)
	}
	return out, nil
}

// writers is how many files are written at a time: most of the time goes into waiting for the disk.
const writers = 8

// writeAll writes the files below dir, which it makes, and flushes them to the disk.
func writeAll(dir string, files []File) error {
	if err := os.Mkdir(dir, 0o777); err != nil {
		return fmt.Errorf("make a folder of the output: %w", err)
	}
	for _, f := range files {
		if err := os.MkdirAll(filepath.Join(dir, filepath.FromSlash(path.Dir(f.Path))), 0o777); err != nil {
			return fmt.Errorf("make a folder of the output: %w", err)
		}
	}
	failed := make([]error, len(files))
	work.Side(min(writers, len(files)), func(w int) {
		for i := w; i < len(files); i += writers {
			if err := writeFile(filepath.Join(dir, filepath.FromSlash(files[i].Path)), files[i].Data); err != nil {
				failed[i] = fmt.Errorf("write %s: %w", files[i].Path, err)
			}
		}
	})
	for _, err := range failed {
		if err != nil {
			return err
		}
	}
	return nil
}

func writeFile(name string, data []byte) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}

// syncDir makes a rename in the folder last through a power cut. Systems that cannot flush a folder refuse, and lose
// nothing by it that we could mend.
func syncDir(dir string) {
	if f, err := os.Open(dir); err == nil {
		_ = f.Sync()
		_ = f.Close()
	}
}
