package main
import ("testing";"copperglass/model/net";"time";"copperglass/model";"copperglass/model/geom";"context";"copperglass/analysis")
func TestIdeal(t *testing.T){
 for _,n:=range []int{1000,10000,40000}{
 d:=tagged(n)
 d.Parts[0].Params=model.Params{"voltage":model.Number(6),"resistance":model.Number(0)}
 from:=time.Now(); r,err:=analysis.Solve(context.Background(),d,analysis.Options{}); t.Log(n,len(r.Faults),r.Solved,err,time.Since(from))
 }
}
func TestRing(t *testing.T){
 for _,n:=range []int{1000,10000,40000}{
 d:=wired(n); e:=pitch*branches(n)
 d.Wires=append(d.Wires,&model.Wire{Points:[]geom.Point{geom.Pt(0,0),geom.Pt(0,-9),geom.Pt(e,-9),geom.Pt(e,0)}})
 r,_:=analysis.Solve(context.Background(),d,analysis.Options{})
 p,_:=r.Nets.Pieces(d)
 amps:=func(id net.PinID)float64{ q:=r.Parts[id.Ref]; if q==nil {return 0}; return q.Pin(id.Pin).Amps}
 from:=time.Now(); r.Nets.Flow(d,p,amps); t.Log("flow",n,time.Since(from))
 }
}
