package bundle

import (
	"errors"
	"os"
	"path/filepath"
)

// Aside writes a file for another program of the user's to read, which nobody else on the machine can: in a new folder of its own in
// dir, or in the system's for such where dir cannot be written. done takes both away again.
func Aside(dir, name string, data []byte) (file string, done func(), err error) {
	own, err := os.MkdirTemp(dir, "lampblack-*") // the user alone may look into it
	if err != nil {
		if own, err = os.MkdirTemp("", "lampblack-*"); err != nil {
			return "", func() {}, err
		}
	}
	file = filepath.Join(own, name)
	done = func() { _ = os.RemoveAll(own) } // a page that leads nowhere any more
	if err := os.WriteFile(file, data, 0o600); err != nil {
		return "", func() {}, errors.Join(err, os.RemoveAll(own))
	}
	return file, done, nil
}
