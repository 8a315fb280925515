package strokefile

import (
	"context"
	"io"

	"thole/api/access"
	"thole/api/wire"
	"thole/selection/stroke"
)

// CurveFile is what an upload of mean curves holds.
type CurveFile struct {
	Said      string           `json:"said" description:"What was found, in words."`
	Axis      string           `json:"axis" enum:"angle,share" description:"What the curves are written over; a share is taken as that of the arc."`
	CatchDeg  *float64         `json:"catch_deg" description:"Where the curves begin; null for a share."`
	FinishDeg *float64         `json:"finish_deg" description:"Where they end; null for a share."`
	Unit      string           `json:"unit" enum:"n,kgf,lbf" description:"The forces were written in."`
	Curves    []MeanForceCurve `json:"curves"`
	Questions []StrokeQuestion `json:"questions" description:"About the unit."`
}

// MeanForceCurve is one of them.
type MeanForceCurve struct {
	Name   string    `json:"name" description:"As the file heads it."`
	ForceN []float64 `json:"force_n" description:"101 nodes from catch to finish; none for an athlete where the file has several curves."`
}

// CurvesRequest asks for the curves of an upload.
type CurvesRequest struct {
	ID   string `path:"id" json:"-" validate:"max=200"`
	Unit string `query:"unit" json:"-" enum:",n,kgf,lbf" description:"Of the forces; without it, as the file names it, or N."`
}

// mostCurveFile bounds a file of mean curves, bytes; our judgement: a thousand nodes of a
// hundred rowers with all their digits.
const mostCurveFile = 4 << 20

// UploadCurves returns the mean curves of an upload. Errors: ErrNotFound, an
// *Invalid, or an *Unreadable for a file that holds none.
func (s *Service) UploadCurves(ctx context.Context, r CurvesRequest) (CurveFile, error) {
	t, err := s.CurveTable(ctx, r.ID, r.Unit)
	if err != nil {
		return CurveFile{}, err
	}
	w := CurveFile{Said: t.String(), Axis: "share", Unit: nameOf(strokeUnits, t.Unit), Curves: []MeanForceCurve{}, Questions: wireQuestions(t.Questions)}
	if t.Axis == stroke.OverAngle {
		w.Axis, w.CatchDeg, w.FinishDeg = "angle", wire.Ptr(wire.ToDeg(t.Catch)), wire.Ptr(wire.ToDeg(t.Finish))
	}
	untold := access.From(ctx).Role == access.Athlete && len(t.Curves) > 1
	for i := range t.Curves {
		c := MeanForceCurve{t.Curves[i].Name, []float64{}}
		if !untold {
			c.ForceN = Rounded(t.Curves[i].Force[:], 100)
		}
		w.Curves = append(w.Curves, c)
	}
	return w, nil
}

// CurveTable reads the mean curves of an upload.
func (s *Service) CurveTable(ctx context.Context, upload, unit string) (stroke.CurveTable, error) {
	f, err := s.uploads.Find(ctx, upload)
	if err != nil {
		return stroke.CurveTable{}, err
	}
	file, err := f.Open()
	if err != nil {
		return stroke.CurveTable{}, err
	}
	defer file.Close()
	text, err := io.ReadAll(io.LimitReader(file, mostCurveFile))
	if err != nil {
		return stroke.CurveTable{}, err
	}
	t, err := stroke.ReadCurves(text, strokeUnits[unit])
	return t, ReadingError(err)
}
