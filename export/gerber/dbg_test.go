package gerber_test
import ("testing";"time";"lampblack/board";"lampblack/board/boardtest";"lampblack/board/fill";"lampblack/board/legend";"lampblack/board/place";"lampblack/board/route";"lampblack/board/shape";"lampblack/export";"lampblack/export/gerber")
func TestDbg(t *testing.T){
 for seed:=range uint64(3){
 s:=time.Now(); lap:=func(n string){t.Log(n,time.Since(s)); s=time.Now()}
 p:=boardtest.Panel(seed,12); w:=boardtest.Wiring(p); lap("panel")
 b,l:=shape.Derive(p,board.UsualRules()); lap("shape"); t.Log(l)
 b,_,l=place.Place(b,p,w,place.Options{}); lap("place");
 b,_,l=route.Route(b,route.Options{}); lap("route"); t.Log(len(b.Tracks),l)
 b,_,l=fill.Fill(b,fill.Usual()); lap("fill"); t.Log(len(b.Areas),l)
 b=legend.Draw(b,legend.Options{Name:p.Name}); lap("legend")
 a:=export.Lower(b); lap("lower")
 for i:=range a.Layers { t.Log(a.Layers[i].Function, breaks(gerber.Layer(a,i,meta())))}
 lap("breaks")
 }
}
