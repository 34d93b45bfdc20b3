package design

import (
	"lampblack/led"
	"lampblack/led/part"
)

// guard puts what lies between supply and chain into each chain that starts at the supply: the switch, and the fuse that is
// asked for or advised for the currents of c, which were found without it.
func guard(chains []led.Chain, r led.Request) {
	for i := range chains {
		c := &chains[i]
		if c.From != "" || len(c.Links) == 0 {
			continue
		}
		c.Guard = led.Guard{SwitchOhms: r.SwitchOhms}
		if fuse, ok := fuseOf(*c, r); ok {
			c.Guard.Fuse = fuse
			c.Guard.FuseOhms = r.HolderOhms + part.FuseOhms(fuse)
			if r.FuseOhms >= 0 {
				c.Guard.FuseOhms = r.HolderOhms + r.FuseOhms
			}
		}
	}
}

// fuseOf returns the fuse of a chain; ok is false where nothing is drawn or none fits.
func fuseOf(c led.Chain, r led.Request) (part.Amp, bool) {
	worst := max(c.Links[0].SegmentWorst, c.BackWorst)
	switch {
	case worst <= 0:
		return 0, false
	case r.Fuse > 0:
		return r.Fuse, true
	}
	return led.FuseFor(worst)
}
