package bundle

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
)

// New writes a file that is not there yet: whole, or not at all. One that is there stays as it is, and the error is
// fs.ErrExist.
func New(name string, data []byte) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		return errors.Join(err, os.Remove(name))
	}
	return nil
}

// Fill writes new files into a folder, which it makes if need be; if one of them fails, none is left.
func Fill(dir string, files []File) error {
	if err := check(files); err != nil {
		return err
	}
	for i, f := range files {
		name := filepath.Join(dir, filepath.FromSlash(f.Path))
		err := os.MkdirAll(filepath.Dir(name), 0o777)
		if err == nil {
			err = New(name, f.Data)
		}
		if err == nil {
			continue
		}
		for _, g := range files[:i] {
			err = errors.Join(err, os.Remove(filepath.Join(dir, filepath.FromSlash(g.Path))))
		}
		return err
	}
	return nil
}

// Replace writes a file of the user's anew, whose content is old, and keeps that as NAME.before, or, where there is such a
// file already, NAME.before-2 and so on. It returns the name of what is kept. Permissions stay; a file that is a link is
// replaced where it points. A file that is no longer as old has it stays as it is.
func Replace(name string, old, data []byte) (kept string, err error) {
	if st, e := os.Lstat(name); e == nil && st.Mode()&fs.ModeSymlink != 0 {
		if name, err = filepath.EvalSymlinks(name); err != nil {
			return "", err
		}
	}
	st, err := os.Stat(name)
	if err != nil {
		return "", err
	}
	now, err := os.ReadFile(name)
	if err != nil {
		return "", err
	}
	if !bytes.Equal(now, old) {
		return "", fmt.Errorf("%s was changed meanwhile; call lampblack again", name)
	}
	for n := 1; ; n++ {
		kept = name + ".before"
		if n > 1 {
			kept += "-" + strconv.Itoa(n)
		}
		if err = New(kept, old); err == nil {
			break
		}
		if !errors.Is(err, fs.ErrExist) {
			return "", err
		}
	}
	if err := swapped(name, data, st.Mode().Perm()); err != nil {
		return "", errors.Join(err, os.Remove(kept))
	}
	return kept, nil
}

// swapped replaces a file by a new one at once.
func swapped(name string, data []byte, mode fs.FileMode) error {
	f, err := os.CreateTemp(filepath.Dir(name), ".lampblack-*")
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	err = errors.Join(err, f.Chmod(mode), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), name)
	}
	if err != nil {
		return errors.Join(err, os.Remove(f.Name()))
	}
	syncDir(filepath.Dir(name))
	return nil
}

// Picture is one file that the user names: SVG, PDF, PNG or DXF. It bears a mark with the digest of all the rest, in a comment
// of its format, and is replaced only while that holds: a picture that nobody changed since it was written.
type Picture struct {
	Name   string
	Inputs []string // the files that are read
}

// Check tells beforehand, by a *Refusal, whether Write would lose a file that is not ours to lose.
func (p Picture) Check() error {
	_, _, err := p.target()
	return err
}

// target returns the file to be written, where links lead, and whether there is one that may be replaced.
func (p Picture) target() (name string, exists bool, err error) {
	st, err := os.Stat(p.Name)
	if errors.Is(err, fs.ErrNotExist) {
		if _, e := os.Lstat(p.Name); e == nil {
			return "", false, &Refusal{Why: NoLink, Name: p.Name}
		}
		return p.Name, false, nil
	}
	if err != nil {
		return "", false, err
	}
	for _, in := range p.Inputs {
		if x, err := os.Stat(in); err == nil && os.SameFile(x, st) {
			return "", false, &Refusal{Why: IsInput, Name: p.Name, Files: []string{in}}
		}
	}
	if !st.Mode().IsRegular() {
		return "", false, &Refusal{Why: Exists, Name: p.Name}
	}
	if name, err = filepath.EvalSymlinks(p.Name); err != nil {
		return "", false, err
	}
	data, err := os.ReadFile(name)
	if err != nil {
		return "", false, err
	}
	if !isMarked(data) {
		return "", false, &Refusal{Why: Exists, Name: p.Name}
	}
	return name, true, nil
}

// Remove takes the picture away, if it is there and ours.
func (p Picture) Remove() error {
	var r *Refusal
	name, exists, err := p.target()
	switch {
	case errors.As(err, &r) || err == nil && !exists:
		return nil
	case err != nil:
		return err
	}
	return os.Remove(name)
}

// Write writes the picture with its mark, whole or not at all.
func (p Picture) Write(data []byte) error {
	name, exists, err := p.target()
	if err != nil {
		return err
	}
	if data = marked(data); !exists {
		return New(name, data)
	}
	return swapped(name, data, 0o644)
}

// Save writes a file of the user's: a new one, with the folders that lead to it, or one that is as may wants it, whose content it is told
// just before. Permissions stay; a file that is a link is replaced where it points.
func Save(name string, may func(now []byte) bool, data []byte) error {
	st, err := os.Stat(name)
	if errors.Is(err, fs.ErrNotExist) {
		if err := os.MkdirAll(filepath.Dir(name), 0o777); err != nil {
			return err
		}
		return New(name, data)
	}
	if err != nil {
		return err
	}
	if name, err = filepath.EvalSymlinks(name); err != nil {
		return err
	}
	now, err := os.ReadFile(name)
	if err != nil {
		return err
	}
	if !may(now) {
		return fmt.Errorf("%s was changed meanwhile: it stays as it is", name)
	}
	return swapped(name, data, st.Mode().Perm())
}

// Drop does away with a file that nobody but us writes, a draft. That there is none is fine.
func Drop(name string) error {
	if err := os.Remove(name); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}
