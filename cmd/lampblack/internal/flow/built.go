package flow

import (
	"slices"

	"lampblack/board"
	"lampblack/board/check"
	"lampblack/board/copper"
	"lampblack/board/fasten"
	"lampblack/board/fill"
	"lampblack/board/legend"
	"lampblack/board/place"
	"lampblack/board/route"
	"lampblack/board/shape"
	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/export/bundle"
	"lampblack/export/parts"
	"lampblack/export/result"
	"lampblack/export/sheet"
	"lampblack/export/stencil"
	"lampblack/led"
	"lampblack/led/light"
	"lampblack/led/stray"
	"lampblack/panel"
)

// Built is one panel and how far it came.
type Built struct {
	Panel   panel.Panel
	Boards  []Made // behind it: one, or several in order along it
	Field   light.Field
	Ends    [2]light.Figures // with all sheets as thin, and as thick, as they may come out; zero where they are known
	Lots    led.LotSpread    // with LEDs drawn by chance
	Words   []light.Lasting  // what each keeps of its light when one string is dark
	Spills  []light.Spill    // light of other groups on words, where there are groups
	Stopped string           // the stage that found an error, of the panel or of a board; empty: none did
	Unlit   bool             // the project wants no LEDs: there is no board

	sights                   []stray.Sight // LEDs that are seen otherwise than through the lettering
	edge                     stray.Edge    // of the diffuser, as it glows
	lit                      memo.Kept[lightOut]
	shares                   memo.Kept[sharesOut]
	fastened                 fastenOut
	risen                    memo.Kept[risingOut]
	sideways                 sideOut
	side                     []bundle.File // below the panel's folder
	cut                      memo.Kept[cutOut]
	solid                    memo.Kept[solidOut]
	sheets, template, lights []bundle.File // below the panel's folder, as each way there writes them
	drafted                  []bundle.File // of them, the drawing of its LEDs
	marks                    []bundle.File // of them, the picture of its findings
	marked                   []bundle.File // the same, also where the panel has no files
}

// Made is one board and how far it came. The circuit, the chain and most stages know boards alone: each as a panel of its own,
// which has its name, its LEDs and its mounts.
type Made struct {
	Part    shape.Part
	Wiring  led.Wiring
	Board   board.Board
	Figures check.Figures
	Routed  route.Figures
	Placed  place.Figures
	Filled  fill.Figures
	Copper  copper.Figures      // zero without both connectors
	Travel  *result.DrillTravel // of the drill, once the pack is written
	Paste   stencil.Figures     // once the pack is read back

	made                           led.Wiring // what the board is made of: wired
	print                          inscribeIn // what is printed on it
	given                          [2]legend.Given
	proven                         memo.Kept[boardOut]
	lowered                        memo.Kept[lowerOut]
	pack, pictures, service, lists []bundle.File // below the board's folder
	stuck                          []bundle.File // the picture of its open nets, beside the output folder
	spacer                         []sheet.Sheet // its spacer sheet, if it has one
	spacers                        []bundle.File // the same, as files
	solid                          []bundle.File // the board in three dimensions
}

// Name is the board's: of files, in the chain, and printed on it.
func (m Made) Name() string { return m.Part.Name }

// files are those of the board's folder.
func (m Made) files() []bundle.File {
	return slices.Concat(m.pack, m.pictures, m.solid, m.service, m.spacers, m.lists)
}

// item is the board as the lists take it.
func (m Made) item() parts.Item { return parts.Item{Board: m.Board, Wiring: m.Wiring} }

// alone reports whether the panel has one board, which then goes by the panel's name.
func (b Built) alone() bool { return len(b.Boards) == 1 }

// folders returns the folders of the panel and its boards, each with its files.
func (b Built) folders() []folder {
	if b.alone() {
		m := b.Boards[0]
		return []folder{{b.Panel.Name, slices.Concat(m.pack, b.sheets, b.side, m.pictures, m.solid, m.service, m.spacers, b.drafted, b.template, b.lights, m.lists, b.marks)}}
	}
	all := []folder{{b.Panel.Name, slices.Concat(b.sheets, b.side, b.drafted, b.template, b.lights, b.marks)}}
	for _, m := range b.Boards {
		all = append(all, folder{m.Name(), m.files()})
	}
	return all
}

type folder struct {
	name  string
	files []bundle.File
}

// paths are those of the folder's files below the output folder.
func (f folder) paths() []string {
	var out []string
	for _, one := range f.files {
		out = append(out, f.name+"/"+one.Path)
	}
	return out
}

// written reports whether the panel came to its files.
func (b Built) written() bool { return b.Stopped == "" && len(b.sheets) > 0 }

// LEDs counts those of all boards.
func (b Built) LEDs() int {
	n := 0
	for _, m := range b.Boards {
		n += len(m.Wiring.LEDs)
	}
	return n
}

// Wiring returns the wiring of all boards as one, as far as the light is concerned: LEDs by their holes in the panel, and
// their strings.
func (b Built) Wiring() led.Wiring {
	if b.alone() {
		return b.Boards[0].Wiring
	}
	all := led.Wiring{Panel: b.Panel.Name}
	for _, m := range b.Boards {
		first, strings, resistors := len(all.LEDs), len(all.Strings), len(all.Resistors)
		for _, d := range m.Wiring.LEDs {
			d.Hole = m.Part.LEDs[d.Hole]
			d.String += led.StringID(strings)
			all.LEDs = append(all.LEDs, d)
		}
		for _, s := range m.Wiring.Strings {
			s.LEDs = slices.Clone(s.LEDs)
			for i := range s.LEDs {
				s.LEDs[i] += first
			}
			s.Resistor += resistors
			all.Strings = append(all.Strings, s)
		}
		all.Resistors = append(all.Resistors, m.Wiring.Resistors...)
	}
	return all
}

// groups returns the names of the groups that a panel's LEDs are of, and of each LED of Wiring which; nothing where there are none.
func (b Built) groups() (names []string, of []int) {
	grouped := false
	for _, m := range b.Boards {
		grouped = grouped || m.Wiring.Grouped()
		for _, d := range m.Wiring.LEDs {
			name := ""
			if m.Wiring.Grouped() {
				name = m.Wiring.Groups[m.Wiring.FedBy(d.String)].Name
			}
			k := slices.Index(names, name)
			if k < 0 {
				k, names = len(names), append(names, name)
			}
			of = append(of, k)
		}
	}
	if !grouped {
		return nil, nil
	}
	return names, of
}

// made returns the boards of all panels, in the order of Circuit.Boards.
func (out *Outcome) made() []*Made {
	var all []*Made
	for i := range out.Built {
		for k := range out.Built[i].Boards {
			all = append(all, &out.Built[i].Boards[k])
		}
	}
	return all
}

// mounts are those of all panels that were built.
func (out *Outcome) mounts() []fasten.Mount {
	var all []fasten.Mount
	for _, b := range out.Built {
		if b.Stopped == "" {
			all = append(all, b.fastened.Mounts...)
		}
	}
	return all
}

// rooms are those that the boards keep free: some may have given way, to one board or another.
func (b Built) rooms() []panel.Room {
	least := map[int]panel.Room{}
	for k, m := range b.Boards {
		if len(m.Board.Outline) == 0 {
			return b.Panel.Room
		}
		for _, r := range m.Board.Room {
			if old, ok := least[r.Opening]; k == 0 || ok && r.Beyond < old.Beyond {
				least[r.Opening] = r
			}
		}
		for i := range least {
			if !slices.ContainsFunc(m.Board.Room, func(r panel.Room) bool { return r.Opening == i }) {
				delete(least, i)
			}
		}
	}
	var out []panel.Room
	for _, r := range b.Panel.Room {
		if r, ok := least[r.Opening]; ok {
			out = append(out, r)
		}
	}
	return out
}
