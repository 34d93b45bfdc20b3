//go:build unix

package flow

import (
	"syscall"
	"time"
)

// clock is the processor's time that this process has had, so that what else the machine does takes none.
func clock() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
