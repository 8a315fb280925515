package lineup

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

// readQAP reads an instance of the quadratic assignment problem in the plain
// layout of QAPLIB: the size n and two n × n matrices A and B, after lines of
// comment. Item p_s in place s costs Σ_s Σ_u A[s][u]·B[p_s][p_u].
func readQAP(data []byte) (*task, error) {
	for bytes.HasPrefix(data, []byte("#")) {
		_, data, _ = bytes.Cut(data, []byte("\n"))
	}
	r := bytes.NewReader(data)
	var n int
	if _, err := fmt.Fscan(r, &n); err != nil {
		return nil, err
	}
	m := make([]float64, 2*n*n)
	for k := range m {
		if _, err := fmt.Fscan(r, &m[k]); err != nil {
			return nil, err
		}
	}
	a, b := m[:n*n], m[n*n:]
	t := newTask(n, n)
	for s := range n {
		for i := range n {
			t.unary[s][i] = a[s*n+s] * b[i*n+i]
			for u := s + 1; u < n; u++ {
				for j := range n {
					t.pairOf(s, u)[i*n+j] += a[s*n+u]*b[i*n+j] + a[u*n+s]*b[j*n+i]
				}
			}
		}
	}
	return t, nil
}

// The published optima: R. E. Burkard, S. E. Karisch and F. Rendl, "QAPLIB – A
// quadratic assignment problem library", Journal of Global Optimization 10,
// 1997, p. 391. The small nug instances are cut from C. E. Nugent,
// T. E. Vollmann and J. Ruml, Operations Research 16, 1968, p. 150.
var qaplib = map[string]float64{
	"nug5": 50, "nug6": 86, "nug7": 148, "nug8": 214,
	"nug12": 578, "had12": 1652, "chr12a": 9552,
}

func TestQAPLIBOptima(t *testing.T) {
	t.Parallel()
	for name, optimum := range qaplib {
		t.Run(name, func(t *testing.T) {
			data, err := os.ReadFile(filepath.FromSlash("../../../shared/data/qaplib/" + name + ".dat"))
			if os.IsNotExist(err) {
				t.Skipf("%s.dat is not here", name)
			}
			if err != nil {
				t.Fatal(err)
			}
			checkQAP(t, data, optimum)
		})
	}
}

// Two of them are small enough to keep.
func TestQAPLIBOptimaKept(t *testing.T) {
	for _, name := range []string{"nug5", "nug8"} {
		data, err := os.ReadFile(filepath.FromSlash("../../testdata/lineup_" + name + ".dat"))
		if err != nil {
			t.Fatal(err)
		}
		checkQAP(t, data, qaplib[name])
	}
}

func checkQAP(t *testing.T, data []byte, optimum float64) {
	t.Helper()
	task, err := readQAP(data)
	if err != nil {
		t.Fatal(err)
	}
	s := solveTask(task, 1)
	if s.over || s.board.list[0].cost != optimum {
		t.Errorf("found %g (stopped %v), published is %g", s.board.list[0].cost, s.over, optimum)
	}
	t.Logf("%d nodes", s.nodes)
}
