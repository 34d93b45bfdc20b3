package role

import (
	"strings"
	"unicode"
)

// Sense is what a word in a layer's or a block's name says of the things there.
type Sense uint8

const (
	NoSense   Sense = iota
	CutSense        // cut through
	HoleSense       // drilled
	LEDSense
	ScrewSense
	OpeningSense
	PrintSense // engraved or printed
	BodySense  // parts behind the panel
	NoteSense  // dimensions, title blocks, construction
	CopperSense
	WindowSense // lit through, and not cut
)

// dictionary is words as draughtsmen name layers and blocks, in English, German, French, Spanish, Italian, Portuguese,
// Dutch, Polish, Czech and Swedish, without accents. A star stands for any ending, one in front for any beginning.
var dictionary = [...]struct {
	sense Sense
	words string
}{
	{WindowSense, "lit backlit* lightring* lightwindow* litring* litwindow* glowring* halo halos translucen* leuchtring* leuchtfenster* lichtring* lichtfenster* hinterleucht* durchleucht* retroeclair* retroilumin* retroillumin*"},
	{LEDSense, "led leds *led lamp lamps lampe lampen lampk* diode* leucht* luz luces voyant* lampad* dioda"},
	{ScrewSense, "screw* mount* fixing* bolt* m2 m3 m4 m5 rivet* schraub* befestig* vis fixation* tornillo* fijacion vite viti fissag* parafuso* schroef* schroev* bevestig* srub* sroub* skruv*"},
	{CopperSense, "pad pads *pad *pads padhole* copper* paste* solder* track* via vias multilayer trace* net nets"},
	{HoleSense, "drill* hole* bore* bohr* loch locher loecher percag* trou trous taladr* agujero* orificio* fori foro furo* furac* boor* gat gaten otwor* wierc* vrt* otvor* hal borr*"},
	{PrintSense, "engrav* etch* text* letter* legend* label* silk* print* overlay* mark* graphic* logo* gravur* gravier* beschrift* schrift* druck* gravure* gravage* marquage* texte* serigraph* grabad* serigraf* rotul* incision* scritt* stamp* gravac* impress* graveer* opdruk* tekst* grawer* napis* opis* rytin* popis* gravyr*"},
	{NoteSense, "dim dims dimension* note notes title* titel* border* frame* rahmen* construct* hilfs* konstr* centre* center* mittel* mass* bemass* bemas* axis achse* cote cotes cotation* axe axes cartouche* cota* cotas eje* quote* quota assi maat maten hartlijn* wymiar* osi osie kot* matt* comment* annot* viewport* reference* ref guide*"},
	{BodySense, "body bodies behind part parts component* hidden* keepout* courtyard* bauteil* korper* koerper* teile verdeckt* composant* piece* corps cache* pieza* cuerpo* oculto* corpi corpo nascost* pecas onderdel* lichaam elementy czesci soucast* dil* komponent* housing*"},
	{OpeningSense, "opening* cutout* cut_out* window* aperture* slot slots ausschnitt* offnung* oeffnung* fenster* decoup* ouverture* fenetre* abertura* ventana* recorte* apertur* finestr* janela* opening uitsnijd* uitsparing* venster* wycie* okn* vyrez* oppning* switch* knob* jack* button* display* schalter* taster* poti* encoder* pot"},
	{CutSense, "cut cuts cutting visible* inner interior* inside profile* perimeter* through laser outer* schnitt* schneid* innen* aussen* kontur* contour* coupe* decoupe contorn* corte* taglio tagli bordo sagoma snij* omtrek* ciec* obrys* rez* obrys klipp* edge edges outline* rand route* routing mill* fras* fraes*"},
}

// SenseOf returns what a name says: the sense of the first word in the dictionary, in the dictionary's order, since what
// is named particularly (LED) says more than how it is made (cut).
func SenseOf(name string) Sense {
	words := wordsOf(name)
	for _, d := range dictionary {
		if named(d.words, words) {
			return d.sense
		}
	}
	return NoSense
}

// named reports whether one of the words is in a line of a dictionary.
func named(line string, words []string) bool {
	for entry := range strings.FieldsSeq(line) {
		for _, w := range words {
			if matches(entry, w) {
				return true
			}
		}
	}
	return false
}

func matches(entry, word string) bool {
	stem, open := strings.CutSuffix(entry, "*")
	if end, ok := strings.CutPrefix(stem, "*"); ok {
		return strings.HasSuffix(word, end) && len(word) > len(end)
	}
	return word == stem || open && strings.HasPrefix(word, stem)
}

// wordsOf splits a name at what is no letter or digit, where a capital follows a small letter, and between letters and
// digits but for a single letter before them (M3); in small letters without accents.
func wordsOf(name string) []string {
	var out []string
	var b strings.Builder
	flush := func() {
		if b.Len() > 0 {
			out = append(out, b.String())
			b.Reset()
		}
	}
	var last rune
	for _, c := range name {
		switch {
		case !unicode.IsLetter(c) && !unicode.IsDigit(c):
			flush()
		case unicode.IsUpper(c) && unicode.IsLower(last):
			flush()
			b.WriteString(plain(unicode.ToLower(c)))
		case unicode.IsDigit(c) && unicode.IsLetter(last) && b.Len() > 1, unicode.IsLetter(c) && unicode.IsDigit(last):
			flush()
			b.WriteString(plain(unicode.ToLower(c)))
		default:
			b.WriteString(plain(unicode.ToLower(c)))
		}
		last = c
	}
	flush()
	if len(out) > 1 { // the whole too: TopOverlay, cut-out
		out = append(out, strings.Join(out, ""))
	}
	return out
}

// plain takes the accent off a small letter.
func plain(c rune) string {
	for _, p := range [...][2]string{{"a", "àáâãäåą"}, {"ae", "æ"}, {"c", "çčć"}, {"d", "ď"}, {"e", "èéêëęě"}, {"i", "ìíîï"}, {"l", "ł"}, {"n", "ñńň"},
		{"o", "òóôõöø"}, {"r", "ř"}, {"s", "śš"}, {"ss", "ß"}, {"t", "ť"}, {"u", "ùúûüů"}, {"y", "ýÿ"}, {"z", "źżž"}} {
		if strings.ContainsRune(p[1], c) {
			return p[0]
		}
	}
	return string(c)
}
