package flight
import ("testing";"os";"fmt";"context";"time";"path/filepath";"hangtrue/internal/engine/rig/rigfile")
func TestZZ(t *testing.T){
 m,_:=filepath.Glob("../../../data/demo/rigs/"+os.Getenv("RIG")+"*.yaml")
 for _,f:=range m{ d,_:=os.ReadFile(f); r,p:=rigfile.Read(d); if r==nil{t.Fatal(p)}
 for _,c:=range []Conditions{{},{From:1.5707963},{From:3.1415926},{From:.7},{LoadFactor:2.5},{From:-2.3,Density:.9}}{
 t0:=time.Now()
 s,err:=New(r,c); if err!=nil{t.Fatal(err)}
 sw,err:=s.Sweep(context.Background(),Span{Fastest:120*1852./3600,Steps:24,Trail:.3})
 n:=0
 for _,p:=range sw.Points{ if !p.Agrees||!p.Answer.Stable{n++; if os.Getenv("DBG")!=""{fmt.Println("no",p.Speed*3600/1852,p.Trail*57,p.Slack,p.Answer.Stable)}} }
 last:=sw.Points[len(sw.Points)-1]
 off,_:=s.turned(last.Answer,poses(last.Answer))
 fmt.Println(filepath.Base(f),c,time.Since(t0),err,"disagree",n, "trail",last.Trail*57.3,"turn",last.Turning,last.Ahead,"off",off,sw.Firsts[len(sw.Firsts)-1])
 }}}
