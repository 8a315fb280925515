package people

import (
	"fmt"
	"net/netip"
	"testing"
	"time"
)

func TestFailuresAreForgotten(t *testing.T) {
	now := time.Date(2026, 4, 1, 9, 0, 0, 0, time.UTC)
	l := newLimiter(func() time.Time { return now })
	one := []charge{{"a", limit{2, time.Minute}}}
	for i, want := range []time.Duration{0, 0, time.Minute, time.Minute} {
		if got := l.take(one); got != want {
			t.Errorf("try %d: wait %v, want %v", i, got, want)
		}
	}
	now = now.Add(30 * time.Second)
	if got := l.take(one); got != 30*time.Second {
		t.Errorf("half forgotten: wait %v", got)
	}
	now = now.Add(30 * time.Second)
	if got := l.take(one); got != 0 {
		t.Errorf("forgotten: wait %v", got)
	}
	now = now.Add(-time.Hour) // a clock that goes back forgives nothing and holds nobody for longer
	if got := l.take(one); got != time.Minute {
		t.Errorf("an hour back: wait %v", got)
	}
}

func TestWhatIsSpentChargesNothingElse(t *testing.T) {
	l := newLimiter(func() time.Time { return time.Time{}.Add(time.Hour) })
	spent, shared := charge{"spent", limit{1, time.Hour}}, charge{"shared", limit{2, time.Hour}}
	l.take([]charge{spent, shared})
	for range 5 {
		if l.take([]charge{spent, shared}) == 0 {
			t.Error("let through")
		}
	}
	if l.take([]charge{shared}) != 0 {
		t.Error("refused tries were counted against the others")
	}
	l.forget([]charge{shared})
	if l.take([]charge{shared}) != 0 {
		t.Error("a try that did not fail was counted")
	}
}

func TestAddressesCountByNetwork(t *testing.T) {
	for _, c := range [][2]string{
		{"192.168.1.2", "192.168.1.2/32"}, {"::ffff:192.168.1.2", "192.168.1.2/32"}, {"2001:db8:1:2:3::4", "2001:db8:1:2::/64"},
	} {
		if got := network(netip.MustParseAddr(c[0])); got != c[1] {
			t.Errorf("%s counts as %s", c[0], got)
		}
	}
	if network(netip.Addr{}) != "unknown" {
		t.Error("no address")
	}
}

func TestTheLimiterStaysSmall(t *testing.T) {
	now := time.Date(2026, 4, 1, 9, 0, 0, 0, time.UTC)
	l := newLimiter(func() time.Time { return now })
	for i := range 3 * keptCounts {
		l.take([]charge{{fmt.Sprint(i), limit{5, time.Millisecond}}})
		now = now.Add(time.Millisecond)
	}
	if len(l.counts) > keptCounts+1 {
		t.Errorf("%d counts are kept", len(l.counts))
	}
}

func TestPasswords(t *testing.T) {
	for password, good := range map[string]bool{
		"row the boat gently": true, "Zwölf Zeichen": true, "short": false, "elevenchars": false, "aaaaaaaaaaaaaaaa": false,
		"annaannaannaanna": false, "password1234": false, "passwordpassword": false, "qwertyuiop1234": false, "123456781234": false,
	} {
		if got := checkPassword("Anna", password) == nil; got != good {
			t.Errorf("%q is taken: %v", password, got)
		}
	}
}

func TestPagesOfThisServer(t *testing.T) {
	for address, ours := range map[string]bool{
		"/sheets/3": true, "/seat?class=1x&span_cm=159": true, "//evil.example": false, "https://evil.example/": false, "sheets": false, "": false,
		`/\evil.example`: false, "javascript:alert(1)": false, "/a\r\nb": false,
	} {
		if _, err := Local(address); (err == nil) != ours {
			t.Errorf("%q: %v", address, err)
		}
	}
}
