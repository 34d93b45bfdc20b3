package readback

import (
	"bytes"
	"strings"
)

// command is one command of a Gerber file: a single word, or an extended command of several.
type command struct {
	line     int // of its first character
	at       int // its first byte
	extended bool
	words    []string // without the closing *
	broken   string   // what is wrong with its form, empty when nothing is
}

// lexer cuts a Gerber file into commands. Line breaks between and inside commands are left out, as 3.1 of the
// specification allows readers to; spaces stay, so that the commands can refuse them.
type lexer struct {
	src  []byte
	pos  int
	line int
}

// next returns the next command; ok is false at the end of the file.
func (x *lexer) next() (c command, ok bool) {
	x.blanks()
	if x.pos >= len(x.src) {
		return command{}, false
	}
	c = command{line: x.line, at: x.pos}
	if x.src[x.pos] != '%' {
		word, found := x.word()
		c.words = []string{word}
		if !found {
			c.broken = "the file ends inside a command: * is missing"
		}
		return c, true
	}
	c.extended = true
	x.pos++
	for {
		x.blanks()
		if x.pos >= len(x.src) {
			c.broken = "the file ends inside an extended command: % is missing"
			return c, true
		}
		if x.src[x.pos] == '%' {
			x.pos++
			if len(c.words) == 0 {
				c.broken = "an extended command is empty"
			}
			return c, true
		}
		word, found := x.word()
		c.words = append(c.words, word)
		if !found {
			c.broken = "an extended command ends without *"
			if x.pos < len(x.src) && x.src[x.pos] == '%' {
				x.pos++
			}
			return c, true
		}
	}
}

// word reads up to the next * and over it. It stops before a % (there a * is missing).
func (x *lexer) word() (string, bool) {
	end := bytes.IndexAny(x.src[x.pos:], "*%")
	if end < 0 {
		end = len(x.src) - x.pos
	}
	raw := x.src[x.pos : x.pos+end]
	x.pos += end
	found := x.pos < len(x.src) && x.src[x.pos] == '*'
	if found {
		x.pos++
	}
	n := bytes.Count(raw, []byte{'\n'})
	x.line += n
	s := string(raw)
	if n > 0 || bytes.IndexByte(raw, '\r') >= 0 {
		s = strings.NewReplacer("\r", "", "\n", "").Replace(s)
	}
	return s, found
}

func (x *lexer) blanks() {
	for x.pos < len(x.src) {
		switch x.src[x.pos] {
		case '\n':
			x.line++
		case '\r', ' ', '\t':
		default:
			return
		}
		x.pos++
	}
}
