package parts

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"lampblack/board/fasten"
	"lampblack/export/table"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

// Hardware lists the screws, washers, nuts and spacers of so many copies of the mounts, in columns of Parts. A mount that no usual
// screw fits is not in it.
func Hardware(mounts []fasten.Mount, copies int) table.Table {
	type item struct {
		rank              int
		thread            string
		length            geom.Nm
		kind, value, body string
	}
	count := map[item]int{}
	for _, m := range mounts {
		if m.Thread == "" {
			continue
		}
		add := func(rank int, length geom.Nm, kind, value, body string) {
			count[item{rank, m.Thread, length, kind, value, body}] += max(1, copies)
		}
		switch {
		case m.Screw == 0:
			add(0, 0, "threaded rod", m.Thread, "with a nut and a washer more")
		case m.Rod:
			add(0, m.Screw, "screw", long(m.Thread, m.Screw), "cap head, ISO 4762")
		default:
			add(0, m.Screw, "screw", long(m.Thread, m.Screw), "pan head, ISO 7045")
		}
		add(1, 0, "washer", m.Thread, "ISO 7089")
		add(2, 0, "nut", m.Thread, "ISO 4032")
		for _, d := range []geom.Nm{m.Front, m.Rear} {
			if d > 0 {
				add(3, d, "spacer", part.Trimmed(d.MM(), 2)+" mm", "round, for "+m.Thread)
			}
		}
	}
	var items []item
	for i := range count {
		items = append(items, i)
	}
	slices.SortFunc(items, func(a, b item) int {
		return cmp.Or(cmp.Compare(a.rank, b.rank), strings.Compare(a.thread, b.thread), cmp.Compare(a.length, b.length), strings.Compare(a.body, b.body))
	})
	t := table.New("Screws and spacers", table.Number("quantity", ""), table.Text("part"), table.Text("value"), table.Text("package"))
	for _, i := range items {
		t.Add(count[i], i.kind, i.value, i.body)
	}
	return t
}

// long is a screw as it is bought: "M3 x 30 mm".
func long(thread string, length geom.Nm) string {
	return fmt.Sprintf("%s x %s mm", thread, part.Trimmed(length.MM(), 1))
}
