package strokefile

import (
	"net/url"
	"strconv"
	"strings"

	"thole/api/strokefile"
	"thole/api/wire"
	"thole/ui/page"
)

// ThresholdForm is how the slip is told, as typed.
type ThresholdForm struct {
	Basis                          string
	Catch, Release, Share, Covered string
	Oars                           string // 0 for forces of each oar, 1 or 2 for those of a rower
	Problem                        string
}

// ReadThresholds reads the thresholds of a form or an address; nil when none
// are stated.
func ReadThresholds(typed url.Values) (*strokefile.StrokeThresholds, ThresholdForm) {
	f := ThresholdForm{
		Basis: typed.Get("basis"), Catch: strings.TrimSpace(typed.Get("catch_n")), Release: strings.TrimSpace(typed.Get("release_n")),
		Share: strings.TrimSpace(typed.Get("share")), Covered: strings.TrimSpace(typed.Get("covered_deg")),
		Oars: typed.Get("rower_oars"),
	}
	number := func(text string) *float64 {
		v, complaint := wire.ReadNumber(strings.TrimSuffix(strings.TrimSuffix(text, "%"), "N"))
		if text == "" {
			return nil
		}
		if complaint != "" {
			f.Problem = complaint
			return nil
		}
		return &v
	}
	th := new(strokefile.StrokeThresholds)
	switch f.Basis {
	case "share":
		if th.ShareOfPeak = number(f.Share); th.ShareOfPeak != nil {
			*th.ShareOfPeak /= 100
		}
	case "depth":
		th.CoveredDeg = number(f.Covered)
	case "force":
		th.CatchN, th.ReleaseN = number(f.Catch), number(f.Release)
		if f.Oars == "1" || f.Oars == "2" {
			th.RowerOars = int(f.Oars[0] - '0')
		}
		if f.Problem == "" && (th.CatchN == nil) != (th.ReleaseN == nil) {
			f.Problem = "Give both forces, at the catch and at the release."
		}
	}
	if *th == (strokefile.StrokeThresholds{}) {
		th = nil
	}
	return th, f
}

// Fill shows the thresholds that were used where nothing was typed.
func (f *ThresholdForm) Fill(used *strokefile.StrokeThresholds) {
	if f.Problem != "" {
		return
	}
	f.Basis, f.Catch, f.Release, f.Oars, f.Share, f.Covered = "share", "", "", "0", "30", "−3"
	switch {
	case used.ShareOfPeak != nil:
		f.Share = page.Plain(100 * *used.ShareOfPeak)
	case used.CatchN != nil:
		f.Basis, f.Catch, f.Release, f.Oars = "force", page.Plain(*used.CatchN), page.Plain(*used.ReleaseN), strconv.Itoa(used.RowerOars)
	case used.CoveredDeg != nil:
		f.Basis, f.Covered = "depth", page.Plain(*used.CoveredDeg)
	}
}
