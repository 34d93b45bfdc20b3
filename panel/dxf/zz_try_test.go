package dxf
import ("testing";"os";"path/filepath";"fmt")
func TestTry(t *testing.T){
 fs,_:=filepath.Glob("/work/shared/drawings/*/*.dxf")
 for _,f:=range fs{
  b,_:=os.ReadFile(f)
  d,l:=Read(b,filepath.Base(f))
  c:=map[string]int{}
  for _,e:=range d.Entities{c[e.Type]++}
  x:=d.Extents()
  fmt.Printf("%s %s %v %v ext %.4f %.4f %.4f %.4f\n",d.Name,d.Version,d.Units,c,x.Min.X,x.Min.Y,x.Max.X,x.Max.Y)
  for _,q:=range l{fmt.Println("   ",q.Severity,q.Code,q.Text)}
 }
}
