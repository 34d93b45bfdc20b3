package svg

import "strings"

// open starts an element; attrs are names and values in turn.
func (w *writer) open(name string, attrs ...string) {
	w.tag(name, ">", attrs)
	w.depth++
}

// close ends an element.
func (w *writer) close(name string) {
	w.depth--
	w.indent()
	w.buf.WriteString("</" + name + ">\n")
}

// empty writes an element without content.
func (w *writer) empty(name string, attrs ...string) { w.tag(name, "/>", attrs) }

// text writes an element that holds nothing but text.
func (w *writer) text(name, content string) {
	w.indent()
	w.buf.WriteString("<" + name + ">" + escape(content) + "</" + name + ">\n")
}

// tag writes names and values; a pair with an empty value is left out.
func (w *writer) tag(name, end string, attrs []string) {
	w.indent()
	w.buf.WriteString("<" + name)
	for i := 0; i+1 < len(attrs); i += 2 {
		if attrs[i+1] != "" {
			w.buf.WriteString(" " + attrs[i] + `="` + escape(attrs[i+1]) + `"`)
		}
	}
	w.buf.WriteString(end + "\n")
}

func (w *writer) indent() { w.buf.WriteString(strings.Repeat(" ", w.depth)) }

// escape makes text safe in content and attributes, and drops what XML 1.0 does not allow.
func escape(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == '&':
			b.WriteString("&amp;")
		case r == '<':
			b.WriteString("&lt;")
		case r == '>':
			b.WriteString("&gt;")
		case r == '"':
			b.WriteString("&quot;")
		case r < ' ' && r != '\n' && r != '\t', r == 0xfffe, r == 0xffff:
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}
