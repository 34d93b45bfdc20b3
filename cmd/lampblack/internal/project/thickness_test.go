package project

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/light"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/material"
)

const thickDesk = "supply: {volts: 12 V, amps: 2 A}\npanels: [{drawing: a.dxf}]\n"

// Nobody says how thick the sheets are: cast, 3 mm ± 0.7 (ISO 7823-1).
func TestUsualThickness(t *testing.T) {
	p, l := Read([]byte(thickDesk), "lampblack.yaml")
	require.Empty(t, l)
	for _, s := range []material.Sheet{p.Thick.Face, p.Thick.Diffuser, p.Thick.LED} {
		require.Equal(t, material.Bought(material.Cast, geom.MM(3)), s)
	}
	require.Zero(t, p.Thick.Plate)
}

// What is measured is what everything is made for: the light is told for a diffuser of 2.5, which passes more than one of 3.
func TestMeasured(t *testing.T) {
	p, l := Read([]byte(thickDesk+"stack:\n  plate: 1.6 mm\n  kind: {led_sheet: extruded, plate: metal}\n  measured: {face: 2.8 mm, diffuser: 2.4 .. 2.6 mm, led_sheet: 0.12 in}\n"), "lampblack.yaml")
	require.Empty(t, l)
	require.Equal(t, material.Sheet{Sold: geom.MM(3), Range: material.Range{Least: geom.MM(2.75), Nominal: geom.MM(2.8), Most: geom.MM(2.85)}, Measured: true}, p.Thick.Face)
	require.Equal(t, material.Range{Least: geom.MM(2.4), Nominal: geom.MM(2.5), Most: geom.MM(2.6)}, p.Thick.Diffuser.Range)
	require.Equal(t, geom.MM(3.048), p.Thick.LED.Nominal)
	require.Equal(t, material.Extruded, p.Thick.LED.Kind)
	require.Equal(t, material.Metal.Thickness(geom.MM(1.6)), p.Thick.Plate.Range)
	require.Equal(t, geom.MM(2.8), p.Stack.Face)
	require.Equal(t, geom.MM(3.048), p.Stack.Sheet)
	require.Equal(t, geom.MM(2.5), p.Stack.Diffuser)
	require.Greater(t, p.Stack.Transmission, light.UsualStack().Transmission)
}

// Extruded sheets alone keep to ±5 %.
func TestKindOfAllSheets(t *testing.T) {
	p, l := Read([]byte(thickDesk+"stack: {kind: extruded, led_sheet: 5 mm}\n"), "lampblack.yaml")
	require.Empty(t, l)
	require.Equal(t, material.Range{Least: geom.MM(4.75), Nominal: geom.MM(5), Most: geom.MM(5.25)}, p.Thick.LED.Range)
	require.Equal(t, material.Range{Least: geom.MM(2.85), Nominal: geom.MM(3), Most: geom.MM(3.15)}, p.Thick.Face.Range)
}

func TestThicknessFaults(t *testing.T) {
	for _, c := range []struct {
		stack, code string
		severity    diag.Severity
	}{
		{"kind: blown", "project-unknown-value", diag.Error},
		{"kind: {lid: cast}", "project-unknown-key", diag.Error},
		{"measured: 2.8 mm", "project-wrong-kind", diag.Error},
		{"measured: {face: 2.8 kg}", "project-wrong-value", diag.Error},
		{"measured: {face: 2.9 .. 2.7 mm}", "project-impossible-value", diag.Error},
		{"measured: {face: .. 2.7 mm}", "project-wrong-value", diag.Error},
		{"measured: {face: 0}", "project-impossible-value", diag.Error},
		{"measured: {faces: 2.8 mm}", "project-unknown-key", diag.Error},
		{"measured: {plate: 1.5 mm}", "project-no-sheet", diag.Error},
		{"measured: {face: 5.1 mm}", "project-measured-off", diag.Warning},
	} {
		_, l := Read([]byte(thickDesk+"stack: {"+c.stack+"}\n"), "lampblack.yaml")
		require.Len(t, l, 1, c.stack)
		require.Equal(t, c.code, l[0].Code, c.stack)
		require.Equal(t, c.severity, l[0].Severity, c.stack)
		require.Equal(t, 3, l[0].Place.Line, c.stack)
		require.NotEmpty(t, l[0].Advice)
	}
}
