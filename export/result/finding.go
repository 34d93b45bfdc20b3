package result

import "lampblack/panel/diag"

// Finding is one finding.
type Finding struct {
	Code     string      `json:"code" doc:"stable, in kebab-case; its first word is the stage" schema:"pattern=^[a-z0-9]+(-[a-z0-9]+)+$"`
	Severity string      `json:"severity" doc:"error: no pack; warning: mind it; note: for information" schema:"enum=error|warning|note"`
	Panel    string      `json:"panel,omitempty" doc:"absent: the console"`
	Board    string      `json:"board,omitempty" doc:"of a panel with several: which"`
	File     string      `json:"file,omitempty" doc:"where it is, as the project names it"`
	Line     int         `json:"line,omitempty" doc:"of the file, from 1 on" schema:"min=1"`
	Column   int         `json:"column,omitempty" doc:"in characters, from 1 on" schema:"min=1"`
	Key      string      `json:"key,omitempty" doc:"of the project file, panels by name, by which something can be done about it: panels.dome.current"`
	Part     string      `json:"part,omitempty" doc:"of the board: D7"`
	Net      string      `json:"net,omitempty" doc:"of the board: V+"`
	String   string      `json:"string,omitempty" doc:"of LEDs: S3"`
	Layer    string      `json:"layer,omitempty" doc:"of the drawing"`
	Handle   string      `json:"handle,omitempty" doc:"of the drawing's entity"`
	At       *[2]float64 `json:"at,omitempty" doc:"x and y on the drawing, mm"`
	Text     string      `json:"text" doc:"what is so"`
	Advice   string      `json:"advice,omitempty" doc:"what to do"`
	Clicks   string      `json:"clicks,omitempty" doc:"what to do in the page of the workshop, where that is another thing than advice says"`
	Changes  []Change    `json:"changes,omitempty" doc:"of the project file, each of which does what advice says"`
	Related  []Related   `json:"related,omitempty" doc:"other places that explain it"`
	Number   int         `json:"number,omitempty" doc:"that stands at its places on the panel's findings.svg, or on a survey's picture" schema:"min=1"`
	Count    int         `json:"count,omitempty" doc:"how many like it are told in one, where there are several" schema:"min=2"`
	Places   []Place     `json:"places,omitempty" doc:"of several that are told in one: each, in full"`
	Question *Question   `json:"question,omitempty" doc:"what the user alone can say: which of several fair readings is meant"`
}

// Place is one of the places of a finding that has several.
type Place struct {
	Text    string      `json:"text" doc:"what is so there"`
	Advice  string      `json:"advice,omitempty" doc:"what to do there, where that is not what to do everywhere"`
	Changes []Change    `json:"changes,omitempty" doc:"of the project file, each of which does what advice says there, where those of the finding do not"`
	File    string      `json:"file,omitempty" doc:"where it is"`
	Line    int         `json:"line,omitempty" doc:"of the file, from 1 on" schema:"min=1"`
	Part    string      `json:"part,omitempty" doc:"of the board: D7"`
	Net     string      `json:"net,omitempty" doc:"of the board: V+"`
	String  string      `json:"string,omitempty" doc:"of LEDs: S3"`
	Layer   string      `json:"layer,omitempty" doc:"of the drawing"`
	Handle  string      `json:"handle,omitempty" doc:"of the drawing's entity"`
	At      *[2]float64 `json:"at,omitempty" doc:"x and y on the drawing, mm"`
	Related []Related   `json:"related,omitempty" doc:"other places that explain it"`
}

// Question asks what things are.
type Question struct {
	Things  string       `json:"things" doc:"what it is about"`
	Assumed string       `json:"assumed" doc:"the role that is taken meanwhile"`
	Choices []Choice     `json:"choices" doc:"the fair readings, what is assumed first"`
	At      [][2]float64 `json:"at" doc:"x and y of each of the things on the drawing, mm; of very many some"`
}

// Choice is one reading.
type Choice struct {
	Role  string `json:"role" doc:"key under roles"`
	Words string `json:"words" doc:"what that makes of them"`
	YAML  string `json:"yaml" doc:"what says so in the panel's entry of the project file"`
}

// Related is a second place that explains a finding.
type Related struct {
	Text string      `json:"text" doc:"what is there"`
	File string      `json:"file,omitempty" doc:"where it is"`
	Line int         `json:"line,omitempty" doc:"of the file, from 1 on" schema:"min=1"`
	At   *[2]float64 `json:"at,omitempty" doc:"x and y on the drawing, mm"`
}

// FindingsOf tells of findings, in their order.
func FindingsOf(l diag.List) []Finding {
	out := []Finding{}
	for _, d := range l {
		f := Finding{
			Code: d.Code, Severity: d.Severity.String(), Panel: d.Panel, Board: d.Subject.Board, File: d.Place.File, Line: d.Place.Line, Column: d.Place.Column,
			Part: d.Subject.Part, Net: d.Subject.Net, String: d.Subject.String, Layer: d.Place.Layer, Handle: d.Place.Handle, At: point(d.Place.At),
			Text: d.Text, Advice: d.Advice, Clicks: d.Clicks, Changes: ChangesOf(d.Changes), Number: d.Mark.Number,
		}
		if len(d.Subject.Keys) > 0 {
			f.Key = d.Subject.Keys[0]
		}
		if q := d.Question; q != nil {
			f.Question = &Question{Things: q.Things, Assumed: q.Assumed, Choices: []Choice{}, At: [][2]float64{}}
			for i := range q.At {
				f.Question.At = append(f.Question.At, *point(&q.At[i]))
			}
			for _, c := range q.Choices {
				f.Question.Choices = append(f.Question.Choices, Choice{c.Role, c.Words, c.YAML()})
			}
		}
		if f.Count = d.Count(); f.Count == 1 {
			f.Count = 0
		}
		for _, g := range d.Like {
			p := Place{
				Text: g.Text, File: g.Place.File, Line: g.Place.Line, Part: g.Subject.Part, Net: g.Subject.Net, String: g.Subject.String,
				Layer: g.Place.Layer, Handle: g.Place.Handle, At: point(g.Place.At), Related: relatedOf(g.Related),
			}
			if g.Advice != d.Advice {
				p.Advice = g.Advice
			}
			if len(d.Changes) == 0 {
				p.Changes = ChangesOf(g.Changes)
			}
			f.Places = append(f.Places, p)
		}
		if f.Places == nil {
			f.Related = relatedOf(d.Related)
		}
		out = append(out, f)
	}
	return out
}

func point(p *diag.Point) *[2]float64 {
	if p == nil {
		return nil
	}
	return &[2]float64{num(p.X, 6), num(p.Y, 6)}
}

func relatedOf(l []diag.Related) []Related {
	var out []Related
	for _, r := range l {
		out = append(out, Related{r.Text, r.Place.File, r.Place.Line, point(r.Place.At)})
	}
	return out
}
