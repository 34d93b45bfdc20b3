package readback

import (
	"crypto/md5"
	"encoding/hex"
	"strings"
	"unicode/utf8"

	"lampblack/export"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Limits on what a file may make the reader hold. A board of 500 LEDs has some ten thousand objects.
const (
	maxObjects  = 400_000 // graphic objects of a layer, repeats and blocks unfolded
	maxPoints   = 4_000_000
	maxDepth    = 12 // blocks in blocks
	maxMacro    = 20_000
	maxFindings = 100
)

// Gerber reads a layer in the Gerber format. name is the file's, for findings; nobody need watch.
//
// Source: The Gerber Layer Format Specification, revision 2021.02; section numbers in this package are its. What the
// specification forbids is an error, what it deprecates a warning; both carry the line. The reader goes on after a fault
// where a meaning can be guessed, so that one run tells all. Step and repeat, blocks and the transformations LM, LR and LS
// are carried out: the layer returned holds plain objects.
func Gerber(w *work.Watch, src []byte, name string) (export.Layer, diag.List) {
	r := newReader(src, name)
	r.watch = w
	r.run()
	return r.layer, r.found.Capped(maxFindings)
}

// mode is how D01 draws.
type mode uint8

const (
	noMode mode = iota
	linear
	clockwise
	counterclockwise
)

// reader is the graphics state of 2.6 and what has been read so far.
type reader struct {
	watch *work.Watch
	lex   lexer
	name  string
	line  int
	found diag.List
	layer export.Layer

	unit     float64 // nanometres of one unit; 0 before MO
	decimals int     // 0 before FS
	trailing bool    // FS with trailing zeros left out (deprecated)
	digits   int     // integer and decimal digits together, for trailing

	mode       mode
	multi      bool // G75 given
	single     bool // G74 given
	point      geom.Pt
	placed     bool // point is defined
	lastOp     int  // for modal D01 (deprecated)
	aperture   int  // index into defs, -1 none
	pol        bool // clear
	pose       pose
	turn       float64 // LR, degrees
	mirrorTurn float64 // the half turn in LMY and LMXY

	macros    map[string][]string
	macroLine map[string]int
	defs      []definition
	byCode    map[int]int // D code to defs
	made      map[posed]int

	region  *regionState
	repeats []repeat // an open SR, and open blocks
	objects *[]export.Object

	apertureAttr attributes
	objectAttr   attributes
	fileAttr     map[string]int
	used         bool // an operation was seen
	md5At        int  // line of .MD5, 0 none
	ended        bool
	held, points int // objects and points so far
}

func newReader(src []byte, name string) *reader {
	r := &reader{
		lex: lexer{src: src, line: 1}, name: name, aperture: -1, pose: upright(),
		macros: map[string][]string{}, macroLine: map[string]int{}, byCode: map[int]int{}, made: map[posed]int{}, fileAttr: map[string]int{},
	}
	r.objects = &r.layer.Objects
	return r
}

func (r *reader) run() {
	if !utf8.Valid(r.lex.src) {
		r.warn("readback-not-utf8", "the file holds bytes that are no text").Fix("write the file anew as UTF-8")
	}
	for {
		r.watch.Look()
		c, ok := r.lex.next()
		if !ok {
			break
		}
		r.line = c.line
		if r.ended {
			r.fail("readback-after-end", "there is something after the end of the file (M02)").Fix("end the file with M02*")
			break
		}
		if c.broken != "" {
			r.fail("readback-form", "%s", c.broken).Fix("end each command with *, and extended ones with %%")
		}
		if len(c.words) == 0 {
			continue
		}
		if c.extended {
			r.extendedCommand(c)
		} else {
			r.wordCommand(c.words[0])
		}
		if len(r.found) > 10*maxFindings {
			r.fail("readback-hopeless", "too many faults, the rest of the file is not read").Fix("write the file anew")
			return
		}
	}
	r.finish()
}

func (r *reader) finish() {
	if !r.ended {
		r.fail("readback-no-end", "the file ends without M02").Fix("end the file with M02*; perhaps it was cut short")
	}
	if r.region != nil {
		r.fail("readback-open-region", "a region (G36) is not ended").Fix("end it with G37*")
	}
	for len(r.repeats) > 0 {
		r.fail("readback-open-block", "a block or step and repeat is not ended").Fix("end it with %%AB*%% or %%SR*%%")
		r.closeRepeat()
	}
	if r.unit == 0 {
		r.fail("readback-no-unit", "the file does not state its unit").Fix("write %%MOMM*%% before the first coordinate")
	}
	if r.decimals == 0 {
		r.fail("readback-no-format", "the file does not state its coordinate format").Fix("write %%FSLAX46Y46*%% before the first coordinate")
	}
	if _, ok := r.fileAttr[".FileFunction"]; !ok {
		r.warn("readback-no-function", "the file does not say which layer it is (.FileFunction)").Fix("write the attribute, else a board house must guess by the file's name")
	}
	if _, ok := r.fileAttr[".FilePolarity"]; !ok && r.layer.Function != export.Profile {
		r.warn("readback-no-polarity", "the file does not say whether it is positive or negative (.FilePolarity)").Fix("write the attribute")
	}
}

func (r *reader) fail(code, format string, args ...any) *diag.Finding {
	return r.found.Add(diag.Error, code, format, args...).In(r.name, r.line)
}

func (r *reader) warn(code, format string, args ...any) *diag.Finding {
	return r.found.Add(diag.Warning, code, format, args...).In(r.name, r.line)
}

// old reports a deprecated command (8.1).
func (r *reader) old(what string) {
	r.warn("readback-deprecated", "%s is deprecated", what).Fix("write the file without it")
}

// wordCommand carries out a command that is one word (3.3).
func (r *reader) wordCommand(w string) {
	switch {
	case w == "":
		r.fail("readback-form", "an empty command").Fix("take the lone * away")
	case w == "M02":
		if r.region != nil || len(r.repeats) > 0 {
			r.fail("readback-end-inside", "the file ends inside a region or block").Fix("close it before M02")
		}
		r.ended = true
	case w == "M00" || w == "M01":
		r.old(w)
		r.ended = w == "M00"
	case strings.HasPrefix(w, "G04"):
		r.comment(w[3:])
	case w[0] == 'G':
		r.gCode(w)
	case w[0] == 'D':
		r.dCode(w)
	case w[0] == 'X' || w[0] == 'Y' || w[0] == 'I' || w[0] == 'J':
		r.operation(w)
	default:
		r.fail("readback-unknown-command", "%q is no command of the format", short(w)).Fix("write the file anew")
	}
}

func short(s string) string {
	if len(s) > 40 {
		return strings.ToValidUTF8(s[:40], "") + "..."
	}
	return s
}

// comment looks for attributes in standard comments; later revisions than 2021.02 put them there.
func (r *reader) comment(s string) {
	if rest, ok := strings.CutPrefix(s, " #@! "); ok && len(rest) > 2 && rest[0] == 'T' {
		r.attribute(rest, command{line: r.line})
	}
}

func (r *reader) gCode(w string) {
	if len(w) < 3 {
		r.fail("readback-unknown-command", "%q is no command of the format", w).Fix("write G codes with two digits")
		return
	}
	code, rest := w[:3], w[3:]
	switch code {
	case "G01":
		r.mode = linear
	case "G02":
		r.mode = clockwise
	case "G03":
		r.mode = counterclockwise
	case "G36":
		r.openRegion()
	case "G37":
		r.closeRegion()
	case "G75":
		r.multi, r.single = true, false
	case "G74":
		r.old("G74")
		r.multi, r.single = false, true
	case "G54", "G55":
		r.old(code)
		if rest != "" && rest[0] == 'D' {
			r.dCode(rest)
		}
		return
	case "G70", "G71":
		r.old(code)
		r.setUnit(map[string]float64{"G70": inch, "G71": 1e6}[code])
	case "G90":
		r.old(code)
	case "G91":
		r.fail("readback-incremental", "incremental coordinates (G91) are not read").Fix("write absolute coordinates")
	default:
		r.fail("readback-unknown-command", "%q is no command of the format", short(w)).Fix("G codes are G01 G02 G03 G04 G36 G37 G75")
		return
	}
	if rest != "" {
		if strings.IndexByte("XYIJD", rest[0]) < 0 {
			r.fail("readback-unknown-command", "%q is no command of the format", short(w)).Fix("G codes have two digits and stand alone")
			return
		}
		r.old("a G code and coordinates in one command")
		r.wordCommand(rest)
	}
}

const inch = 25.4e6 // nanometres

// checkMD5 compares the .MD5 attribute with the file: all bytes before the command, without line breaks (5.6.9).
func (r *reader) checkMD5(value string, before int) {
	h := md5.New()
	for _, part := range splitLines(r.lex.src[:before]) {
		h.Write(part)
	}
	if sum := hex.EncodeToString(h.Sum(nil)); !strings.EqualFold(sum, value) {
		r.fail("readback-md5", "the checksum does not fit: the file says %s, its content gives %s", short(value), sum).
			Fix("the file was changed or damaged after it was written: get it anew")
	}
	r.md5At = r.line
}

func splitLines(b []byte) [][]byte {
	var out [][]byte
	from := 0
	for i, c := range b {
		if c == '\n' || c == '\r' {
			out = append(out, b[from:i])
			from = i + 1
		}
	}
	return append(out, b[from:])
}
