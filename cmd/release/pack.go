package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io/fs"
	"time"
)

// file is a file of an archive.
type file struct {
	name string
	data []byte
	runs bool // it is a program
}

// mode is what may be done with it, where systems ask.
func (f file) mode() fs.FileMode {
	if f.runs {
		return 0o755
	}
	return 0o644
}

// date is that of every file: a release tells no time. It is the first that a zip can tell.
func date() time.Time { return time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC) }

// packed is the archive of a target's files, in a folder named as the archive is.
func packed(t target, files []file) ([]byte, error) {
	var out bytes.Buffer
	pack := zipped
	if t.system == "linux" {
		pack = tarred
	}
	if err := pack(&out, t.folder()+"/", files); err != nil {
		return nil, fmt.Errorf("%s: %w", t.archive(), err)
	}
	return out.Bytes(), nil
}

// zipped writes a zip, which Windows and macOS open by themselves. It tells macOS what is a program.
func zipped(out *bytes.Buffer, folder string, files []file) error {
	z := zip.NewWriter(out)
	for _, f := range files {
		h := &zip.FileHeader{Name: folder + f.name, Method: zip.Deflate, Modified: date()}
		h.SetMode(f.mode())
		w, err := z.CreateHeader(h)
		if err != nil {
			return err
		}
		if _, err := w.Write(f.data); err != nil {
			return err
		}
	}
	return z.Close()
}

// tarred writes a compressed tar, which every Linux opens.
func tarred(out *bytes.Buffer, folder string, files []file) error {
	g, err := gzip.NewWriterLevel(out, gzip.BestCompression)
	if err != nil {
		return err
	}
	w := tar.NewWriter(g)
	for _, f := range files {
		h := &tar.Header{Format: tar.FormatUSTAR, Typeflag: tar.TypeReg, Name: folder + f.name, Size: int64(len(f.data)), Mode: int64(f.mode()), ModTime: date()}
		if err := w.WriteHeader(h); err != nil {
			return err
		}
		if _, err := w.Write(f.data); err != nil {
			return err
		}
	}
	return errors.Join(w.Close(), g.Close())
}
