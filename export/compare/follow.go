package compare

import (
	"slices"
	"strings"
)

// codes are all kinds of change, gravest first: what somebody changed before what follows from it.
var codes = []string{
	"supply", "copies", "panel-gone", "panel-added", "panel-renamed", "class", "panel-size", "board-gone", "board-added", "led-moved", "led-gone", "led-added", "led-hole", "led-kind",
	"screw-moved", "screw-gone", "screw-added", "screw-hole", "opening-moved", "opening", "opening-gone", "opening-added",
	"control", "control-moved", "control-gone", "control-added", "body-moved", "body", "body-gone", "body-added", "bodies-from",
	"room-moved", "room", "room-gone", "room-added", "laminate", "gap", "sheet", "sheet-gone", "sheet-added", "lettering", "lettering-gone", "lettering-added", "window-gone", "window-added",
	"dimming", "pins", "bright", "feed", "board-size", "connector-moved", "feed-length", "string", "board-stopped", "fuse", "supply-verdict", "loads",
	"control-seat", "screws", "fit", "depth", "seen", "part-gone", "part-added", "part-moved", "part-turned", "part", "nets", "hole-gone", "hole-added", "hole",
	"layer-gone", "layer-added", "copper", "vias", "mask", "paste", "sheet-cuts", "light", "currents", "dimmer", "another-lots", "finding-new", "finding-gone",
	"name", "revision", "references", "net-names", "print", "order", "nest", "parts", "work",
}

// kinds are words for several kinds of change.
var kinds = map[string]string{
	"DRAWN": "panel-size led-moved led-gone led-added led-hole led-kind screw-moved screw-gone screw-added screw-hole opening-moved opening opening-gone opening-added " +
		"control control-moved control-gone control-added body-moved body body-gone body-added bodies-from room-moved room room-gone room-added",
	// All hang on one supply: from these something may follow on any panel.
	"ELECTRIC": "supply panel-gone panel-added board-gone board-added led-gone led-added led-hole led-kind laminate dimming bright feed feed-length string",
	"SHEETS":   "gap sheet sheet-gone sheet-added",
	"FACE":     "lettering lettering-gone lettering-added window-gone window-added",
	"PANELS":   "panel-gone panel-added",
	"LAID":     "DRAWN ELECTRIC SHEETS class board-size connector-moved", // a board is placed and routed anew
}

// roots are the kinds of change from which those of a kind may follow. Each stands before what follows from it in codes, so that nothing
// follows from itself.
var roots = map[string]string{
	"control-moved": "opening-moved opening", "control-gone": "opening-gone opening", "control-added": "opening-added",
	"body-moved": "opening-moved control control-moved", "body": "opening-moved opening control", "body-gone": "opening-gone opening control control-gone",
	"body-added": "opening-added opening control control-added",
	"room-moved": "opening-moved", "room": "opening opening-moved control body bodies-from", "room-gone": "opening-gone opening control control-added body-added",
	"room-added": "opening-added opening control control-gone body-gone",
	"dimming":    "PANELS", "pins": "dimming", "bright": "PANELS dimming", "feed": "PANELS",
	"board-size": "DRAWN", "board-stopped": "LAID", "connector-moved": "DRAWN PANELS board-size feed", "feed-length": "DRAWN PANELS board-size feed connector-moved",
	"string": "led-moved led-gone led-added led-hole led-kind supply PANELS dimming bright feed feed-length", "fuse": "ELECTRIC led-moved", "supply-verdict": "ELECTRIC", "loads": "ELECTRIC",
	"control-seat": "control SHEETS bodies-from", "screws": "screw-hole SHEETS laminate led-hole led-kind feed string board-size dimming",
	"fit": "DRAWN SHEETS laminate string screws board-size", "depth": "DRAWN SHEETS ELECTRIC screws control-seat board-size connector-moved", "seen": "DRAWN SHEETS fit",
	"part-gone": "LAID", "part-added": "LAID", "part-moved": "LAID", "part-turned": "LAID", "part": "LAID", "nets": "LAID", "hole-gone": "LAID", "hole-added": "LAID", "hole": "LAID",
	"copper": "LAID", "vias": "LAID copper", "mask": "LAID copper part hole", "paste": "LAID copper part",
	"sheet-cuts": "DRAWN SHEETS FACE board-size screws control-seat fit", "light": "LAID FACE", "currents": "LAID fuse copper", "dimmer": "LAID FACE light currents panel-renamed",
	"another-lots": "LAID light panel-renamed",
	"references":   "LAID part-gone part-added part-moved", "net-names": "LAID nets references dimming",
	"print": "LAID part-gone part-added part-moved part-turned part nets name revision panel-renamed references net-names",
	"order": "LAID copies panel-renamed", "nest": "DRAWN PANELS SHEETS board-size sheet-cuts copies panel-renamed",
	"parts": "LAID FACE fuse screws fit sheet-cuts copper copies order nest", "work": "LAID FACE fuse screws fit sheet-cuts copper copies panel-renamed order nest parts",
	"finding-new": "LAID FACE copies copper light currents dimmer", "finding-gone": "LAID FACE copies copper light currents dimmer",
}

// among reports whether a kind of change is one of a list.
func among(code, list string) bool {
	for word := range strings.FieldsSeq(list) {
		if word == code || kinds[word] != "" && among(code, kinds[word]) {
			return true
		}
	}
	return false
}

// follows reports whether a change may follow from another one: of the same panel, of the console, or an electric one of any.
func follows(c Change, all []Change) bool {
	return slices.ContainsFunc(all, func(of Change) bool {
		return among(of.Code, roots[c.Code]) && (of.Panel == c.Panel || of.Panel == "" || c.Panel == "" || among(of.Code, "ELECTRIC"))
	})
}
