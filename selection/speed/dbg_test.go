package speed
import ("testing";"fmt";"math")
func TestDbg(t *testing.T){
 want:=[][]float64{{10.9,8.8,6.2,7.7,10.1,15.0},{9.7,7.2,7.0,8.9,12.7,18.7},{7.2,7.0,8.9,12.7,18.7,25.8},{11.4,10.9,8.0,4.1,4.1,8.2}}
 wp:=[][]float64{{9.7,7.7,5.4,3.3,1.5,1.5},{8.6,6.3,4.1,2.1,1.3,1.8},{6.3,4.1,2.1,1.3,1.8,2.7},{10.3,9.7,6.9,3.4,.9,.7}}
 for _,H:=range []float64{.212,.213,.2135,.214,.2145,.215}{
 s:=single();s.Seats[0].BladeHeight=H
 worst,wp2:=0.,0.
 for i,e:=range []Entry{{.02,1,0},{.05,1,0},{.10,1,0},{.05,1.5,0}}{
  for j,te:=range []float64{-.2,-.15,-.1,-.05,0,.05}{ e.Start=te
   p:=pricer{distance:2000}; b,_:=p.base(s)
   q,err:=p.quote(b,-1,Enter(e)); if err!=nil{t.Fatal(err)}
   worst=math.Max(worst,math.Abs(q.forceTime-want[i][j]))
   wp2=math.Max(wp2,math.Abs(q.powerTime-wp[i][j]))
  }
 }
 fmt.Println(H,worst,wp2)
 }
}
