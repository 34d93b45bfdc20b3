package bundle

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"hash/crc32"
	"time"
	"unicode/utf8"

	"lampblack/panel/work"
)

// Zip returns a zip archive of the files, sorted by path and dated 1980-01-01, the format's first day.
// It looks at the watch before each file.
func Zip(w *work.Watch, files []File) []byte { return ZipAt(w, files, time.Time{}) }

// ZipAt returns a zip archive whose files carry the date, or 1980-01-01 if it is zero or before that. The date is written
// as the clock in its zone shows it. No extra fields are written, and sizes stand before the data, not behind.
func ZipAt(watch *work.Watch, files []File, date time.Time) []byte {
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, f := range sorted(files) {
		watch.Look()
		h := &zip.FileHeader{Name: f.Path, Method: zip.Deflate, CRC32: crc32.ChecksumIEEE(f.Data),
			UncompressedSize64: uint64(len(f.Data))}
		//lint:ignore SA1019 Modified would add an extra field, and CreateRaw does not read it
		h.ModifiedDate, h.ModifiedTime = dos(date)
		if !ascii(f.Path) && utf8.ValidString(f.Path) {
			h.Flags |= 0x800 // the name is UTF-8
		}
		data := deflated(f.Data)
		if len(data) >= len(f.Data) {
			h.Method, data = zip.Store, f.Data
		}
		h.CompressedSize64 = uint64(len(data))
		body, err := w.CreateRaw(h)
		if err == nil {
			_, err = body.Write(data)
		}
		if err != nil {
			panic("export/bundle: zip: " + err.Error()) // a name beyond 65535 bytes; a bytes.Buffer never fails
		}
	}
	if err := w.Close(); err != nil {
		panic("export/bundle: zip: " + err.Error())
	}
	return out.Bytes()
}

func deflated(data []byte) []byte {
	var b bytes.Buffer
	w, err := flate.NewWriter(&b, flate.DefaultCompression)
	if err == nil {
		_, err = w.Write(data)
	}
	if err == nil {
		err = w.Close()
	}
	if err != nil {
		panic("export/bundle: deflate: " + err.Error()) // the level is valid, and a bytes.Buffer never fails
	}
	return b.Bytes()
}

// dos returns date and time as zip headers hold them: years from 1980 in 7 bits, two-second steps.
func dos(t time.Time) (date, clock uint16) {
	if t.Year() < 1980 || t.Year() > 1980+127 {
		return 1<<5 | 1, 0
	}
	return uint16((t.Year()-1980)<<9 | int(t.Month())<<5 | t.Day()), uint16(t.Hour()<<11 | t.Minute()<<5 | t.Second()/2)
}

func ascii(s string) bool {
	for i := range len(s) {
		if s[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}
