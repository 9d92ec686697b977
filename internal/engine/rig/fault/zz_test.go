package fault
import ("testing";"os";"fmt";"context";"time";"path/filepath";"hangtrue/internal/engine/rig/rigfile")
func TestZZ(t *testing.T){
 m,_:=filepath.Glob("../../../data/demo/rigs/"+os.Getenv("RIG")+"*.yaml")
 for _,f:=range m{ d,_:=os.ReadFile(f); r,p:=rigfile.Read(d); if r==nil{t.Fatal(p)}
 t0:=time.Now()
 tb,err:=Work(context.Background(),r,Options{Workers:2})
 fmt.Println(filepath.Base(f),time.Since(t0),err,len(tb.Rows),tb.Omitted)
 pr:=func(w Row){ fmt.Printf("%-55s %-10s p%6.2f r%6.2f use %.3f %s slack%v %s ran=%v share=%v\n   %v\n",w.What,w.Gravest(),w.Pitch*57.3,w.Roll*57.3,w.Use,w.Leg,w.Slack,w.Result,w.Ran,w.Share,w.Why)}
 pr(tb.Plan)
 if os.Getenv("RIG")!=""{ for _,w:=range tb.Rows{pr(w)}}
 if x,err:=OverPitch(context.Background(),r,-.17,.17,4);err==nil{for _,y:=range x{fmt.Printf("%.3f %+v\n",y.Aircraft,y)}}
 }}
