package project

import (
	"slices"
	"strconv"
	"strings"

	"lampblack/panel/diag"
)

// mostPlaces bounds how many places are told where a key could stand.
const mostPlaces = 3

// homes are the places that each key of the description has, by its name: "", "defaults", "panels[]".
type homes map[string][]string

// elsewhere returns the places of a key, in the order of the description. Those where keys explain themselves, as layers have
// them, count only where it has no other.
func (r *reader) elsewhere(name string) []string {
	r.knowPlaces()
	if h := r.homes[name]; len(h) > 0 {
		return h
	}
	return r.brief[name]
}

func (r *reader) knowPlaces() {
	if r.homes != nil {
		return
	}
	r.homes, r.brief = homes{}, homes{}
	for _, row := range r.described() {
		home, name := "", row.Path
		if i := strings.LastIndexByte(row.Path, '.'); i >= 0 {
			home, name = row.Path[:i], row.Path[i+1:]
		}
		to := r.homes
		if row.brief {
			to = r.brief
		} else {
			r.everyKey = append(r.everyKey, name)
		}
		to[name] = append(to[name], home)
	}
}

// standing says where a key stands, by the path of what it stands in, of the description or of the file.
func standing(path string) string {
	words := strings.Split(path, ".")
	if path == "" {
		return "at the top of the file"
	}
	for i := len(words) - 1; i >= 0; i-- {
		list, entry := strings.CutSuffix(words[i], "[]")
		if !entry {
			continue
		}
		within := "in an entry of " + strings.Join(append(slices.Clone(words[:i]), list), ".")
		if i+1 < len(words) {
			return "under " + strings.Join(words[i+1:], ".") + " " + within
		}
		return within
	}
	return "under " + path
}

// standings says of several places that any of them will do.
func standings(paths []string) string {
	var out []string
	for _, p := range paths[:min(len(paths), mostPlaces)] {
		out = append(out, standing(p))
	}
	return strings.Join(out, ", or ")
}

// misplaced tells a key that has its place elsewhere, or is near to one that has; near is the key of this place that it may mean.
// It returns false where nothing is like it.
func (r *reader) misplaced(f *diag.Finding, name string, at spot, near string) bool {
	if homes := r.elsewhere(name); len(homes) > 0 {
		f.Code = "project-misplaced-key"
		f.Text = "the key " + name + " has no place " + r.here(at.path)
		f.Advice = name + " belongs " + standings(homes)
		if near != "" {
			f.Advice += "; or did you mean " + near + "?"
		}
		return true
	}
	if near != "" {
		return false
	}
	if key, ok := diag.Nearest(name, r.everyKey); ok {
		f.Fix("did you mean %s? It belongs %s", key, standings(r.elsewhere(key)))
		return true
	}
	return false
}

// here says where a key of the file stands.
func (r *reader) here(path string) string {
	if path == "" {
		return standing("")
	}
	words := strings.Split(path, ".")
	if _, err := strconv.Atoi(words[len(words)-1]); err == nil || strings.ContainsFunc(r.say(path), func(c rune) bool { return c == ' ' }) {
		return "in " + r.say(path)
	}
	return standing(path)
}
