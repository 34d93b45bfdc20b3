package main

import (
	"context"
	"fmt"
	"math/rand/v2"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"
)

// back does what can be done, by chance that is the same each time, and takes all of it back: the project is as it was at each step, and
// going forth again ends where it ended.
func back(b *browser) {
	number := func(of string) string {
		return `document.querySelector(".` + of + `") && ((i, v) => { Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, "value").set.call(i, v); i.dispatchEvent(new Event("input", {bubbles: true})); i.dispatchEvent(new Event("change", {bubbles: true})); })`
	}
	deeds := []func(n int) chromedp.Action{
		func(n int) chromedp.Action { // settings
			return chromedp.Tasks{shows("currents"), chromedp.WaitVisible(`.currents input[id="f-supply.amps"]`, chromedp.ByQuery), chromedp.Evaluate(number("currents")+fmt.Sprintf(`(document.getElementById("f-supply.amps"), "%d A")`, n+2), nil)}
		},
		func(int) chromedp.Action { // an LED
			return chromedp.Tasks{shows("light"), chromedp.WaitVisible(".lamp", chromedp.ByQuery), chromedp.Focus(".lamp", chromedp.ByQuery), chromedp.KeyEvent(kb.ArrowLeft)}
		},
		func(n int) chromedp.Action { // facts
			return chromedp.Tasks{shows("drawing"), chromedp.WaitVisible(".facts input", chromedp.ByQuery), chromedp.Evaluate(number("facts")+fmt.Sprintf(`(document.querySelector(".facts input"), "0.%d")`, n+2), nil)}
		},
		func(n int) chromedp.Action { // text
			return chromedp.Tasks{shows("files"), press("the project as text"), chromedp.WaitVisible(".cm-content", chromedp.ByQuery), chromedp.Focus(".cm-content", chromedp.ByQuery),
				keyed(kb.Home, input.ModifierCtrl), chromedp.KeyEvent(fmt.Sprintf("# %d", n)), chromedp.KeyEvent(kb.Enter)}
		},
		func(int) chromedp.Action { // a role
			return chromedp.Tasks{shows("drawing"), chromedp.WaitVisible(".taken .group button", chromedp.ByQuery), chromedp.Click(`//*[@class="taken"]//button[contains(., "LED")]`, chromedp.BySearch),
				chromedp.Click(`//*[contains(@class, "roles")]//button[contains(., "opening")]`, chromedp.BySearch), chromedp.Click(".offers .first", chromedp.ByQuery)}
		},
	}
	var states []string
	var state string
	b.does("the project", project(&state))
	states = append(states, state)
	chance := rand.New(rand.NewPCG(17, 4))
	order := append(chance.Perm(len(deeds)-1), append(chance.Perm(len(deeds)-1), len(deeds)-1)...) // a role last: it takes the LEDs away
	for n, i := range order {
		b.does(fmt.Sprintf("deed %d", i), deeds[i](n), chromedp.ActionFunc(func(ctx context.Context) error {
			deadline := time.Now().Add(20 * time.Second)
			for {
				if err := project(&state).Do(ctx); err != nil || state != states[len(states)-1] {
					return err
				}
				if time.Now().After(deadline) {
					return fmt.Errorf("nothing of the project changed")
				}
			}
		}))
		states = append(states, state)
	}
	require.Len(b.t, states, len(order)+1)
	for i := len(order) - 1; i >= 0; i-- {
		b.does("undo", press("undo"), project(&state))
		require.True(b.t, states[i] == state, "back to state %d", i)
	}
	for i := 1; i < len(states); i++ {
		b.does("redo", press("redo"), project(&state))
		require.True(b.t, states[i] == state, "forth to state %d", i)
	}
}

// project reads the zip of the project as the page would hand it over, as base 64.
func project(zip *string) chromedp.Action {
	return chromedp.Tasks{
		chromedp.Evaluate(`{
			window.handed = "";
			window.hands ??= URL.createObjectURL.bind(URL);
			URL.createObjectURL = blob => {
				blob.arrayBuffer().then(a => (window.handed = btoa(Array.from(new Uint8Array(a), c => String.fromCharCode(c)).join(""))));
				return "#";
			};
		}`, nil),
		shows("files"), press("to take away"), press("Take the project as a zip"), holds(`window.handed`),
		chromedp.Evaluate(`URL.createObjectURL = window.hands; window.handed`, zip),
	}
}
