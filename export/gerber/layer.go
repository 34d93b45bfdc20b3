package gerber

import (
	"bytes"
	"crypto/md5"
	"fmt"
	"strconv"

	"lampblack/export"
	"lampblack/panel/geom"
)

// firstAperture is the lowest number of an aperture (4.3.1).
const firstAperture = 10

// Layer returns layer i of a as a Gerber file.
func Layer(a export.Artwork, i int, m Meta) []byte {
	l := a.Layers[i]
	size := 2048 // of the file, roughly
	for j := range l.Objects {
		size += 64 + 28*len(l.Objects[j].Contour)
	}
	w := &writer{buf: make([]byte, 0, size)}
	w.header(a, l, m)
	for j := range l.Objects {
		w.object(l, &l.Objects[j])
	}
	w.footer()
	return w.buf
}

func (w *writer) header(a export.Artwork, l export.Layer, m Meta) {
	id := guid(a, m)
	w.line("%MOMM*%")
	w.line("%FSLAX46Y46*%")
	w.line("%TF.GenerationSoftware,Lampblack,lampblack," + field(m.version()) + "*%")
	if d := m.date(); d != "" {
		w.line("%TF.CreationDate," + d + "*%")
	}
	w.line("%TF.ProjectId," + field(a.Name) + "," + id + "," + field(m.revision()) + "*%")
	w.line("%TF.Part," + a.Part() + "*%")
	w.line("%TF.SameCoordinates," + id + "*%")
	w.line("%TF.FileFunction," + fileFunction(l.Function) + "*%")
	w.line("%TF.FilePolarity," + polarity(l.Negative) + "*%")
	function := ""
	for i, ap := range l.Apertures {
		if ap.Shape == export.Outline || ap.Slant {
			w.macro(i, ap)
		}
		if ap.Function != function {
			if ap.Function == "" {
				w.line("%TD.AperFunction*%")
			} else {
				w.line("%TA.AperFunction," + fields(ap.Function) + "*%")
			}
			function = ap.Function
		}
		w.define(i, ap)
	}
	w.line("%TD*%")
	w.line("%LPD*%")
	w.line("G01*")
	w.line("G75*")
	w.mode = 1
}

func (w *writer) define(i int, ap export.Aperture) {
	w.buf = append(w.buf, "%ADD"...)
	w.buf = strconv.AppendInt(w.buf, int64(i+firstAperture), 10)
	size := func(template string, mm ...geom.Nm) {
		w.buf = append(w.buf, template...)
		for i, v := range mm {
			w.buf = append(w.buf, ",X"[min(i, 1)])
			w.buf = appendMM(w.buf, v)
		}
	}
	switch ap.Shape {
	case export.Circle:
		size("C", ap.W)
	case export.Rectangle:
		if ap.Slant {
			w.buf = append(w.buf, macroName(i)...)
			break
		}
		size("R", ap.W, ap.H)
	case export.Obround:
		size("O", ap.W, ap.H)
	case export.Diamond:
		size("P", ap.W)
		w.buf = append(w.buf, "X4X0.0"...)
	case export.Outline:
		w.buf = append(w.buf, macroName(i)...)
	default:
		panic(fmt.Sprintf("export/gerber: aperture %d has unknown shape %d", i, ap.Shape))
	}
	w.buf = append(w.buf, "*%\n"...)
}

// macro defines the shape of an Outline aperture, one outline primitive (code 4) a contour, curves flattened; or a rectangle
// aslant, a centre line (code 21) turned about the origin (4.5.1.4).
func (w *writer) macro(i int, ap export.Aperture) {
	w.buf = append(w.buf, "%AM"...)
	w.buf = append(w.buf, macroName(i)...)
	if ap.Slant {
		w.buf = append(appendMM(append(w.buf, "*\n21,1,"...), ap.W), ',')
		w.buf = append(appendMM(w.buf, ap.H), ",0,0,45*%\n"...)
		return
	}
	for _, c := range ap.Contours {
		ring := c.Ring(geom.FlattenTolerance)
		w.buf = append(w.buf, "*\n4,1,"...)
		w.buf = strconv.AppendInt(w.buf, int64(len(ring)), 10)
		for k := range len(ring) + 1 {
			p := ring[k%len(ring)]
			w.buf = append(appendMM(append(w.buf, ','), p.X), ',')
			w.buf = appendMM(w.buf, p.Y)
		}
		w.buf = append(w.buf, ",0"...)
	}
	w.buf = append(w.buf, "*%\n"...)
}

func macroName(i int) string { return "SHAPE" + strconv.Itoa(i+firstAperture) }

// footer closes the file. .MD5 covers all bytes before its own command, line ends left out (5.6.9).
func (w *writer) footer() {
	w.buf = fmt.Appendf(w.buf, "%%TF.MD5,%s*%%\nM02*\n", checksum(w.buf))
}

func checksum(file []byte) string {
	h := md5.New()
	for len(file) > 0 {
		n := bytes.IndexByte(file, '\n')
		if n < 0 {
			n = len(file)
		}
		h.Write(bytes.TrimSuffix(file[:n], []byte("\r"))) // never fails
		file = file[min(n+1, len(file)):]
	}
	return fmt.Sprintf("%x", h.Sum(nil))
}

// appendMM appends a length in mm with as many decimals as it needs, one at least.
func appendMM(b []byte, v geom.Nm) []byte {
	if v < 0 {
		b, v = append(b, '-'), -v
	}
	b = append(strconv.AppendInt(b, int64(v/geom.Millimetre), 10), '.')
	frac := int64(v % geom.Millimetre)
	for digit := int64(100_000); ; digit /= 10 {
		b = append(b, '0'+byte(frac/digit))
		if frac %= digit; frac == 0 {
			return b
		}
	}
}
