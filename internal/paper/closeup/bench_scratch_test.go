package closeup
import ("testing";"bytes";stdpng "image/png";"time"; raster "hangtrue/internal/paper/draw/png")
func TestBenchScratch(t *testing.T){
 var r,e1,e2,e3 time.Duration; n:=0; mx:=[3]int{}
 for _,f:=range Figures(){ for i,s:=range f.States(){ if i%4!=0 {continue}
  p,_:=Draw(f.ID,s.Params(),Options{})
  t0:=time.Now(); img,_:=raster.Render(p,dpi); r+=time.Since(t0); n++
  cols:=map[uint32]bool{}
  for i:=0;i<len(img.Pix);i+=4{cols[uint32(img.Pix[i])<<16|uint32(img.Pix[i+1])<<8|uint32(img.Pix[i+2])]=true}
  if len(cols)>3000 {t.Log(f.ID,s,len(cols))}
  for k,l:=range []stdpng.CompressionLevel{stdpng.BestCompression,stdpng.DefaultCompression,stdpng.BestSpeed}{
   var b bytes.Buffer; t0=time.Now(); (&stdpng.Encoder{CompressionLevel:l}).Encode(&b,img); d:=time.Since(t0)
   switch k{case 0:e1+=d;case 1:e2+=d;case 2:e3+=d}
   if b.Len()>mx[k]{mx[k]=b.Len()}
  }
 }}
 t.Log(n,r/time.Duration(n),e1/time.Duration(n),e2/time.Duration(n),e3/time.Duration(n),mx)
}
