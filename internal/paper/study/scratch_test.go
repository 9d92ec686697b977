package study
import ("testing";"os";"bytes";"context";"hangtrue/internal/data/demo";"hangtrue/internal/engine/rig/rigfile";"hangtrue/internal/engine/rig/counts";"hangtrue/internal/engine/rig/spread";"hangtrue/internal/paper/draw/png")
func TestScratch(t *testing.T){
 for _,d:=range demo.Rigs(){ r,_:=rigfile.Read(d.Data)
 if d.Name!="trailer-front-and-rear" && d.Name!="crate-off-centre" {continue}
  var b bytes.Buffer
  m,err:=counts.Chart(context.Background(),r,counts.Options{Workers:2}); if err!=nil{t.Log(d.Name,err)} else {
  f,_:=counts.Find(context.Background(),r,counts.Options{Workers:2})
  var found []Cell; for _,c:=range f.Best {found=append(found,Cell{c.Counts[0],c.Counts[1]})}
  var plan *Cell; if f.Plan!=nil{plan=&Cell{f.Plan.Counts[0],f.Plan.Counts[1]}}
  png.Encode(&b,CountMap(r,m,plan,found,200,180),90); os.WriteFile("/tmp/lead/map-"+d.Name+".png",b.Bytes(),0o644) }
  b.Reset()
  s,err:=spread.Run(context.Background(),r,spread.Options{Tolerances:spread.Defaults(),Seed:1,Workers:2,Cases:3000}); if err!=nil{t.Log(err);continue}
  t.Log(d.Name,s.Words(), s.Effects)
  png.Encode(&b,Spread(r,s,160,200),90); os.WriteFile("/tmp/lead/spread-"+d.Name+".png",b.Bytes(),0o644)
 }}
