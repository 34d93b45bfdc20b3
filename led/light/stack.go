package light

import (
	_ "embed"
	"math"
	"slices"
	"strings"
	"sync"

	"github.com/goccy/go-yaml"

	"lampblack/panel/geom"
)

// Stack is the sheets in front of the LEDs, and what lies behind them. Heights are measured across the sheets:
//
//	face       clear, painted, engraved     Face thick
//	diffuser   opal                         Diffuser thick, right behind the face
//	gap        air                          Gap high
//	LED sheet  drilled                      Sheet thick; each LED's tip Sunk below its front
//	board      reflects                     right behind the LED sheet
//
// Bodies that begin before the LED sheet, what sits in openings, frames and the edge of the panel are taken to stand in the gap like
// walls from bottom to top.
type Stack struct {
	Face             geom.Nm // thickness
	FaceTransmission float64 // share of the light that a clear face lets through

	Diffuser     geom.Nm // thickness
	Grade        string  // of the diffuser, for people
	Transmission float64 // share of the light that the diffuser lets through
	Absorption   float64 // share that it swallows; the rest goes back
	Haze         float64 // share of the light let through that is scattered on the way
	Finish       Finish  // of the engraving in the face's paint
	Paint        float64 // share of the light that the paint itself lets through

	Gap geom.Nm // front of the LED sheet to the back of the diffuser

	Sheet             geom.Nm // thickness of the LED sheet
	SheetKind         string  // for people
	SheetTransmission float64 // straight through; 0 is opaque
	SheetReflection   float64 // of its front
	Sunk              geom.Nm // the LED's tip below the LED sheet's front; negative: it stands out
	Board             float64 // reflection of the board

	Viewed geom.Nm // distance from which the panel is read; 0: not told
}

// Finish is what engraving leaves of the face's surface, and so which of the light that comes there is seen.
type Finish int

// Frosted engraving scatters the light that arrives evenly to all sides; clear engraving, as in paint on the back of a sheet or
// with a polished ground, is a window: an eye straight before it sees what lies straight behind.
const (
	Frosted Finish = iota
	Clear
)

// Finishes returns the names of the finishes, in their order.
func Finishes() []string { return []string{"frosted", "clear"} }

func (f Finish) String() string { return Finishes()[f] }

// UsualStack returns three sheets of 3 mm: a clear LED sheet with the LEDs' tips flush, 8 mm of air, medium opal and a
// clear face; behind them a white board. Read from 500 mm, an arm's length. The paint lets a thousandth through.
func UsualStack() Stack {
	s := Stack{
		Face: geom.MM(3), FaceTransmission: 0.92, Diffuser: geom.MM(3), Gap: geom.MM(8), Sheet: geom.MM(3),
		Viewed: geom.MM(500), Paint: usualPaint,
	}
	s = s.WithDiffuser("opal-medium")
	s = s.WithSheet("clear")
	return s.WithBoard("white")
}

// usualPaint is a density of 3: two even coats of black (common practice).
const usualPaint = 0.001

// Grades, Sheets and Boards return the names of the data file's diffusers, LED sheets and boards.
func Grades() []string {
	var out []string
	for _, g := range stackData().Diffusers {
		out = append(out, g.Grade)
	}
	return out
}

// Sheets returns the kinds of LED sheets.
func Sheets() []string {
	var out []string
	for _, g := range stackData().Sheets {
		out = append(out, g.Sheet)
	}
	return out
}

// Boards returns the colours of boards.
func Boards() []string {
	var out []string
	for _, g := range stackData().Boards {
		out = append(out, g.Board)
	}
	return out
}

// reference is the thickness at which the data file gives the diffusers.
const reference = 3 * geom.Millimetre

// WithDiffuser returns the stack with a diffuser of that grade, at the stack's thickness of it; an unknown grade changes
// nothing.
func (s Stack) WithDiffuser(grade string) Stack {
	for _, g := range stackData().Diffusers {
		if !strings.EqualFold(g.Grade, grade) {
			continue
		}
		s.Grade = g.Grade
		s.Transmission, s.Absorption, s.Haze = g.Transmission, g.Absorption, g.Haze
		if s.Diffuser > 0 && s.Diffuser != reference {
			s = s.rescaled(reference)
		}
	}
	return s
}

// WithSheet returns the stack with an LED sheet of that kind; an unknown one changes nothing.
func (s Stack) WithSheet(kind string) Stack {
	for _, g := range stackData().Sheets {
		if strings.EqualFold(g.Sheet, kind) {
			s.SheetKind, s.SheetTransmission, s.SheetReflection = g.Sheet, g.Transmission, g.Reflection
		}
	}
	return s
}

// WithBoard returns the stack before a board of that colour; an unknown one changes nothing.
func (s Stack) WithBoard(colour string) Stack {
	for _, g := range stackData().Boards {
		if strings.EqualFold(g.Board, colour) {
			s.Board = g.Reflection
		}
	}
	return s
}

// WithThickness returns the stack with a diffuser and an LED sheet of other thicknesses and of the same materials. The LEDs stay where
// they are behind the LED sheet's back, so that their tips come forward in a thinner one; Gap stays.
func (s Stack) WithThickness(diffuser, sheet geom.Nm) Stack {
	s.Sunk += sheet - s.Sheet
	s.Sheet = sheet
	if before := s.Diffuser; before > 0 && diffuser > 0 && diffuser != before {
		s.Diffuser = diffuser
		s = s.rescaled(before)
	}
	return s
}

// rescaled returns the stack whose diffuser's shares, given for a thickness, are those of its own thickness: what scatters and what
// absorbs in each millimetre stays.
func (s Stack) rescaled(given geom.Nm) Stack {
	from, to := given.MM(), s.Diffuser.MM()
	at := s
	at.Diffuser = given
	tau := at.depth() * to / from
	f := fitted(nil, from, unit(s.Transmission), unit(s.Absorption))
	passed, absorbed := newSlab(to, f.scatter, f.absorb, fresnel, fresnel).shares(nil)
	s.Transmission, s.Absorption = settled(passed), settled(absorbed)
	s.Haze = 1
	if through := surfaces * math.Exp(-tau); s.Transmission > 0 {
		s.Haze = settled(1 - min(through/s.Transmission, 1))
	}
	return s
}

// surfaces is what the two surfaces of a sheet let through straight.
var surfaces = (1 - fresnel(1)) * (1 - fresnel(1))

// leastStraight stands for no light at all that passes unscattered.
const leastStraight = 1e-9

// depth returns the thickness of the diffuser in mean free paths of its light, by the share that passes it unscattered (Beer
// and Lambert).
func (s Stack) depth() float64 {
	straight := max(s.Unscattered(), leastStraight)
	return settled(max(-math.Log(straight/surfaces), 0))
}

// Distance returns the height from an LED's tip to the diffuser's back, mm; at least half a millimetre.
func (s Stack) Distance() float64 { return max(s.Gap+s.Sunk, geom.Millimetre/2).MM() }

// back returns the reflection of what faces the diffuser, and its distance from it, mm. Through a clear LED sheet that is
// the board, lit and seen through the sheet twice; the sheet's own front sends a little back before that.
func (s Stack) back() (reflection, height float64) {
	gap := max(s.Gap, geom.Millimetre/2).MM()
	if s.SheetTransmission <= 0 {
		return unit(s.SheetReflection), gap
	}
	// The data file's are of light that comes straight on; of light from all sides more is lost at the two surfaces.
	lost, straight := 0.0, twice(1)
	for _, x := range gauss {
		cos := (1 + x[0]) / 2
		lost += float64(float64(x[1]*cos) * twice(refracted(cos)))
	}
	r := min(unit(s.SheetReflection)*lost/straight, 0.9)
	t := max(1-float64((1-unit(s.SheetTransmission))*lost/straight), 0)
	through := float64(float64(t*t)*unit(s.Board)) / (1 - float64(r*unit(s.Board)))
	total := min(r+through, 0.95)
	if total == 0 {
		return 0, gap
	}
	// The sheet's thickness counts by its refraction; the two distances by their share of the light.
	return total, gap + float64(max(s.Sheet, 0).MM()/acrylic*min(through/total, 1))
}

// Reflection returns the share of the light that the diffuser sends back.
func (s Stack) Reflection() float64 {
	return max(0, 1-unit(s.Transmission)-unit(s.Absorption))
}

// unit returns v within 0 and 1; no number is 0.
func unit(v float64) float64 {
	if !(v > 0) {
		return 0
	}
	return min(v, 1)
}

//go:embed stack.yaml
var stackYAML []byte

type stackFile struct {
	Diffusers []struct {
		Grade                    string
		Transmission, Absorption float64
		Haze                     float64
		Source                   string
	}
	Sheets []struct {
		Sheet                    string
		Transmission, Reflection float64
		Source                   string
	} `yaml:"led_sheets"`
	Boards []struct {
		Board      string
		Reflection float64
		Source     string
	}
}

// stackData is the data file, read once; nobody changes it.
var stackData = sync.OnceValue(func() stackFile {
	var f stackFile
	if err := yaml.UnmarshalWithOptions(slices.Clone(stackYAML), &f, yaml.Strict()); err != nil {
		panic("light: stack.yaml: " + err.Error())
	}
	return f
})
