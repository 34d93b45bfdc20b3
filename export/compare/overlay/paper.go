package overlay

import (
	"fmt"
	"strings"

	"lampblack/export/compare"
	"lampblack/export/paper"
	"lampblack/export/scene/typeset"
	"lampblack/export/table"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Shown is the pictures of one panel, or of one of its boards.
type Shown struct {
	Panel, Board string // Board empty: of the panel itself
	Pairs        []Pair
}

// Paper sets a comparison as what people read: what changed, whether boards already made fit, then panel by panel the words and both
// over each other. name is of the console or the board; revision, date and version are the new one's.
func Paper(w *work.Watch, d compare.Difference, shown []Shown, name, revision, date, version string) paper.Paper {
	p := paper.Paper{Kind: "What changed", Name: name, Revision: revision, Date: date, Version: version,
		Summary: fmt.Sprintf("Old: %s. New: %s. %s.", d.Old, d.New, d.Sum())}
	set := &typeset.Setter{}
	if len(d.Boards) > 0 && !d.Same {
		made := table.Table{Columns: []table.Column{{Name: "board", Set: table.Left}, {Name: "fits the new one", Set: table.Left}, {Name: "why", Set: table.Broken}}}
		for _, b := range d.Boards {
			made.Rows = append(made.Rows, []string{b.Board, fits(b), strings.Join(b.Why, "; ")})
		}
		p.Blocks = append(p.Blocks, paper.Chapter{Title: "Boards already made"}, paper.Grid{Table: made})
	}
	if len(d.Unknown) > 0 {
		p.Blocks = append(p.Blocks, paper.Chapter{Title: "Not compared"}, paper.Points(d.Unknown))
	}
	var panels []string
	seen := map[string]bool{}
	add := func(panel string) {
		if !seen[panel] {
			seen[panel] = true
			panels = append(panels, panel)
		}
	}
	for _, c := range d.Changes {
		add(c.Panel)
	}
	for _, s := range shown {
		if len(s.Pairs) > 0 {
			add(s.Panel)
		}
	}
	for _, panel := range panels {
		title := panel
		if panel == "" {
			title = "The console"
		}
		var points, following paper.Points
		for _, c := range d.Changes {
			if c.Panel != panel {
				continue
			}
			text := c.Text
			if c.Board != "" {
				text = c.Board + ": " + text
			}
			if c.Follows {
				following = append(following, text)
			} else {
				points = append(points, text)
			}
		}
		p.Blocks = append(p.Blocks, paper.Chapter{Title: title})
		if len(points) > 0 {
			p.Blocks = append(p.Blocks, points)
		}
		if len(following) > 0 {
			p.Blocks = append(p.Blocks, paper.Section("What follows from changes"), following)
		}
		for _, s := range shown {
			if s.Panel != panel {
				continue
			}
			for _, pair := range s.Pairs {
				w.Look()
				of := "panel " + s.Panel
				if s.Board != "" {
					of = "board " + s.Board
				}
				caption := strings.ToUpper(of[:1]) + of[1:] + ": " + pair.Title + "; seen from the front"
				const how = "what both have is grey, what only the old one has hatched, what only the new one has full"
				p.Blocks = append(p.Blocks, paper.Figures{{Page: Page(w, set, pair), Caption: caption, Most: 4, Alt: caption + ": " + how}})
				var row paper.Figures
				for _, c := range Closer(w, set, pair) {
					row = append(row, paper.Figure{Page: c.Page, Caption: c.Says, Wide: 55 * geom.Millimetre, Alt: fmt.Sprintf("place %s of the picture above: %s", c.Says, how)})
				}
				if len(row) > 0 {
					p.Blocks = append(p.Blocks, row)
				}
			}
		}
	}
	return p
}

func fits(b compare.Board) string {
	switch {
	case b.Fits:
		return "yes"
	case b.Open:
		return "not proved"
	}
	return "no"
}
