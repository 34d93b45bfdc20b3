package boardtest_test

import ("testing";"lampblack/board/boardtest";"lampblack/board/place")

func TestZZ(t *testing.T) {
	for _, s := range seeds(t, []uint64{158}) {
		o := make1(boardtest.FieldCase(s), place.Options{})
		t.Log(o.line())
		for _, f := range o.found { t.Logf("%s %v: %s", f.Code, place2(f), f.Text) }
	}
}
