//go:build !unix

package flow

import "time"

// clock is the time of day, for want of the processor's.
func clock() time.Duration { return time.Since(time.Time{}) }
