package result

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"strings"
)

// unsealed stands in the place of a seal while the file is summed.
var unsealed = strings.Repeat("0", 2*sha256.Size)

// sealHead stands before a seal in a file.
const sealHead = `"seal": "`

// Sealed returns the result with the seal that result.json has.
func (c Console) Sealed() Console {
	c.Seal = unsealed
	sum := sha256.Sum256(encoded(c))
	c.Seal = hex.EncodeToString(sum[:])
	return c
}

// Seal is what a file says of itself.
type Seal uint8

const (
	Unsealed Seal = iota // by an earlier version, or somebody took the seal away
	Whole                // as it was written
	Broken               // it was edited since
)

// SealOf looks whether a result.json is as it was written.
func SealOf(src []byte) Seal {
	at := bytes.LastIndex(src, []byte(sealHead))
	if at < 0 {
		return Unsealed
	}
	at += len(sealHead)
	if len(src) < at+len(unsealed) {
		return Broken
	}
	own := string(src[at : at+len(unsealed)])
	blank := bytes.Clone(src)
	copy(blank[at:], unsealed)
	if sum := sha256.Sum256(blank); hex.EncodeToString(sum[:]) != own {
		return Broken
	}
	return Whole
}
