package bundle

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"

	"lampblack/panel/work"
)

// Folder is a folder for the files of a whole output, which is replaced whole.
type Folder struct {
	Dir     string
	By      Owner    // what the files are made from
	Inputs  []string // the files that are read, which must stay where they are, as must the folder that the user stands in
	Replace bool     // the user said so: also the output of another project, and files of ours that were edited
}

// Listed returns the files that the output in the folder says it consists of, none when there is no such.
func (f Folder) Listed() ([]string, error) {
	o, err := outputOf(f.Dir)
	return o.files, err
}

// Check tells beforehand what Swap would fail of: by a *Refusal where something would be lost, by another error where the
// folder cannot be written.
func (f Folder) Check() error {
	dir, _, err := f.target()
	if err != nil {
		return err
	}
	// The folders above it need not be there yet.
	parent := filepath.Dir(dir)
	for {
		_, err := os.Stat(parent)
		if err == nil {
			break
		}
		if up := filepath.Dir(parent); up != parent && errors.Is(err, fs.ErrNotExist) {
			parent = up
			continue
		}
		return fmt.Errorf("find the folder for the output: %w", err)
	}
	try, err := os.MkdirTemp(parent, ".lampblack-*")
	if err != nil {
		return fmt.Errorf("make a temporary folder beside the output: %w", err)
	}
	return os.Remove(try)
}

// Swap puts the files into the folder in place of what it held, all or none.
//
// They are written to a temporary folder beside it, on the same file system, and renamed in whole. Until that moment the
// folder is untouched; if the renaming fails, the old one is put back. A folder that is a link is replaced where it points.
// Where that would lose what is not ours, the error is a *Refusal.
func (f Folder) Swap(files []File) (err error) {
	if err := check(files); err != nil {
		return err
	}
	dir, exists, err := f.target()
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
func (f Folder) target() (string, bool, error) {
	abs, err := filepath.Abs(f.Dir)
	if err != nil {
		return "", false, fmt.Errorf("find the output folder: %w", err)
	}
	real, err := filepath.EvalSymlinks(abs)
	if errors.Is(err, fs.ErrNotExist) {
		if _, e := os.Lstat(abs); e == nil {
			return "", false, &Refusal{Why: NoLink, Name: f.Dir}
		}
		return abs, false, nil
	}
	if err != nil {
		return "", false, fmt.Errorf("find the output folder: %w", err)
	}
	if filepath.Dir(real) == real {
		return "", false, fmt.Errorf("write to %s: it is the root of the file system", f.Dir)
	}
	return real, true, f.refused(real)
}

// refused returns a *Refusal where replacing what is at the path would lose something.
func (f Folder) refused(real string) error {
	st, err := os.Stat(real)
	if err != nil {
		return fmt.Errorf("look into the output folder: %w", err)
	}
	if !st.IsDir() {
		return &Refusal{Why: NoFolder, Name: f.Dir}
	}
	if inside(".", st) {
		return &Refusal{Why: HoldsWork, Name: f.Dir, Files: []string{"the folder you are in"}}
	}
	for _, in := range f.Inputs {
		if inside(in, st) {
			return &Refusal{Why: HoldsWork, Name: f.Dir, Files: []string{in}}
		}
	}
	o, err := outputOf(real)
	if err != nil {
		return fmt.Errorf("look into the output folder: %w", err)
	}
	foreign, err := o.foreign(real)
	if err != nil {
		return fmt.Errorf("look into the output folder: %w", err)
	}
	switch {
	case foreign != "":
		return &Refusal{Why: Foreign, Name: f.Dir, Files: []string{foreign}}
	case f.Replace:
		return nil
	case o.another(f.By):
		return &Refusal{Why: Another, Name: f.Dir, Of: o.owner}
	}
	edited, err := o.edited(real)
	if err != nil {
		return fmt.Errorf("look into the output folder: %w", err)
	}
	if len(edited) > 0 {
		for i, name := range edited {
			edited[i] = filepath.Join(f.Dir, filepath.FromSlash(name))
		}
		return &Refusal{Why: Edited, Name: f.Dir, Files: edited}
	}
	return nil
}

// Another returns whose output the folder holds, where that is another project than the one whose files are to replace it.
func (f Folder) Another() (Owner, bool) {
	abs, err := filepath.Abs(f.Dir)
	if err != nil {
		return Owner{}, false
	}
	o, err := outputOf(abs)
	return o.owner, err == nil && o.another(f.By)
}

// inside reports whether a file or folder lies in dir, or is it, by the way it is named or where its links lead. Folders are
// compared by what they are, not by their names, which may differ in case or by links.
func inside(name string, dir fs.FileInfo) bool {
	abs, err := filepath.Abs(name)
	if err != nil {
		return false
	}
	ways := []string{abs}
	if real, err := filepath.EvalSymlinks(abs); err == nil {
		ways = append(ways, real)
	}
	for _, p := range ways {
		for {
			if st, err := os.Stat(p); err == nil && os.SameFile(st, dir) {
				return true
			}
			up := filepath.Dir(p)
			if up == p {
				break
			}
			p = up
		}
	}
	return false
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
