package project

import (
	"path"
	"slices"
	"strconv"
	"strings"

	"lampblack/export/filename"
	"lampblack/panel/diag"
)

// called gives panels names that files can have. A panel whose written name some system does not take is called otherwise everywhere, which is
// told; whatever names it in the file may go on to use the written name.
func (d *draft) called(r *reader, chains []Run) {
	p := &d.Project
	taken := map[string]bool{} // in small letters: some systems do not tell case apart
	for _, q := range p.Panels {
		if fits(q.Name) {
			taken[strings.ToLower(q.Name)] = true
		}
	}
	given := map[string]string{} // by the written name, in small letters
	for i := range p.Panels {
		q := &p.Panels[i]
		if fits(q.Name) || q.Name == "" {
			continue
		}
		written := q.Name
		name, again := given[strings.ToLower(written)] // two of one written name stay so, and are told
		if q.Name = name; !again {
			q.Name = free(filename.Of(written, "panel"), taken)
			taken[strings.ToLower(q.Name)], given[strings.ToLower(written)] = true, q.Name
			f := r.diags.Add(diag.Note, "project-name-given", "panel %s is called %s, in files and on its board: its name %s", strconv.Quote(written), q.Name, why(written)).Of(q.Name)
			f.Place = p.Place("panels." + strconv.Itoa(i) + ".name")
			f.Fix("write name: %s, or another of letters, digits, - and _", q.Name)
		}
	}
	if len(given) == 0 {
		return
	}
	names := func(to *string) {
		if name, ok := given[strings.ToLower(*to)]; ok {
			*to = name
		} else if n := len(*to) - 2; n > 0 && (*to)[n] == '-' && letter((*to)[n+1]) { // one of its boards
			if name, ok := given[strings.ToLower((*to)[:n])]; ok {
				*to = name + (*to)[n:]
			}
		}
	}
	for i := range chains {
		names(&chains[i].From)
		for j := range chains[i].Boards {
			names(&chains[i].Boards[j])
		}
	}
	for i := range p.Groups {
		for j := range p.Groups[i].Panels {
			names(&p.Groups[i].Panels[j])
		}
	}
	for i := range p.Orders {
		for j := range p.Orders[i].Boards {
			names(&p.Orders[i].Boards[j].Panel)
		}
	}
}

// fits reports whether a panel's files and its folder can have its name.
func fits(name string) bool { return filename.Whole(name) && !asFile(name) }

// asFile reports names that end as files of ours do, beside which a panel's folder lies: report.html.
func asFile(name string) bool {
	return slices.Contains([]string{".json", ".html", ".csv", ".cir", ".svg", ".dxf", ".png", ".glb", ".pdf"}, strings.ToLower(path.Ext(name)))
}

// why tells why a name does not fit.
func why(name string) string {
	switch why := filename.Why(name); {
	case why != "":
		return why
	case len(name) > filename.Most:
		return "is longer than " + strconv.Itoa(filename.Most) + " letters"
	case asFile(name):
		return "ends as a file's does"
	}
	return "has more than letters, digits, - and _ in it"
}

// free returns the name, or the first with a number behind it that is not taken.
func free(name string, taken map[string]bool) string {
	for n, try := 2, name; ; n++ {
		if !taken[strings.ToLower(try)] {
			return try
		}
		number := "-" + strconv.Itoa(n)
		try = filename.Cut(name, filename.Most-len(number)) + number
	}
}

// panelName is a panel's name as the user likes it: one line that is not blank.
func panelName() text {
	t := line()
	t.pattern = `^[^\x00-\x1f\x7f�]*[^\x00-\x20\x7f�][^\x00-\x1f\x7f�]*$`
	return t
}
