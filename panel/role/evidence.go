package role

import "lampblack/panel"

// feature is something that may be true of a group.
type feature uint8

const (
	isRound feature = iota
	isShape
	isSlot
	isTiny    // too small to be cut at all
	isSmall   // too small for a hole of use
	isLarge   // a round one, too large for a screw or an LED
	isCrowded // so near to each other that the flanges of lamps would meet
	fits3mmLED
	fits3mmLEDLoosely
	fits5mmLED
	fits5mmLEDLoosely
	fits2mmLED
	fitsScrew
	fitsScrewBare
	fitsControl
	fitsKeySwitch
	inCorners
	nearEdge
	alongEdge
	mirrored
	inRows
	besideOpenings
	roundOpening
	amongKeys
	alone
	scattered
	sizeOfScrews
	screwsOfAnotherSize
	holdsHole
	holdsOthers
	holdsLetters
	isMark
	lineOfLetters
	onLettersLayer
	inLettersColour
	onOutlinesLayer
	onAnotherLayer
	inOutlinesColour
	inAnotherColour
	drawnHidden
	drawnAsCentre
	saysLED
	saysScrew
	saysHole
	saysOpening
	saysPrint
	saysBody
	saysNote
	saysCut
	saysCopper
	saysWindow
	blockOfLED
	blockOfScrew
	blockOfPart
	blockOfPrint
	inBody
	ledsElsewhere
	features
)

// weight is what a feature says for a role or against it, in decibans.
type weight struct {
	of   feature
	role panel.Role
	db   int
	why  string // in words that follow "since", where it speaks for the role; and where it is from
}

const (
	led       = panel.RoleLED
	mount     = panel.RoleMount
	opening   = panel.RoleOpening
	body      = panel.RoleBody
	lettering = panel.RoleLettering
	window    = panel.RoleWindow
	ignore    = panel.RoleIgnore
)

// roles are what is judged between. Of equals the first wins: what is cut where it should not be can be seen before it is
// soldered, an LED in a screw's hole cannot.
var roles = [...]panel.Role{opening, mount, led, lettering, body, window, ignore}

// evidence is all weights. Sizes are those of references: ISO 273 for screws, data sheets and practice for LEDs and parts.
// A role that no row names for a feature has 0 of it.
var evidence = [...]weight{
	// What kind of line it is, before anything else is known of it.
	{isRound, opening, 2, "they are round"},
	{isRound, mount, 0, ""},
	{isRound, led, 0, ""},
	{isRound, body, -9, ""},
	{isRound, lettering, -10, ""},
	{isRound, window, -16, ""}, // nobody means one who does not say so
	{isRound, ignore, -12, ""},
	{isShape, opening, 10, "they are closed lines that are no circles"},
	{isShape, mount, -10, ""},
	{isShape, led, -40, ""}, // an LED's hole is drilled
	{isShape, body, 0, ""},
	{isShape, lettering, -1, ""},
	{isShape, window, -16, ""},
	{isShape, ignore, -6, ""},
	{isSlot, mount, 16, "they are slots as wide as a screw"},    // IEC 60297: 6.8 x 10.3 mm for M6; ISO 273 widths
	{isTiny, ignore, 40, "they are smaller than a laser's cut"}, // 0.1 to 0.2 mm wide
	{isSmall, mount, -20, ""},
	{isSmall, led, -20, ""},
	{isLarge, mount, -20, ""},
	{isLarge, led, -20, ""},

	// Sizes.
	{fits3mmLED, led, 8, "an LED of 3 mm fits"},         // 2.85 to 3.15 mm: practice 3.0 to 3.2; 1/8 in is "just enough"
	{fits3mmLED, mount, 3, "an M3 screw is 3 mm thick"}, // drawn without clearance; M2.5 coarse is 3.1
	{fits3mmLED, opening, -5, ""},                       // nothing else is put through so small a hole
	{fits5mmLED, opening, -4, ""},
	{fits3mmLED, window, -16, ""},
	{fits5mmLED, window, -12, ""},
	{fits3mmLEDLoosely, led, 4, "an LED of 3 mm fits with play"},          // 3.15 to 3.32 mm
	{fits3mmLEDLoosely, mount, 6, "they are ISO 273's fine holes for M3"}, // 3.2
	{fits5mmLED, led, 9, "an LED of 5 mm fits"},                           // 4.85 to 5.22 mm: practice 5.0 to 5.2; 13/64 in
	{fits5mmLED, mount, 2, "an M5 screw is 5 mm thick"},                   // drawn without clearance
	{fits5mmLEDLoosely, led, 3, "an LED of 5 mm fits with play"},          // 5.22 to 5.35 mm
	{fits5mmLEDLoosely, mount, 6, "they are ISO 273's fine holes for M5"}, // 5.3
	{fits2mmLED, led, 5, "an LED of 1.8 or 2 mm fits"},                    // 1.75 to 2.08 mm
	{fits2mmLED, mount, 2, "an M2 screw is 2 mm thick"},                   // drawn without clearance
	{fitsScrew, mount, 8, "they are screws' holes by ISO 273"},            // 2.15 to 2.75, 3.32 to 3.75, 4.2 to 4.85, 5.35 to 5.85
	{fitsScrew, led, -6, ""},                                              // loose or tight for any LED
	{fitsScrewBare, mount, 5, "they are as wide as a screw is thick"},     // 2.5, 3.5, 4 without clearance, and spacers
	{fitsScrewBare, led, -6, ""},                                          //
	{fitsControl, opening, 10, "a switch, socket, knob or button fits"},   // 5.9 mm and more, by references of panel parts
	{fitsControl, mount, -4, ""},                                          // M6 is 6.4 to 7.0
	{fitsControl, led, -8, ""},                                            // LEDs of 8 and 10 mm are rare
	{fitsKeySwitch, opening, 12, "key switches are put in such squares"},  // 13.8 to 14.2 mm square, practice
	{sizeOfScrews, mount, 3, "they have the size of the screws in the corners"},
	{screwsOfAnotherSize, mount, -5, ""}, // a panel is screwed on with one kind

	// Places. Screws stand in corners and along edges in mirror pairs; lamps in rows and beside what they belong to.
	{inCorners, mount, 13, "they lie in the corners, as screws do"},
	{inCorners, led, -4, ""},
	{nearEdge, mount, 9, "they lie near the edge, as screws do"},
	{nearEdge, led, -3, ""},
	{alongEdge, mount, 7, "they stand along the edge all round"},
	{mirrored, mount, 3, "they lie in mirror pairs"},
	{inRows, led, 8, "they stand in rows at one pitch, as lamps do"},
	{inRows, mount, -4, ""},
	{besideOpenings, led, 8, "each stands in the same way beside an opening, as lamps do"},
	{besideOpenings, mount, -2, ""},
	{roundOpening, mount, 12, "they stand round an opening, as the screws of a part do"},
	{roundOpening, led, -4, ""},
	{amongKeys, mount, 14, "they stand among squares for key switches, as a plate's screws do"},
	{amongKeys, led, -4, ""},
	{alone, led, 2, "they stand alone"},
	{scattered, mount, 5, "they stand far apart and in no close row"},
	// Lamps could not be put in, and those without a flange are rare; heads of screws are wider than their holes by as much.
	{isCrowded, led, -16, ""},
	{isCrowded, opening, 4, "they stand nearer to each other than the flanges of LEDs let them"}, // vents, grilles, pins of connectors
	{isCrowded, mount, -6, ""},
	{ledsElsewhere, led, -5, ""},
	{ledsElsewhere, mount, 3, "the LEDs are drawn on a layer of their own"},

	// What lies in it: a piece that is cut out falls out with all its holes.
	{inBody, opening, 8, "a part's body is drawn round each"},
	{inBody, led, -12, ""},
	{inBody, mount, -6, ""},
	{isMark, ignore, 40, "they mark the centre of a hole"},
	{isMark, opening, -20, ""},
	{isMark, mount, -20, ""},
	{isMark, led, -20, ""},
	{holdsHole, body, 16, "they stand round a hole, as a part's body does"},
	{holdsHole, lettering, 8, "they stand round a hole, as a dial does"},
	{holdsHole, opening, -12, ""},
	{holdsHole, mount, -30, ""},
	{holdsHole, led, -30, ""},
	{holdsOthers, lettering, 9, "they stand round other things, as a printed frame does"},
	{holdsOthers, body, 3, "they stand round other things"},
	{holdsOthers, opening, -6, ""},
	{holdsOthers, mount, -30, ""},
	{holdsOthers, led, -30, ""},
	{holdsLetters, lettering, 14, "they stand round a word"},
	{holdsLetters, opening, -10, ""},

	// Letters.
	{lineOfLetters, lettering, 26, "they form words: shapes of strokes, of one height, side by side"},
	{lineOfLetters, mount, -30, ""},
	{lineOfLetters, led, -20, ""},
	{lineOfLetters, body, -20, ""},
	{onLettersLayer, lettering, 12, "they lie on the layer of the letters"},
	{onLettersLayer, opening, -6, ""},
	{inLettersColour, lettering, 12, "they have the colour of the letters"},
	{inLettersColour, opening, -6, ""},

	// Layers, colours and line types, by how they lie to the outline's.
	{onOutlinesLayer, opening, 3, "they lie on the outline's layer"},
	{onOutlinesLayer, mount, 3, ""},
	{onAnotherLayer, lettering, 2, "they lie on another layer than the outline"},
	{onAnotherLayer, body, 1, ""},
	{onAnotherLayer, ignore, 2, "they lie on another layer than the outline"},
	{inOutlinesColour, opening, 4, "they have the outline's colour"},
	{inOutlinesColour, mount, 3, ""},
	{inAnotherColour, lettering, 5, "they have another colour than the outline"},
	{inAnotherColour, body, 4, "they have another colour than the outline"},
	{inAnotherColour, ignore, 2, ""},
	{drawnHidden, body, 24, "they are drawn with hidden lines"}, // ISO 128-2: dashed, narrow: hidden edges
	{drawnHidden, ignore, 8, "they are drawn with hidden lines"},
	{drawnAsCentre, ignore, 28, "they are drawn with centre lines"}, // ISO 128-2: chain, narrow
	{drawnAsCentre, opening, -6, ""},

	// Words of layers and blocks.
	{saysLED, led, 30, "their layer is named for LEDs"},
	{saysScrew, mount, 28, "their layer is named for screws"},
	{saysHole, led, 3, "their layer is named for holes"},
	{saysHole, mount, 3, "their layer is named for holes"},
	{saysHole, lettering, -14, ""},
	{saysHole, body, -14, ""},
	{saysHole, ignore, -10, ""},
	{saysOpening, opening, 10, "their layer is named for openings"},
	{saysOpening, lettering, -14, ""},
	{saysOpening, body, -10, ""},
	{saysOpening, ignore, -10, ""},
	{saysPrint, lettering, 30, "their layer is named for lettering"},
	{saysPrint, opening, -6, ""},
	{saysBody, body, 30, "their layer is named for parts"},
	{saysBody, opening, -6, ""},
	{saysNote, ignore, 34, "their layer is named for notes"},
	{saysNote, opening, -4, ""},
	{saysCut, opening, 4, "their layer is named for cuts"},
	{saysCut, mount, 3, ""},
	{saysCut, lettering, -12, ""},
	{saysCut, body, -10, ""},
	{saysCut, ignore, -8, ""},
	{saysWindow, window, 40, "their layer is named for what is lit through"},
	{saysWindow, led, 2, "their layer is named for light"},
	{saysCopper, ignore, 24, "their layer is named for copper"},
	{saysCopper, opening, -4, ""},
	{blockOfLED, led, 22, "their block is named for LEDs"},
	{blockOfScrew, mount, 22, "their block is named for screws"},
	{blockOfPart, opening, 6, "their block is named for a part"},
	{blockOfPart, led, -6, ""},
	{blockOfPart, mount, -6, ""},
	{blockOfPrint, lettering, 20, "their block is named for lettering"},
}

// senses are the features of a layer's name.
var senses = [...]feature{LEDSense: saysLED, ScrewSense: saysScrew, HoleSense: saysHole, OpeningSense: saysOpening, PrintSense: saysPrint, BodySense: saysBody,
	NoteSense: saysNote, CutSense: saysCut, CopperSense: saysCopper, WindowSense: saysWindow}
