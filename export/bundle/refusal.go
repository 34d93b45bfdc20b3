package bundle

import (
	"fmt"
	"strings"
)

// Refusal is the error of writing where that would lose a file that is not ours to lose. Nothing was written then.
type Refusal struct {
	Why   Why
	Name  string   // the folder or the file that was to be written
	Files []string // what would be lost, as the user would name it; Foreign: below the folder
	Of    Owner    // Another: whose the folder is
}

// Why is the reason of a Refusal.
type Why uint8

const (
	NoFolder  Why = iota // a file stands where the folder goes
	NoLink               // a link that leads nowhere does
	HoldsWork            // what is read, or where the user stands, lies in the folder
	Foreign              // the folder holds what lampblack did not write
	Edited               // it holds what was changed since lampblack wrote it
	Another              // it is the output of another project
	IsInput              // the file is one of those that are read
	Exists               // there is a file already, and not as lampblack wrote it
)

func (r *Refusal) Error() string {
	switch r.Why {
	case NoFolder:
		return r.Name + ": there is a file of that name"
	case NoLink:
		return r.Name + " is a link that leads nowhere"
	case HoldsWork:
		return fmt.Sprintf("%s: this folder is replaced whole, but it holds what you work on (%s)", r.Name, r.some())
	case Foreign:
		return fmt.Sprintf("%s: this folder is replaced whole, but lampblack did not write %s in it", r.Name, r.some())
	case Edited:
		if len(r.Files) > 1 {
			return "these files were changed after lampblack wrote them: " + r.some()
		}
		return r.some() + " was changed after lampblack wrote it"
	case Another:
		return fmt.Sprintf("%s holds what was made from %s", r.Name, r.Of)
	case IsInput:
		return fmt.Sprintf("%s is what is read here (%s)", r.Name, r.some())
	}
	return r.Name + " is there already, and not as lampblack wrote it"
}

// some names the first files.
func (r *Refusal) some() string {
	const most = 3
	if more := len(r.Files) - most; more > 0 {
		return fmt.Sprintf("%s and %d more", strings.Join(r.Files[:most], ", "), more)
	}
	return strings.Join(r.Files, ", ")
}
