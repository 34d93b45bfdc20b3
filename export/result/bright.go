package result

import "lampblack/led/bright"

// Bright is how bright the lettering is, and what dims it.
type Bright struct {
	Use     string   `json:"use,omitempty" doc:"that levels are asked for, by its name"`
	Full    float64  `json:"full_cd_m2,omitempty" doc:"luminance that is asked for of all but groups with levels of their own, cd/m²; absent: none is" schema:"min=0"`
	Night   float64  `json:"night_cd_m2,omitempty" doc:"luminance that the dimmer is to go down to, cd/m²" schema:"min=0"`
	Bits    int      `json:"bits,omitempty" doc:"of the dimmer" schema:"min=1"`
	Panels  []Shine  `json:"panels" doc:"the lettering of each panel, colour by colour"`
	Dimmers []Dimmer `json:"dimmers,omitempty" doc:"what the dimmer of each group must do"`
	Camera  *Camera  `json:"camera,omitempty" doc:"how to check it; for groups with levels of their own beside their dimmer"`
}

// Shine is the light of LEDs of one colour on the lettering of a panel that is theirs.
type Shine struct {
	Panel    string  `json:"panel" doc:"its name"`
	Colour   string  `json:"colour" doc:"of the LEDs"`
	Group    string  `json:"group,omitempty" doc:"that they are dimmed with"`
	LEDs     int     `json:"leds" doc:"of that colour" schema:"min=0"`
	CurrentA float64 `json:"current_a" doc:"in each of them in the mean, A" schema:"min=0"`
	Level    float64 `json:"cd_m2" doc:"luminance of the lettering in the mean, full on, cd/m²" schema:"min=0"`
	LeastA   float64 `json:"least_a" doc:"least current at which such LEDs look alike, A" schema:"min=0"`
	MostA    float64 `json:"most_a" doc:"that they are given at most, A" schema:"min=0"`
	Own      bool    `json:"own_current,omitempty" doc:"the panel names its current itself"`
}

// Dimmer is what dims a group.
type Dimmer struct {
	Group string  `json:"group,omitempty" doc:"its LEDs; absent: those of no group"`
	Use   string  `json:"use,omitempty" doc:"that its levels are usual for, by its name"`
	Most  float64 `json:"asked_full_cd_m2" doc:"luminance that is asked for at its full mark, cd/m²" schema:"min=0"`
	Least float64 `json:"asked_night_cd_m2,omitempty" doc:"luminance that it is to go down to, cd/m²" schema:"min=0"`
	Has   int     `json:"bits" doc:"that it has" schema:"min=1"`
	Level float64 `json:"cd_m2" doc:"luminance full on, mean of the panels, cd/m²" schema:"min=0"`
	Full  float64 `json:"full_duty" doc:"share of the time that it is on at its full mark" schema:"min=0,max=1"`
	Night float64 `json:"night_duty,omitempty" doc:"the same at its least mark" schema:"min=0,max=1"`
	Range float64 `json:"range,omitempty" doc:"luminance full on over the least that is asked for" schema:"min=0"`
	Step  float64 `json:"step_cd_m2" doc:"one of its steps, cd/m²" schema:"min=0"`
	Bits  int     `json:"bits_wanted,omitempty" doc:"with which a step is at most a tenth of the least level" schema:"min=1"`

	Camera *Camera `json:"camera,omitempty" doc:"how to check it, where the group has levels of its own"`
}

// Camera is how long a camera is to be exposed so that the lettering comes out mid grey.
type Camera struct {
	F     float64 `json:"f_number" doc:"of the lens" schema:"min=0"`
	ISO   float64 `json:"iso" doc:"speed" schema:"min=0"`
	Full  float64 `json:"full_s" doc:"for the full level, s" schema:"min=0"`
	Night float64 `json:"night_s,omitempty" doc:"for the least level, s" schema:"min=0"`
}

// What a camera is set to for the check.
const checkF, checkISO = 8, 1000

// BrightOf tells of brightness; nil where nothing is known of it.
func BrightOf(lamps []bright.Lamps, want bright.Wish) *Bright {
	if len(lamps) == 0 {
		return nil
	}
	b := &Bright{Use: want.Use, Full: num(want.Full, 6), Night: num(want.Night, 6), Panels: []Shine{}}
	for _, l := range lamps {
		b.Panels = append(b.Panels, Shine{
			Panel: l.Panel, Colour: l.Colour, Group: l.Group, LEDs: l.LEDs, CurrentA: num(float64(l.Amps), 7), Level: num(l.Level(), 3),
			LeastA: num(float64(l.Least), 6), MostA: num(float64(l.Most), 6), Own: l.Own > 0,
		})
	}
	if !want.Any() {
		return b
	}
	b.Bits = want.Bits // 0 where groups alone have levels
	for _, d := range bright.Dimmers(lamps, want) {
		one := Dimmer{
			Group: d.Group, Use: d.Want.Use, Most: num(d.Want.Full, 6), Least: num(d.Want.Night, 6), Has: d.Want.Bits, Level: num(d.Level, 3), Full: num(d.Full, 5), Night: num(d.Night, 6), Range: num(d.Range, 1), Step: num(d.Step, 6), Bits: d.Bits,
		}
		if d.Want != want.Levels {
			one.Camera = cameraOf(d.Want)
		}
		b.Dimmers = append(b.Dimmers, one)
	}
	if want.Levels.Any() {
		b.Camera = cameraOf(want.Levels)
	}
	return b
}

func cameraOf(want bright.Levels) *Camera {
	c := &Camera{F: checkF, ISO: checkISO, Full: num(bright.Exposure(want.Full, checkF, checkISO), 4)}
	if want.Night > 0 {
		c.Night = num(bright.Exposure(want.Night, checkF, checkISO), 4)
	}
	return c
}
