package role

// Leaf is which of a panel's sheets a name tells of: a panel is cut from several, that are drawn over each other or side by
// side.
type Leaf uint8

const (
	NoLeaf   Leaf = iota
	Face          // the front, that all is cut and seen in
	Legend        // what is written on it
	LEDSheet      // with the LEDs' holes, behind it
	Diffuser      // clear or milky, between them
	Back          // a cover or a spacer behind all
)

// String names the sheet as a reader is told it.
func (l Leaf) String() string {
	return [...]string{"sheet", "face", "legend", "LED sheet", "diffuser", "back"}[l]
}

// leaves is words by which draughtsmen name sheets, as dictionary has those of layers. What is named particularly comes first:
// a front's engraving is the legend.
var leaves = [...]struct {
	leaf  Leaf
	words string
}{
	{Diffuser, "diffus* difus* difuz* dyfuz* rozptyl* opal* acryl* plexi* perspex* streu* lightguide* lichtleiter* spridar*"},
	{Legend, "legend* letter* text* engrav* etch* print* silk* overlay* beschrift* schrift* gravur* gravier* gravure* gravage* marquage* serigraf* serigraph* rotul* grabad* incision* scritt* stamp* gravac* opdruk* graveer* grawer* napis* opis* rytin* popis* gravyr*"},
	{LEDSheet, "led leds led* *led lamp lamps carrier* lampen* leucht* luz luces voyant* diod* osvetl*"},
	{Back, "back backs backplate* rear ruck* rueck* dos arriere fond trasera trasero fondo retro traseira achter* tyl tyln* zadn* bak baksid* spacer* distanz* cover deckel"},
	{Face, "face* front fronts front* facade* fascia* facia* blende* celn* przod* przedni* celni* frontal* avant voorkant* voorplaat* framsid* top"},
}

// LeafOf returns which sheet a name tells of.
func LeafOf(name string) Leaf {
	words := wordsOf(name)
	for _, d := range leaves {
		if named(d.words, words) {
			return d.leaf
		}
	}
	return NoLeaf
}

// fromBehind is words that say of a sheet that it is drawn as seen from behind.
const fromBehind = "mirror* behind gespieg* spiegel* hinten miroir* derriere espej* detras specch* dietro espelh* gespieg* lustr* odbic* zrcad* bakifran spegel*"

// Behind reports whether a name says that the sheet is drawn as seen from behind.
func Behind(name string) bool { return named(fromBehind, wordsOf(name)) }
