package readback

import (
	"lampblack/export"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// near is how far places of different files may differ: rounding to 0.001 mm or 0.0001 inch.
const near = 2 * geom.Micrometre

// land is one on a copper layer.
type land struct {
	layer int
	o     export.Object
	met   bool
}

// compareNets sets the netlist's points against the pads flashed on copper: each point on a pad of its net, part and pin,
// and each pad that carries them among the points.
func (p Pack) compareNets() diag.List {
	var l diag.List
	var lands []land
	places := Grid{}
	for i, layer := range p.Artwork.Layers {
		if !layer.Function.Copper() {
			continue
		}
		for _, o := range layer.Objects {
			if at, _, ok := LandOf(layer, o); ok {
				o.To = at
				places.Put(at, len(lands))
				lands = append(lands, land{layer: i, o: o})
			}
		}
	}
	for _, t := range p.Netlist.Points {
		if t.Op == 367 {
			continue
		}
		found, fits := false, false
		var other export.Object
		places.At(t.At, func(i int) bool {
			d := &lands[i]
			if d.o.To.Dist(t.At) > float64(near) || !t.On(p.Artwork.Layers[d.layer].Function.Side()) {
				return false
			}
			found = true
			other = d.o
			if sameNet(d.o, t.Net) && (d.o.Pin == "" || d.o.Ref == t.Ref && d.o.Pin == t.Pin) {
				fits, d.met = true, true
			}
			return false
		})
		switch {
		case !found:
			l.Add(diag.Error, "readback-netlist-point", "the netlist has a point of net %s where no pad is", t.Net).
				OfNet(t.Net).At(t.At.X.MM(), t.At.Y.MM()).Fix("netlist and copper are of different boards or runs: write the pack anew")
		case !fits:
			l.Add(diag.Error, "readback-netlist-net", "the netlist calls %s-%s net %s, the copper calls that pad %s-%s, net %s", t.Ref, t.Pin, t.Net,
				other.Ref, other.Pin, other.Net).OfPart(t.Ref).OfNet(t.Net).At(t.At.X.MM(), t.At.Y.MM()).Fix("netlist and copper are of different boards or runs: write the pack anew")
		}
	}
	for _, d := range lands {
		if !d.met && d.o.Pin != "" && d.o.HasNet {
			if once := metElsewhere(places, lands, d); !once {
				l.Add(diag.Error, "readback-netlist-misses", "pad %s-%s is not in the netlist", d.o.Ref, d.o.Pin).
					OfPart(d.o.Ref).At(d.o.To.X.MM(), d.o.To.Y.MM()).Fix("write the netlist anew")
			}
		}
	}
	return l.Capped(maxFindings)
}

// metElsewhere reports whether the same pin's pad on the other side was met: one record stands for a through pad.
func metElsewhere(places Grid, lands []land, d land) bool {
	return places.At(d.o.To, func(i int) bool {
		e := lands[i]
		return e.met && e.o.Ref == d.o.Ref && e.o.Pin == d.o.Pin
	})
}

// sameNet reports whether an object is on the net; names of single pads may be left out.
func sameNet(o export.Object, net string) bool {
	if !o.HasNet {
		return true
	}
	return o.Net == net || (o.Net == "" || o.Net == "N/C") && net == "N/C"
}
