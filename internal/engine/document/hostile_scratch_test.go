package document_test
import ("testing";"strings";"time";"hangtrue/internal/engine/document")
func TestHostile(t *testing.T){
 for n,s:=range map[string]string{
  "open":strings.Repeat("[",1<<20),"open2":strings.Repeat("[",9999),"open3":strings.Repeat("[ ",9999)+strings.Repeat("a,\n",300000),"maps":strings.Repeat("{a: ",250000),"keys":strings.Repeat("a: b\n",200000),
  "comments":strings.Repeat("#\n",500000),"dash":strings.Repeat("- ",500000),"dash2":strings.Repeat("- ",9000),"q":strings.Repeat("? ",500000),"quote":"\""+strings.Repeat("a\n",500000),
  "unknown":"a:\n"+strings.Repeat(" b: c\n",140000), "amp":strings.Repeat("- &a b\n",140000),"colon":strings.Repeat("a:",500000),"commentlist":strings.Repeat("- a # b\n# c\n",80000),"plain":strings.Repeat("a ",500000),"err":strings.Repeat("a: b\n",50000)+"  c: d\n", "uniq": func() string{var b strings.Builder; for i:=0;i<40000;i++{b.WriteString("k"); b.WriteString(strings.Repeat("x",i%7)); b.WriteString(string(rune('a'+i%26))); b.WriteString(string(rune('a'+i/26%26)));b.WriteString(string(rune('a'+i/676%26)));b.WriteString(": 1\n")};return b.String()}(),
  "ind": func() string{var b strings.Builder; for i:=0;i<1400;i++{b.WriteString(strings.Repeat(" ",i)+"a:\n")};return b.String()}(),
 }{ st:=time.Now(); _,p:=document.Read([]byte(s),sample()); d:=time.Since(st); if d>200*time.Millisecond {t.Log("SLOW")}; t.Log(n,len(s),d,len(p),p[0].Format("f")) }
}
