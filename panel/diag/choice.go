package diag

import "strings"

// Choice is one reading, in words and as the project file says it.
type Choice struct {
	Role  string
	Words string // "holes for LEDs"
	Says  Pair   // of a panel's entry; its value is a string, or Pairs of strings and lists of them
}

// YAML returns what the project file says, on one line: roles: {led: circles 3.2 mm near the edge}.
func (c Choice) YAML() string { return c.Says.Key + ": " + flowed(c.Says.Value) }

func flowed(v any) string {
	var all []string
	switch v := v.(type) {
	case Pairs:
		for _, p := range v {
			all = append(all, p.Key+": "+flowed(p.Value))
		}
		return "{" + strings.Join(all, ", ") + "}"
	case []any:
		for _, x := range v {
			all = append(all, flowed(x))
		}
		return "[" + strings.Join(all, ", ") + "]"
	case string:
		if strings.ContainsAny(v, `,:#"'{}[]&*!|>%@`) {
			return "'" + strings.ReplaceAll(v, "'", "''") + "'"
		}
		return v
	}
	panic("diag: a choice says something that is no text")
}
