// Package filename knows which names a file or a folder may have on Windows, macOS and Linux alike, since what is made on one of them is
// copied to another, packed and sent. The rules are those of Windows, which takes the fewest.
package filename

import (
	"path"
	"strings"
	"unicode"
)

// Most bounds the name of a panel, in bytes, so that NAME-soldermask-bottom.gbr fits wherever files are copied to.
const Most = 40

// longest is what file systems take of one name, in bytes.
const longest = 255

// Why returns why one of the systems does not take a name of one file or folder, as the end of a sentence that the name begins; empty: all take it.
func Why(name string) string {
	switch {
	case name == "":
		return "is no name"
	case name == "." || name == "..":
		return "means a folder"
	case len(name) > longest:
		return "is longer than some systems take"
	case strings.ContainsFunc(name, unicode.IsControl) || strings.ContainsRune(name, unicode.ReplacementChar):
		return "has a character in it that no file may have"
	case strings.HasSuffix(name, ".") || strings.HasSuffix(name, " "):
		return "ends with a dot or a blank, which some systems leave out"
	case reserved(name):
		return "means a device on some systems"
	}
	if i := strings.IndexAny(name, `<>:"/\|?*`); i >= 0 {
		return "has a " + name[i:i+1] + " in it, which some systems do not take"
	}
	return ""
}

// reserved reports names of devices, which they are with any ending, too: aux.txt.
func reserved(name string) bool {
	stem, _, _ := strings.Cut(name, ".")
	switch stem = strings.ToLower(strings.TrimRight(stem, " ")); stem {
	case "con", "prn", "aux", "nul", "conin$", "conout$":
		return true
	}
	digits, port := strings.CutPrefix(stem, "com")
	if !port {
		digits, port = strings.CutPrefix(stem, "lpt")
	}
	return port && digits != "" && strings.Contains("0123456789¹²³", digits) && len([]rune(digits)) == 1
}

// Whole reports whether a name can stand in the names of files and nets as it is.
func Whole(name string) bool {
	return name != "" && len(name) <= Most && !strings.ContainsFunc(name, func(c rune) bool { return !Letter(c) && c != '.' }) &&
		name[0] != '.' && name[0] != '-' && Why(name) == ""
}

// Letter reports what such names are made of, beside dots.
func Letter(r rune) bool {
	return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_'
}

// Of makes any text such a name: other characters become -, and what is left of it that all systems take. what goes before a name that means a
// device, and stands for one of which nothing is left.
func Of(text, what string) string {
	clean := strings.Trim(strings.Map(func(r rune) rune {
		if Letter(r) {
			return r
		}
		return '-'
	}, text), "-")
	switch {
	case clean == "":
		return what
	case reserved(clean):
		clean = what + "-" + clean
	}
	return Cut(clean, Most)
}

// Beside returns how the name of a file begins that lies beside one of the user's, whose path without its ending is base, and that ends with
// added: as that one, or, where some system would not take it, with what all take of it.
func Beside(base, added string) string {
	dir, name := path.Split(base)
	if Why(name+added) == "" {
		return base
	}
	return dir + Of(name, "drawing")
}

// Cut shortens a name to so many bytes.
func Cut(name string, most int) string {
	if len(name) > most {
		name = strings.Trim(name[:most], "-")
	}
	return name
}
