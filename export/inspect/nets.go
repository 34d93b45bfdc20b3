package inspect

// bare judges copper whose pads have no names.
func (p *inspector) bare(why string) { p.cannot("shorts, opens and gaps", why) }
