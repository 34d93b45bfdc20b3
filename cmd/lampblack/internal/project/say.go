package project

import (
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/export/filename"
)

// say returns a key's path in a builder's words: "current of panel dome" for panels.2.current, or, where the entry has no
// name, "current of panel 3". Paths through no list stay as they are: "supply.volts".
func (r *reader) say(path string) string {
	if words, ok := r.words[path]; ok {
		return words
	}
	words := strings.Split(path, ".")
	for i := len(words) - 1; i > 0; i-- {
		n, err := strconv.Atoi(words[i])
		if err != nil {
			continue
		}
		list := strings.Join(words[:i], ".")
		entry := r.entry[list]
		if entry == "" {
			entry = "entry"
		}
		if name := r.called[list+"."+words[i]]; name != "" {
			entry += " " + name
		} else {
			entry += " " + strconv.Itoa(n+1)
		}
		if r.entry[list] == "" {
			entry += " of " + r.say(list)
		}
		if i+1 < len(words) {
			return strings.Join(words[i+1:], ".") + " of " + entry
		}
		return entry
	}
	return path
}

// in says where a key stands; nothing at the top.
func (r *reader) in(path string) string {
	if path == "" {
		return ""
	}
	return " in " + r.say(path)
}

// title returns the name that an entry of a list gives itself.
func title(n ast.Node) string {
	m, ok := n.(ast.MapNode)
	if !ok {
		return ""
	}
	for it := m.MapRange(); it.Next(); {
		if k, ok := scalar(it.Key()); !ok || k != "name" {
			continue
		}
		if s, ok := scalar(it.Value()); ok && len(s) <= filename.Most {
			return strings.TrimSpace(s)
		}
	}
	return ""
}
