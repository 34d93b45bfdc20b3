package result

import (
	"lampblack/panel/diag"
	"lampblack/panel/read"
)

// Survey is what survey --json prints.
type Survey struct {
	File     string       `json:"file" doc:"the drawing"`
	Version  string       `json:"version" doc:"of DXF, as $ACADVER tells; empty: not told"`
	Units    Units        `json:"units" doc:"of the drawing"`
	Panels   []Panel      `json:"panels" doc:"what would be taken for panels"`
	Entities []Count      `json:"entities" doc:"by type and layer"`
	Circles  []Circles    `json:"circles" doc:"round holes by diameter"`
	Loops    []Curve      `json:"loops" doc:"closed lines"`
	Texts    []Words      `json:"texts" doc:"texts"`
	OpenEnds [][2]float64 `json:"open_ends" doc:"x and y of ends that meet nothing, mm"`
	Skipped  []Skip       `json:"skipped" doc:"what was left out"`
	Roles    []Role       `json:"roles" doc:"rules that the project file could have"`
	Findings []Finding    `json:"findings" doc:"what the user must know, gravest first"`
}

// Units is the length of a drawing unit.
type Units struct {
	Name      string  `json:"name" doc:"of the unit; empty where the drawing could not be read"`
	MMPerUnit float64 `json:"mm_per_unit" doc:"its length" schema:"min=0"`
	Assumed   bool    `json:"assumed" doc:"the drawing does not tell it"`
}

// Count is how many entities of a type lie on a layer and what they are taken for.
type Count struct {
	Type  string `json:"type" doc:"of DXF entity"`
	Layer string `json:"layer" doc:"that they lie on"`
	Role  string `json:"role" doc:"that they are taken for; empty: none, or by shape"`
	Count int    `json:"count" doc:"how many" schema:"min=0"`
}

// Circles counts round holes of one diameter.
type Circles struct {
	D     float64 `json:"d" doc:"diameter, mm" schema:"min=0"`
	Role  string  `json:"role" doc:"that they are taken for; empty: none"`
	Count int     `json:"count" doc:"how many" schema:"min=0"`
}

// Curve is a closed line; D is 0 unless it is round.
type Curve struct {
	Layer     string     `json:"layer" doc:"that it lies on"`
	Role      string     `json:"role" doc:"that it is taken for; empty: none"`
	AreaMM2   float64    `json:"area_mm2" doc:"within it" schema:"min=0"`
	Perimeter float64    `json:"perimeter_mm" doc:"around it" schema:"min=0"`
	BBox      [4]float64 `json:"bbox_mm" doc:"x0, y0, x1, y1"`
	D         float64    `json:"d,omitempty" doc:"diameter, where it is round, mm" schema:"min=0"`
}

// Words is a text and what it is taken for.
type Words struct {
	Text   string  `json:"text" doc:"what it says"`
	Layer  string  `json:"layer" doc:"that it lies on"`
	Role   string  `json:"role" doc:"that it is taken for; empty: none"`
	X      float64 `json:"x" doc:"of its anchor, mm"`
	Y      float64 `json:"y" doc:"of its anchor, mm"`
	Height float64 `json:"height" doc:"of its capitals, mm" schema:"min=0"`
}

// Role is a rule that the project file could have under roles.
type Role struct {
	Role   string `json:"role" doc:"the key under roles"`
	Rule   string `json:"rule" doc:"its value"`
	Count  int    `json:"count" doc:"how many things it takes" schema:"min=0"`
	Unsure string `json:"unsure,omitempty" doc:"why it may be wrong"`
}

// Skip is what was left out, and why.
type Skip struct {
	Type   string `json:"type" doc:"of DXF entity"`
	Layer  string `json:"layer" doc:"that it lies on"`
	Reason string `json:"reason" doc:"why it was left out"`
	Count  int    `json:"count" doc:"how many" schema:"min=0"`
}

// SurveyOf tells of one drawing.
func SurveyOf(s read.Report, findings diag.List) Survey {
	r := Survey{
		File: s.File, Version: s.Version,
		Units:    Units{s.Units.Name, s.Units.MMPerUnit, s.Units.Assumed},
		Panels:   []Panel{},
		Entities: []Count{}, Circles: []Circles{}, OpenEnds: [][2]float64{}, Skipped: []Skip{},
		Loops: []Curve{}, Texts: []Words{}, Roles: []Role{},
		Findings: FindingsOf(findings),
	}
	for _, p := range s.Panels {
		r.Panels = append(r.Panels, PanelOf(p))
	}
	for _, c := range s.Counts {
		r.Entities = append(r.Entities, Count{c.Type, c.Layer, string(c.Role), c.N})
	}
	for _, c := range s.Circles {
		r.Circles = append(r.Circles, Circles{num(c.D, 6), string(c.Role), c.N})
	}
	for _, l := range s.Loops {
		r.Loops = append(r.Loops, Curve{
			l.Layer, string(l.Role), num(l.AreaMM2, 4), num(l.Perimeter, 4),
			[4]float64{num(l.Box.Min.X, 6), num(l.Box.Min.Y, 6), num(l.Box.Max.X, 6), num(l.Box.Max.Y, 6)}, num(l.D, 6),
		})
	}
	for _, t := range s.Texts {
		r.Texts = append(r.Texts, Words{t.Text.Text, t.Layer, string(t.Role), num(t.Text.At.X, 6), num(t.Text.At.Y, 6), num(t.Text.Height, 6)})
	}
	for _, p := range s.Proposal {
		r.Roles = append(r.Roles, Role{string(p.Rule.Role), p.Rule.String(), p.Count, p.Unsure})
	}
	for _, e := range s.Open {
		r.OpenEnds = append(r.OpenEnds, [2]float64{num(e.At.X, 6), num(e.At.Y, 6)})
	}
	for _, k := range s.Skipped {
		r.Skipped = append(r.Skipped, Skip{k.Type, k.Layer, k.Reason, k.Count})
	}
	return r
}
