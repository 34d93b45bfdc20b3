package project

import (
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/panel/dxf"
)

// say returns a key's path in a builder's words: "current of panel dome" for panels.2.current, or, where the entry has no
// name, "current of panel 3". Paths through no list stay as they are: "supply.volts".
func (r *reader) say(path string) string {
	words := strings.Split(path, ".")
	for i := len(words) - 1; i > 0; i-- {
		n, err := strconv.Atoi(words[i])
		if err != nil {
			continue
		}
		list := strings.Join(words[:i], ".")
		entry := entryWord(words[i-1])
		if entry == "" {
			entry = "entry"
		}
		if name := r.called[list+"."+words[i]]; name != "" {
			entry += " " + name
		} else {
			entry += " " + strconv.Itoa(n+1)
		}
		if entryWord(words[i-1]) == "" {
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

// entryWord is what an entry of a list is called, "" where it has no word of its own.
func entryWord(list string) string {
	switch list {
	case "panels":
		return "panel"
	case "leds":
		return "LED kind"
	case "also_feeds":
		return "load"
	case "groups":
		return "group"
	case "chains":
		return "chain"
	case "order":
		return "order"
	}
	return ""
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
		if s, ok := scalar(it.Value()); ok && len(s) <= maxName {
			return strings.TrimSpace(s)
		}
	}
	return ""
}

// unit reads a drawing's unit, by any of the names that drawings know: "in", "inch", "inches".
func (r *reader) unit(n ast.Node, path string) (string, bool) {
	if s, ok := scalar(n); ok {
		if u, ok := dxf.UnitNamed(s); ok {
			return UnitWord(u.Name), true
		}
	}
	return r.oneOf(n, path, Units())
}
