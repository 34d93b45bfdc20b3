package export

import (
	"crypto/sha256"
	"fmt"
)

// Identity returns the identity that all files of a pack share (.ProjectId, .SameCoordinates): a UUID in the form of
// RFC 4122 version 4, whose random bits are a hash of what tells the board from another, so that two builds agree.
func Identity(a Artwork, project, revision string) string {
	h := sha256.Sum256(fmt.Appendf(nil, "lampblack board\x00%s\x00%s\x00%s\x00%v", project, a.Name, revision, a.Size))
	h[6] = h[6]&0x0f | 0x40 // version 4
	h[8] = h[8]&0x3f | 0x80 // variant 10x
	return fmt.Sprintf("%x-%x-%x-%x-%x", h[0:4], h[4:6], h[6:8], h[8:10], h[10:16])
}
