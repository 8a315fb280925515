package wire

import "testing"

func TestPathsAreToldWithoutWhatPeopleTyped(t *testing.T) {
	for path, want := range map[string]string{
		"/join/abc": "/join/…", "/see/abc": "/see/…", "/measure/abc": "/measure/…", "/boats/3": "/boats/3", "/": "/",
		"/api/v1/mappings/anna": "/api/v1/mappings/…", "/api/v1/jobs/ABC": "/api/v1/jobs/…", "/athletes/Anna Byrne": "/athletes/…",
		"/api/v1/seat-races/12": "/api/v1/seat-races/12", "/squad/table.csv": "/squad/table.csv", "/Zoë/2001-02-03": "/…/…", "/boats/3/seats/": "/boats/3/seats/",
		"/a.b.c": "/…", "/77.5": "/…",
	} {
		if got := LoggedPath(path); got != want {
			t.Errorf("%s is told as %s, want %s", path, got, want)
		}
	}
}
