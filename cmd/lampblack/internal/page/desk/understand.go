package desk

import (
	"cmp"
	"fmt"
	"hash/fnv"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/result"
	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/read"
)

// Understood is what was made of the drawings: of each entry of the project's panels one Reading, and all findings.
type Understood struct {
	Console  string    `json:"console"`
	Readings []Reading `json:"readings"`
	Roles    []Role    `json:"roles"` // that a thing can be given
	Kinds    []string  `json:"kinds"` // of LEDs
	Findings []Finding `json:"findings"`
}

// Role is what a thing can be.
type Role struct {
	Role  string `json:"role"`
	Words string `json:"words"`
}

// Finding is a finding as result.json has it. Its id stays while what it tells of stays where it is.
type Finding struct {
	result.Finding
	ID       string    `json:"id"`
	Reading  *int      `json:"reading,omitempty"`  // index of the one that it is about
	Question *Question `json:"question,omitempty"` // as result.json has it, with what says so
}

// Question is one of result.json's, whose choices can be made.
type Question struct {
	result.Question
	Choices []Choice `json:"choices"`
}

// Choice is one of result.json's. Its changes together say so.
type Choice struct {
	result.Choice
	Changes []Change `json:"changes"`
}

// Reading is one entry of the project's panels and what its drawing was taken for. Lengths are mm in the drawing's own frame, y up;
// d is that of an SVG path.
type Reading struct {
	Entry   int         `json:"entry"` // from 0
	Name    string      `json:"name"`
	Drawing string      `json:"drawing"` // its path on the desk
	Units   Units       `json:"units"`
	JoinMM  float64     `json:"join_mm"` // gaps up to this are closed
	LED     string      `json:"led"`     // the kind that is told of all; empty: kinds are told by rules
	Room    string      `json:"room"`    // behind all openings, as the project file has it: "openings + 4 mm", "none"; "rules" by which it is told; empty: as common parts want
	Extents [4]float64  `json:"extents"` // of all that is drawn: x0, y0, x1, y1
	Things  []Thing     `json:"things"`
	Groups  []Group     `json:"groups"`
	Panels  []PanelRead `json:"panels"`
}

// Units is what the drawing is in.
type Units struct {
	Name      string  `json:"name"` // empty where it could not be read
	MMPerUnit float64 `json:"mm_per_unit"`
	Assumed   bool    `json:"assumed"` // it does not say
	Why       string  `json:"why,omitempty"`
}

// Thing is what can be pointed at: a closed line, an open line or a text. Its id begins with l, o or t by that; it is the same in
// every reading of the same thing, whatever the project says. The largest closed lines come first.
type Thing struct {
	ID    string     `json:"id"`
	Role  string     `json:"role,omitempty"` // "ignore": nothing, as is known; absent: nobody has a use for it
	Layer string     `json:"layer"`
	D     string     `json:"d"` // a text's is an area
	Box   [4]float64 `json:"box"`
	What  string     `json:"what"`            // "circle of 16 mm"
	Text  string     `json:"text,omitempty"`  // of a text
	Group *int       `json:"group,omitempty"` // index of its group
}

// Group is things that have one role for one reason.
type Group struct {
	Words  string   `json:"words"`  // "4 circles of 3.2 mm"
	Things []string `json:"things"` // their ids
	Role   string   `json:"role"`
	As     string   `json:"as"` // "mounts, the holes of screws"
	Why    []string `json:"why"`
	Doubt  string   `json:"doubt,omitempty"` // "may be holes for 3 mm LEDs, since ..."
}

// PanelRead is a panel as the drawing gives it.
type PanelRead struct {
	Name      string     `json:"name"`
	Origin    [2]float64 `json:"origin"` // of its own frame
	Box       [4]float64 `json:"box"`
	Outline   string     `json:"outline"`
	Boards    []string   `json:"boards"`            // edges of boards that are drawn
	Lettering string     `json:"lettering"`         // all that is engraved, as areas; even-odd
	Windows   string     `json:"windows,omitempty"` // all that is lit without being lettering; even-odd
	LEDs      []Spot     `json:"leds"`
	Rooms     []string   `json:"rooms"` // what is kept free behind openings
}

// Spot is an LED.
type Spot struct {
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
	D      float64 `json:"d"` // of its hole
	Kind   string  `json:"kind,omitempty"`
	Placed bool    `json:"placed,omitempty"` // nobody drew it
}

// mostText bounds the height of a text that is drawn as an area, mm, and mostTexts how many are; others are boxes.
const (
	mostText  = 1000
	mostTexts = 5000
)

func understand(a *asked) (given, error) {
	p, l, err := a.project()
	if err != nil {
		return given{}, err
	}
	look, err := a.engine.flow.Look(a.ctx, p, a.settings(l))
	if err != nil {
		return given{}, err
	}
	out := Understood{Console: p.Console, Readings: []Reading{}, Roles: rolesOf(), Kinds: kindsOf(p), Findings: []Finding{}}
	ids := names{}
	for _, f := range result.FindingsOf(look.Findings) {
		one := Finding{Finding: f, ID: ids.next(f.Code+"-", f.Panel, f.Key, f.File, f.Part, f.Net, f.String, f.Handle, f.Layer, fmt.Sprint(f.At))}
		if f.At != nil {
			one.ID = ids.next(f.Code+"-", f.Panel, f.Handle, fmt.Sprint(*f.At))
		}
		for i, e := range p.Panels {
			if f.Panel != "" && (e.Name == f.Panel || slices.ContainsFunc(look.Drawings[i].Report.Panels, func(q panel.Panel) bool { return q.Name == f.Panel })) {
				one.Reading = &i
				break
			}
		}
		if q := f.Question; q != nil {
			entry := f.Panel
			if one.Reading != nil {
				entry = p.Panels[*one.Reading].Name
			}
			one.Question = &Question{Question: *q, Choices: []Choice{}}
			for _, c := range q.Choices {
				one.Question.Choices = append(one.Question.Choices, Choice{c, chosen(entry, c.Words, c.YAML)})
			}
		}
		out.Findings = append(out.Findings, one)
	}
	for i, e := range p.Panels {
		out.Readings = append(out.Readings, readingOf(i, e, p, look.Drawings[i]))
	}
	return given{gives: out}, nil
}

// rolesOf returns what things can be, in the order in which they are offered.
func rolesOf() []Role {
	return []Role{
		{string(panel.RoleLED), "a hole for an LED"},
		{string(panel.RoleOpening), "an opening, cut out for what sits in it"},
		{string(panel.RoleMount), "a hole for a screw"},
		{string(panel.RoleLettering), "lettering, engraved and lit"},
		{string(panel.RoleWindow), "a window: lit, and no lettering"},
		{string(panel.RoleOutline), "the panel's edge"},
		{string(panel.RoleBoard), "the edge of a board behind it; of several boards, each"},
		{string(panel.RoleBody), "something that stands here behind the panel: the board keeps clear of it"},
		{string(panel.RolePrint), "print on the board's LED side"},
		{string(panel.RolePrintBack), "print on the board's back"},
		{string(panel.RoleIgnore), "nothing: a frame, a mark, a remark"},
	}
}

func readingOf(i int, e project.Panel, p project.Project, d flow.Looked) Reading {
	u := d.Report.Units
	join := e.Join
	if join == 0 {
		join = read.DefaultJoin
	}
	r := Reading{
		Entry: i, Name: e.Name, Drawing: cleaned(filepath.ToSlash(p.Path(i))), JoinMM: join.MM(), LED: allOf(p, e), Room: roomTold(e), Extents: boxOf(d.Report.Extents),
		Units:  Units{Name: u.Name, MMPerUnit: u.MMPerUnit, Assumed: u.Assumed, Why: u.Why},
		Things: thingsOf(d), Groups: []Group{}, Panels: []PanelRead{},
	}
	lines, texts := len(d.Report.Loops), len(d.Report.Loops)+len(d.Report.Lines)
	for k, g := range d.Report.Groups {
		one := Group{Words: g.Things, Things: []string{}, Role: string(g.Role), As: g.As, Why: g.Why, Doubt: g.Doubt}
		if one.Why == nil {
			one.Why = []string{}
		}
		put := func(from int, of []int) {
			for _, n := range of {
				t := &r.Things[from+n]
				if t.Group = &k; t.Role == "" {
					t.Role = string(g.Role)
				}
				one.Things = append(one.Things, t.ID)
			}
		}
		put(0, g.Loops)
		put(lines, g.Lines)
		put(texts, g.Texts)
		r.Groups = append(r.Groups, one)
	}
	for k, q := range d.Report.Panels {
		var areas *lettering.Engraving
		if k < len(d.Engraved) {
			areas = d.Engraved[k]
		}
		r.Panels = append(r.Panels, panelRead(q, areas))
	}
	return r
}

// thingsOf returns the things of a drawing: its closed lines, its open lines, its texts.
func thingsOf(d flow.Looked) []Thing {
	out := make([]Thing, 0, len(d.Report.Loops)+len(d.Report.Lines)+len(d.Report.Texts))
	ids := names{}
	for i := range d.Report.Loops {
		l := &d.Report.Loops[i]
		t := Thing{ID: ids.loop(l), Role: string(l.Role), Layer: l.Layer, Box: boxOf(l.Box)}
		var p pathData
		if l.Round {
			p.circle(l.Centre, l.D)
			t.What = "circle of " + long(l.D) + " mm"
		} else {
			p.line(dxf.Path{Vertices: l.Path.Vertices, Closed: true})
			t.What = "closed line of " + long(l.Box.W()) + " x " + long(l.Box.H()) + " mm"
		}
		t.D = p.String()
		out = append(out, t)
	}
	for i := range d.Report.Lines {
		l := &d.Report.Lines[i]
		var p pathData
		p.line(l.Path)
		t := Thing{ID: ids.line(l), Role: string(l.Role), Layer: l.Layer, Box: boxOf(l.Path.Box()), D: p.String()}
		t.What = "open line " + long(l.Path.Perimeter()) + " mm long"
		if l.Filling {
			t.What = "filled area"
		}
		out = append(out, t)
	}
	for i := range d.Report.Texts {
		w := &d.Report.Texts[i]
		t := Thing{ID: ids.text(w), Role: string(w.Role), Layer: w.Layer, Text: w.Text.Text, What: "text " + strconv.Quote(oneLine(w.Text.Text))}
		t.D, t.Box = drawnText(w, d.Faces, i < mostTexts)
		out = append(out, t)
	}
	return out
}

// drawnText draws a text as an area in its face.
func drawnText(w *read.Words, faces *lettering.Faces, area bool) (d string, box [4]float64) {
	t := w.Text
	if area && t.Height > 0 && t.Height <= mostText && t.Span <= mostText {
		g := faces.Outline(panel.Text{
			Text: t.Text, Height: geom.MM(t.Height), Angle: t.Angle, Width: t.Width, Span: geom.MM(t.Span),
			Anchor: panel.Anchor{H: panel.HAlign(t.H), V: panel.VAlign(t.V)}, Mirror: t.Mirror, Slant: t.Slant, Font: t.Font, Block: t.Block,
		})
		if len(g) > 0 {
			p, b := pathData{at: t.At}, g.Box()
			p.region(g)
			return p.String(), [4]float64{rounded(t.At.X + b.Min.X.MM()), rounded(t.At.Y + b.Min.Y.MM()), rounded(t.At.X + b.Max.X.MM()), rounded(t.At.Y + b.Max.Y.MM())}
		}
	}
	h := max(t.Height, 0)
	box = boxOf(dxf.Box{Min: t.At, Max: geom.XY{X: t.At.X + h*0.7*float64(len([]rune(t.Text))), Y: t.At.Y + h}})
	var p pathData
	p.box(box)
	return p.String(), box
}

func panelRead(q panel.Panel, areas *lettering.Engraving) PanelRead {
	at := geom.XY{X: q.Origin.X, Y: q.Origin.Y}
	d := func(c geom.Contour) string {
		p := pathData{at: at}
		p.contour(c)
		return p.String()
	}
	box := q.Outline.Box()
	r := PanelRead{
		Name: q.Name, Origin: [2]float64{rounded(at.X), rounded(at.Y)}, Outline: d(q.Outline), Boards: []string{}, LEDs: []Spot{}, Rooms: []string{},
		Box: [4]float64{rounded(at.X + box.Min.X.MM()), rounded(at.Y + box.Min.Y.MM()), rounded(at.X + box.Max.X.MM()), rounded(at.Y + box.Max.Y.MM())},
	}
	for _, b := range q.Boards {
		p := pathData{at: at}
		for _, c := range b {
			p.contour(c)
		}
		r.Boards = append(r.Boards, p.String())
	}
	for _, h := range q.LEDs {
		r.LEDs = append(r.LEDs, Spot{X: rounded(at.X + h.At.X.MM()), Y: rounded(at.Y + h.At.Y.MM()), D: rounded(h.D.MM()), Kind: h.Kind, Placed: h.Placed})
	}
	for _, k := range q.Room {
		r.Rooms = append(r.Rooms, d(k.Contour))
	}
	if areas != nil {
		letters, windows := pathData{at: at}, pathData{at: at}
		for _, g := range areas.Texts {
			letters.region(g)
		}
		for i, g := range areas.Symbols {
			if q.Symbols[i].Window {
				windows.region(g)
			} else {
				letters.region(g)
			}
		}
		r.Lettering, r.Windows = letters.String(), windows.String()
	}
	return r
}

// names gives each thing a name that others of the same drawing have not: by what it is, and of several alike by their turn.
type names map[string]int

func (n names) next(head string, of ...string) string {
	h := fnv.New64a()
	for _, s := range of {
		h.Write([]byte(s))
		h.Write([]byte{0})
	}
	id := head + strconv.FormatUint(h.Sum64(), 36)
	if n[id]++; n[id] > 1 {
		id += "-" + strconv.Itoa(n[id])
	}
	return id
}

// place is a box to a thousandth of a millimetre: a gap that is closed or a line that is put together elsewhere moves nothing by less.
func place(b dxf.Box) string { return fmt.Sprint(boxOf(b)) }

func (n names) loop(l *read.Loop) string {
	return n.next("l", l.Layer, place(l.Box), strconv.FormatFloat(rounded(l.AreaMM2), 'f', -1, 64))
}

func (n names) line(l *read.Line) string {
	return n.next("o", l.Layer, place(l.Path.Box()), strconv.Itoa(len(l.Path.Vertices)))
}

func (n names) text(w *read.Words) string {
	return n.next("t", w.Layer, w.Text.Text, strconv.FormatFloat(rounded(w.Text.At.X), 'f', -1, 64), strconv.FormatFloat(rounded(w.Text.At.Y), 'f', -1, 64))
}

// rounded rounds to a thousandth of a millimetre; what is no number is 0.
func rounded(v float64) float64 {
	v = math.Round(v*1e3) / 1e3
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	return v
}

func boxOf(b dxf.Box) [4]float64 {
	if b.Empty() {
		return [4]float64{}
	}
	return [4]float64{rounded(b.Min.X), rounded(b.Min.Y), rounded(b.Max.X), rounded(b.Max.Y)}
}

// long writes a length in mm, to a hundredth.
func long(mm float64) string {
	return strconv.FormatFloat(cmp.Or(math.Round(mm*100)/100, 0), 'f', -1, 64)
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
