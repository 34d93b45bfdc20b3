package main

import (
	"context"
	"encoding/json"
	"fmt"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// What a user does, for the tests.

// shaded has the browser draw the third dimension without a graphics card.
var shaded = []chromedp.ExecAllocatorOption{chromedp.Flag("disable-gpu", false), chromedp.Flag("use-angle", "swiftshader"), chromedp.Flag("enable-unsafe-swiftshader", true)}

// look chooses light, dark or red.
func look(mode string) chromedp.Action {
	return chromedp.Evaluate(`(s => { s.value = "`+mode+`"; s.dispatchEvent(new Event("change")); })(document.querySelector(".mode select"))`, nil)
}

// shows goes to a view.
func shows(view string) chromedp.Action {
	return chromedp.Tasks{chromedp.Click(`//nav//button[. = "`+view+`"]`, chromedp.BySearch), chromedp.WaitVisible("#main > *", chromedp.ByQuery)}
}

// put drops files onto the page, by path; those in folders as a browser gives a folder that is dropped.
func put(files map[string][]byte) chromedp.Action {
	given, err := json.Marshal(files) // bytes as base 64
	if err != nil {
		panic("whole: " + err.Error())
	}
	return drop(`Object.entries(` + string(given) + `).map(([path, data]) => ({path, bytes: Uint8Array.from(atob(data), c => c.charCodeAt(0))}))`)
}

// drop drops a list of {path, bytes}, in the page's language.
func drop(files string) chromedp.Action {
	return chromedp.Evaluate(`{
		const entry = (name, list) => {
			const own = list.find(f => f.path === "");
			if (own) return {name, isFile: true, isDirectory: false, file: ok => ok(new File([own.bytes], name))};
			let left = group(list);
			return {name, isFile: false, isDirectory: true, createReader: () => ({readEntries: ok => { ok(left.slice(0, 100)); left = left.slice(100); }})};
		};
		const group = list => {
			const by = new Map();
			for (const f of list) {
				const [first, ...rest] = f.path.split("/");
				by.set(first, [...(by.get(first) ?? []), {path: rest.join("/"), bytes: f.bytes}]);
			}
			return [...by].map(([name, l]) => entry(name, l));
		};
		const all = group(`+files+`);
		for (const type of ["dragenter", "dragover", "drop"]) {
			const e = new Event(type, {bubbles: true, cancelable: true});
			e.dataTransfer = {types: ["Files"], items: all.map(one => ({webkitGetAsEntry: () => one}))};
			document.body.dispatchEvent(e);
		}
	}`, nil)
}

// tabs presses Tab until the condition holds of what has the focus, el. All that has it on the way must show so.
func tabs(condition string) chromedp.Action {
	return chromedp.ActionFunc(func(ctx context.Context) error {
		for range 200 {
			if err := chromedp.KeyEvent(kb.Tab).Do(ctx); err != nil {
				return err
			}
			var is string
			if err := chromedp.Evaluate(`(el => {
				const marked = el.matches(".lamp") ? el.querySelector(".target") : el, style = getComputedStyle(marked);
				const shows = el === document.body || (el.matches(":focus-visible") && (style.outlineStyle !== "none" || (marked !== el && style.stroke !== "none") || el.matches(".cm-content")));
				return shows ? String(!!(`+condition+`)) : el.outerHTML.slice(0, 200);
			})(document.activeElement)`, &is).Do(ctx); err != nil {
				return err
			}
			if is == "true" {
				return nil
			}
			if is != "false" {
				return fmt.Errorf("this has the focus, and does not show so: %s", is)
			}
		}
		return fmt.Errorf("no Tab comes to where %s", condition)
	})
}

// keyed presses a key with others held.
func keyed(key string, held input.Modifier) chromedp.Action {
	return chromedp.KeyEvent(key, chromedp.KeyModifiers(held))
}

// touched moves fingers over the page: each step has the places of all fingers, and the last lets them go.
func touched(steps ...[][2]float64) chromedp.Action {
	return chromedp.ActionFunc(func(ctx context.Context) error {
		for i, step := range steps {
			what := input.TouchMove
			if i == 0 || len(step) != len(steps[i-1]) {
				what = input.TouchStart
			}
			points := []*input.TouchPoint{}
			for id, at := range step {
				points = append(points, &input.TouchPoint{X: at[0], Y: at[1], ID: float64(id + 1)})
			}
			if err := input.DispatchTouchEvent(what, points).Do(ctx); err != nil {
				return err
			}
		}
		return input.DispatchTouchEvent(input.TouchEnd, []*input.TouchPoint{}).Do(ctx)
	})
}

// dragged moves the mouse with its button held.
func dragged(from, to [2]float64) chromedp.Action {
	between := [2]float64{(from[0] + to[0]) / 2, (from[1] + to[1]) / 2}
	return chromedp.Tasks{
		chromedp.MouseEvent(input.MouseMoved, from[0], from[1]),
		chromedp.MouseEvent(input.MousePressed, from[0], from[1], chromedp.ButtonLeft, chromedp.ClickCount(1)),
		chromedp.MouseEvent(input.MouseMoved, between[0], between[1], chromedp.ButtonLeft),
		chromedp.MouseEvent(input.MouseMoved, to[0], to[1], chromedp.ButtonLeft),
		chromedp.MouseEvent(input.MouseReleased, to[0], to[1], chromedp.ButtonLeft, chromedp.ClickCount(1)),
	}
}

// middle reads where the middle of an element is on the screen.
func middle(css string, at *[2]float64) chromedp.Action {
	return chromedp.Evaluate(`(r => [r.x + r.width / 2, r.y + r.height / 2])(document.querySelector("`+css+`").getBoundingClientRect())`, at)
}
